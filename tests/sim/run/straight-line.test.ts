import { describe, expect, test } from 'vitest';
import { compileKart, perform } from '../../../sim/index.ts';
import type { Raw } from '../demo-project.ts';
import { demoWith } from '../demo-project.ts';

const demo = demoWith();
const who = { kart: 'clodlet-four-asphalt', day: 'mild', surface: 'asphalt' } as const;
const stop = (options: object, project = demo, kart: string = who.kart, surface: string = who.surface) =>
  perform(project, {
    verb: 'brake',
    ...who,
    kart,
    surface,
    options: { fromSpeed: 60 / 3.6, ...options },
  } as never) as ReturnType<typeof perform<'brake'>>;
const distance = (
  options: object,
  project = demo,
  kart: string = who.kart,
  surface: string = who.surface,
) => {
  const answer = stop(options, project, kart, surface);
  if (answer.result === undefined) throw new Error(JSON.stringify(answer.problems));
  return answer.result.distance;
};

describe('stops', () => {
  test('no balance beats the ideal; a threshold stop beats a coasting one', () => {
    for (const surface of ['asphalt', 'packed-earth', 'loose-clay', 'grass']) {
      for (const kart of ['clodlet-four-knobbly', 'clodlet-single-knobbly']) {
        const ideal = distance({ brakes: 'ideal' }, demo, kart, surface);
        const threshold = distance({ brakes: 'threshold' }, demo, kart, surface);
        const none = distance({ brakes: 'none', toSpeed: 2 }, demo, kart, surface);
        expect(ideal).toBeLessThanOrEqual(threshold + 1e-6);
        expect(threshold).toBeLessThan(none);
      }
    }
  });
  test('a pedal held just under the first lock is the threshold stop at its first moment', () => {
    const threshold = stop({ brakes: 'threshold' }).result!;
    const held = stop({ brakes: 'held', pedalForce: threshold.pedalForce! * 0.999 }).result!;
    expect(held.frontLockedFor + held.rearLockedFor).toBe(0);
    expect(held.columns.deceleration[0]! / threshold.columns.deceleration[0]!).toBeCloseTo(0.999, 2);
  });
  test('a pedal stamped on locks wheels and stops longer on asphalt', () => {
    const stamped = stop({ brakes: 'held', pedalForce: 2000 }).result!;
    expect(stamped.frontLockedFor).toBeGreaterThan(0.9 * stamped.time);
    expect(stamped.distance).toBeGreaterThan(distance({ brakes: 'threshold' }));
    expect(stamped.distance).toBeCloseTo(distance({ brakes: 'locked' }), 3);
  });
  test('where a locked wheel ploughs, locking can stop shorter than the threshold', () => {
    const ploughing = demoWith((raw: Raw) => {
      for (const id of ['knobbly-front', 'knobbly-rear']) raw.tyres[id].grip['loose-clay'].sliding = 0.9;
    });
    expect(distance({ brakes: 'locked' }, ploughing, 'clodlet-four-knobbly', 'loose-clay')).toBeLessThan(
      distance({ brakes: 'threshold' }, ploughing, 'clodlet-four-knobbly', 'loose-clay'),
    );
  });
  test('shares of 0 and 100 % brake one axle', () => {
    const oneAxle = (frontShare: number) =>
      stop(
        { brakes: 'threshold' },
        demoWith((raw: Raw) => {
          raw.brakes.bar = { name: 'One axle', frontShare };
        }),
      ).result!;
    // The unbraked wheels still take a little force: their spin has to be slowed.
    expect(oneAxle(1).frontShareWithEngine).toBeGreaterThan(0.99);
    expect(oneAxle(0).frontShareWithEngine).toBeLessThan(0.01);
    expect(oneAxle(0).firstToLock).toBe('rear');
  });
  test('reaction and build-up lengthen the stop', () => {
    const slow = demoWith((raw: Raw) => {
      raw.karts[who.kart].driver.reaction = '0.5 s';
      raw.brakes.bar.buildUp = '0.2 s';
    });
    const plain = distance({});
    // v (t_r + t_b/2) more, less a t_b²/24 and what rolling and air take meanwhile: 0.15 m.
    expect(Math.abs(distance({ withDelays: true }, slow) - (plain + (60 / 3.6) * 0.6))).toBeLessThan(0.15);
    expect(distance({}, slow)).toBe(plain);
  });
  test('uphill stops shorter, downhill longer, and a hill too steep for the grip never', () => {
    expect(distance({ grade: 0.1 })).toBeLessThan(distance({}));
    expect(distance({ grade: -0.1 })).toBeGreaterThan(distance({}));
    const never = stop({ grade: -0.9 }, demo, 'clodlet-four-knobbly', 'grass');
    expect(never.status).toBe('partial');
    expect(never.problems.map((p) => p.code)).toContain('does-not-stop');
  });
  test('a gear that would over-rev the engine is refused', () => {
    expect(stop({ fromSpeed: 40, engine: 'in gear', gear: 1 })).toMatchObject({
      status: 'problems',
      problems: [{ code: 'over-rev' }],
    });
  });
  test('a pedal force without hydraulics names what is missing', () => {
    expect(stop({ brakes: 'held', pedalForce: 200 }, demo, 'clodlet-single-plain')).toMatchObject({
      status: 'problems',
      problems: [{ code: 'no-hydraulics' }],
    });
  });
  test('the engine does more of the slowing in a lower gear', () => {
    const share = (gear: number) => stop({ fromSpeed: 12, engine: 'in gear', gear }).result!.engineShare;
    expect(share(1)).toBeGreaterThan(share(3));
    expect(share(3)).toBeGreaterThan(share(6));
  });
});

