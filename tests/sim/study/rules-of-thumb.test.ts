/** Rules of thumb put to the test: the runs are the solver's own, and the closed forms among them hold. */
import { describe, expect, it } from 'vitest';
import { frontToothWorth, perform, planRules } from '../../../sim/index.ts';
import { demoWith } from '../demo-project.ts';

const project = demoWith();
const options = {
  kart: 'heron-four-asphalt',
  day: 'mild',
  tracks: ['oval', 'circle'],
  stopFrom: 60 / 3.6,
} as const;
const plan = planRules(project, options);
const answers = plan.requests.map((request) => perform(project, request));
const result = plan.combine(answers)!;

describe('rules of thumb', () => {
  it('needs every answer, and names every rule', () => {
    expect(plan.combine(answers.slice(1))).toBeUndefined();
    expect(result.tracks).toEqual(['oval', 'circle']);
    expect(result.donors.map((d) => d.donor)).toEqual(Object.keys(project.donors));
  });

  it('a front tooth less is n rear teeth more: the ratios are the same', () => {
    // z_r/(z_f - 1) = (z_r + n)/z_f, in closed form.
    for (const [front, rear] of [
      [13, 39],
      [15, 42],
      [14, 52],
    ] as const)
      expect(rear / (front - 1)).toBeCloseTo((rear + frontToothWorth(front, rear)) / front, 12);
    expect(result.frontTooth).toMatchObject({ front: 15, rear: 42, worth: 3 });
  });

  it('times a donor at the best rear sprocket there is', () => {
    const single = result.donors.find((d) => d.donor === 'single')!;
    const times = project.sprockets.rear.map(({ teeth }) => {
      const of = demoWith((raw) => {
        raw.karts['heron-four-asphalt'].donor = 'single';
        raw.karts['heron-four-asphalt'].sprockets.rear = teeth;
      });
      const lap = {
        verb: 'lap',
        kart: 'heron-four-asphalt',
        day: 'mild',
        track: 'oval',
        spacing: 0.5,
      } as const;
      return perform(of, lap).result?.time ?? Number.POSITIVE_INFINITY;
    });
    expect(single.lapTimes[0]).toBeLessThanOrEqual(Math.min(...times) + 1e-9);
  });

  it('on the textbook balance, loose ground wants less in front: its deceleration shifts less load', () => {
    // Level ground, clutch in: the ideal share is b/L + z h/L, rising with the deceleration z.
    expect(result.loose!.share!).toBeLessThan(result.hard!.share!);
  });

  it('brakes stop shorter than the engine alone', () => {
    for (const stop of [result.loose!, result.hard!])
      if (stop.engine !== null) expect(stop.engine).toBeGreaterThan(stop.brakes!);
  });

  it('more torque is never slower; more grip is, only where it turns', () => {
    for (const saved of result.tenPercent.torque) expect(saved!).toBeGreaterThanOrEqual(-1e-6);
    for (const { times, factors, turnsAt } of result.grip) {
      const known = times.flatMap((time, i) => (time === null ? [] : [{ time, factor: factors[i]! }]));
      for (let i = 1; i < known.length; i++)
        if (turnsAt === null || known[i]!.factor <= turnsAt)
          expect(known[i]!.time).toBeLessThanOrEqual(known[i - 1]!.time + 1e-6);
    }
  });
});
