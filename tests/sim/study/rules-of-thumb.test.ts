/** Rules of thumb put to the test: the runs are the solver's own, and the closed forms among them hold. */
import { describe, expect, it } from 'vitest';
import { frontToothWorth, perform, performStudy, planRules } from '../../../sim/index.ts';
import { withInputs } from '../../../sim/project/changed-inputs.ts';
import { limiterRaisedBy } from '../../../sim/study/donors/donor-changes.ts';
import { STUDY_LAP_SPACING } from '../../../sim/study/study-lap.ts';
import { demoWith } from '../demo-project.ts';

const project = demoWith();
const options = {
  kart: 'clodlet-four-asphalt',
  day: 'mild',
  tracks: ['oval', 'circle'],
  stopFrom: 60 / 3.6,
} as const;
const plan = planRules(project, options);
const answers = plan.requests.map((request) => perform(project, request));
const early = plan.combine(answers)!;
const result = performStudy(plan, (request) => perform(project, request))!;

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
        raw.karts['clodlet-four-asphalt'].donor = 'single';
        raw.karts['clodlet-four-asphalt'].sprockets.rear = teeth;
      });
      const lap = {
        verb: 'lap',
        kart: 'clodlet-four-asphalt',
        day: 'mild',
        track: 'oval',
        spacing: 0.5,
      } as const;
      return perform(of, lap).result?.time ?? Number.POSITIVE_INFINITY;
    });
    expect(single.lapTimes[0]).toBeLessThanOrEqual(Math.min(...times) + 1e-9);
  });

  it('compares torque at the crank of every donor, one no kart of the project carries too', () => {
    const lone = demoWith((raw) => {
      raw.karts = { 'clodlet-four-asphalt': raw.karts['clodlet-four-asphalt'] };
    });
    const few = planRules(lone, { ...options, tracks: [] });
    const { donors } = performStudy(few, (request) => perform(lone, request))!;
    expect(donors.map((d) => d.peakTorque)).toEqual(result.donors.map((d) => d.peakTorque));
    expect(new Set(donors.map((d) => d.peakTorque)).size).toBe(donors.length);
  });

  it('on the textbook balance, loose ground wants less in front: its deceleration shifts less load', () => {
    // Level ground, clutch in: the ideal share is b/L + z h/L, rising with the deceleration z.
    expect(result.loose!.share!).toBeLessThan(result.hard!.share!);
  });

  it('brakes stop shorter than the engine alone', () => {
    for (const stop of [result.loose!, result.hard!])
      if (stop.engine !== null) expect(stop.engine).toBeGreaterThan(stop.brakes!);
  });

  it('a limiter raised is one the engine reaches: the sheet goes on along its last slope', () => {
    const geared = demoWith((raw) => {
      raw.donors.single.gears = [raw.donors.single.gears[2]];
    });
    const tracks = ['fettlebrow'];
    const kart = 'clodlet-single-asphalt';
    const { tenPercent } = performStudy(planRules(geared, { ...options, kart, tracks }), (request) =>
      perform(geared, request),
    )!;
    const { revLimit } = geared.donors['single']!;
    const best = (on: typeof geared) =>
      Math.min(
        ...project.sprockets.rear.map(
          ({ teeth }) =>
            perform(withInputs(on, [{ path: `karts.${kart}.sprockets.rear`, value: teeth }]), {
              verb: 'lap',
              kart,
              day: 'mild',
              track: 'fettlebrow',
              spacing: STUDY_LAP_SPACING,
            }).result?.time ?? Number.POSITIVE_INFINITY,
        ),
      );
    const raised = withInputs(geared, limiterRaisedBy(geared, 'single', (0.1 * revLimit) / (Math.PI / 30)));
    expect(tenPercent.limiter[0]).toBeCloseTo(best(geared) - best(raised), 9);
    // Far above the solver's rounding: nothing would be exactly nothing.
    expect(tenPercent.limiter[0]).toBeGreaterThan(0.01);
  });

  it('more torque is never slower; more grip is, only where it turns', () => {
    for (const saved of result.tenPercent.torque) expect(saved!).toBeGreaterThanOrEqual(-1e-6);
    for (const { times, factors, turns } of result.grip) {
      const known = times.flatMap((time, i) => (time === null ? [] : [{ time, factor: factors[i]! }]));
      for (let i = 1; i < known.length; i++)
        if (turns === null || known[i]!.factor <= turns.from)
          expect(known[i]!.time).toBeLessThanOrEqual(known[i - 1]!.time + 1e-6);
    }
  });

  it('closes in on the grip from which the kart tips, and never names more than that', () => {
    // On the circle grip and tip limit are all there is: the margin against tipping is gone where grip stops helping.
    const circle = result.grip[1]!.turns!;
    const marginAt = (factor: number): number => {
      const of = demoWith((raw) => {
        raw.days.mild.grip = { ...raw.days.mild.grip, asphalt: factor };
      });
      return perform(of, { verb: 'lap', kart: options.kart, day: 'mild', track: 'circle', spacing: 0.5 })
        .result!.tipMargin;
    };
    let [low, high] = [1, 2.3];
    for (let i = 0; i < 20; i++) {
      const middle = (low + high) / 2;
      if (marginAt(middle) > 1e-6) low = middle;
      else high = middle;
    }
    expect(circle.tips).toBe(true);
    expect(circle.to - circle.from).toBeLessThanOrEqual(0.02);
    expect(circle.from).toBeLessThanOrEqual(low + 1e-3);
    expect(circle.to).toBeGreaterThanOrEqual(low - 1e-3);
    // Before the finer laps are in, the wider bounds hold it too.
    const before = early.grip[1]!.turns!;
    expect(before.from).toBeLessThanOrEqual(circle.from);
    expect(before.to).toBeGreaterThanOrEqual(circle.to);
    expect(before.to - before.from).toBeGreaterThan(0.04);
  });
});