describe('starts', () => {
  const run = (options: object = {}, project = demo) =>
    perform(project, { verb: 'accelerate', ...who, options });
  test('marks come in order and columns rise', () => {
    const { marks, columns } = run().result!;
    const byDistance = marks.filter((m) => m.kind === 'distance').sort((a, b) => a.target - b.target);
    for (let i = 1; i < byDistance.length; i++)
      expect(byDistance[i]!.time!).toBeGreaterThan(byDistance[i - 1]!.time!);
    for (let i = 1; i < columns.time.length; i++)
      expect(columns.distance[i]!).toBeGreaterThanOrEqual(columns.distance[i - 1]!);
  });
  test('a one-foot rollout shortens the time by what the first foot takes', () => {
    const plain = run({ distances: [0.3048] }).result!;
    const rolled = run({ oneFootRollout: true }).result!;
    const first = plain.marks.find((m) => m.target === 0.3048)!.time!;
    const at = (r: typeof plain) => r.marks.find((m) => m.label === '60 ft')!.time!;
    expect(at(rolled)).toBeLessThan(at(plain));
    expect(at(plain) - at(rolled)).toBeLessThan(first);
  });
  test('without grip the kart does not get away, and says so', () => {
    const answer = run({ grade: 1.5 });
    expect(answer.status).toBe('partial');
    expect(answer.problems.map((p) => p.code)).toContain('stalls');
  });
  test('a gear there is none of is refused', () => {
    expect(run({ gear: 9 })).toMatchObject({ status: 'problems', problems: [{ code: 'no-gear' }] });
  });
  test('a mark beyond the top speed is not reached, and says so', () => {
    const answer = run({ toSpeed: 140 });
    expect(answer.status).toBe('partial');
    expect(answer.problems.map((p) => p.code)).toContain('no-faster');
  });
});

describe('left in gear on a descent', () => {
  const down = (gear: number, engine = 'in gear') =>
    stop({ brakes: 'none', fromSpeed: 40 / 3.6, grade: -0.08, engine, gear }, demo, 'clodlet-single-asphalt');
  test('in first the engine holds it near its idle speed, and that is no free run', () => {
    const answer = down(1);
    const { drivetrain } = compileKart(demo, { kart: 'clodlet-single-asphalt', day: 'mild' }).kart!;
    expect(answer.problems.map(({ code }) => code)).toEqual(['settles']);
    // Where its clutch would be pulled.
    expect(answer.result!.endSpeed).toBeCloseTo(drivetrain.gears[0]!.overrunFrom, 6);
    expect(Math.max(...answer.result!.columns.speed)).toBeLessThanOrEqual(40 / 3.6 + 1e-9);
  });
  test('with the clutch in it runs on', () => {
    expect(down(1, 'clutch in').problems.map(({ code }) => code)).toContain('does-not-stop');
  });
});

describe('steady corners', () => {
  const corner = (options: object, project = demo) =>
    perform(project, { verb: 'corner', ...who, options } as never) as ReturnType<typeof perform<'corner'>>;
  test('agree with the lap of a circle of that radius', () => {
    const lap = perform(demo, { verb: 'lap', kart: who.kart, day: 'mild', track: 'circle' }).result!;
    const grip = demoWith((raw: Raw) => {
      const use = raw.karts[who.kart].driver.gripUse;
      const share =
        Number.parseFloat(String(use?.value ?? use)) / (String(use?.value ?? use).includes('%') ? 100 : 1);
      raw.days.mild.grip = { asphalt: share };
    });
    // The lap's limit speed is found to 1e-8.
    expect(corner({ radius: 20 }, grip).result!.speed!).toBeCloseTo(lap.topSpeed, 5);
  });
  test('a radius that is no radius is refused', () => {
    expect(corner({ radius: 0 }).status).toBe('problems');
  });
});
