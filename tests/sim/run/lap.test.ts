import { describe, expect, test } from 'vitest';
import type { LapResult } from '../../../sim/index.ts';
import { perform } from '../../../sim/index.ts';
import { LIMIT } from '../../../sim/run/limit.ts';
import type { Raw } from '../demo-project.ts';
import { demoWith } from '../demo-project.ts';

const demo = demoWith();
const lap = (kart: string, track: string, more: object = {}, project = demo) =>
  perform(project, { verb: 'lap', kart, day: 'mild', track, ...more });
const result = (kart: string, track: string, more: object = {}, project = demo): LapResult => {
  const answer = lap(kart, track, more, project);
  if (answer.result === undefined) throw new Error(JSON.stringify(answer.problems));
  return answer.result;
};
const karts = Object.keys(demo.karts);
const tracks = Object.keys(demo.tracks);

describe('every kart on every track', () => {
  test.each(tracks)('%s: finite columns, loads, limits and a time that adds up', (track) => {
    for (const kart of karts) {
      const r = result(kart, track);
      const c = r.columns;
      for (const [name, column] of Object.entries(c))
        expect((column as Float64Array).every(Number.isFinite), `${kart} ${name}`).toBe(true);
      expect(r.timeInGear.reduce((a, b) => a + b, 0)).toBeCloseTo(r.time, 9);
      expect(r.timeAtLimit.reduce((a, b) => a + b, 0)).toBeCloseTo(r.time, 9);
      for (let i = 0; i < c.speed.length; i++) {
        expect(
          Math.min(c.frontLeft[i]!, c.frontRight[i]!, c.rearLeft[i]!, c.rearRight[i]!),
        ).toBeGreaterThanOrEqual(0);
        expect(c.throttle[i]! >= 0 && c.throttle[i]! <= 1 && c.brake[i]! >= 0).toBe(true);
      }
    }
  });

  test('grip used stays within one, but for the coarseness of reported accelerations', () => {
    for (const kart of karts) {
      const c = result(kart, 'brindlequag-works', { spacing: 0.1 }).columns;
      const over = Array.from(c.useFront, (u, i) => Math.max(u, c.useRear[i]!)).filter(
        (u) => u > 1.02,
      ).length;
      // Where the speed is held at a bend the acceleration shown is a difference over one step.
      expect(over / c.useFront.length).toBeLessThan(0.02);
    }
  });
});

describe('shifts', () => {
  test('longer shifts are never quicker', () => {
    const time = (seconds: number) =>
      result(
        'clodlet-four-asphalt',
        'brindlequag-works',
        {},
        demoWith((raw: Raw) => {
          raw.donors.four.shift = { up: seconds, down: seconds };
        }),
      ).time;
    const times = [0, 0.1, 0.3, 0.6, 1.2].map(time);
    // Staying in gear is chosen where shifting does not pay: a millisecond of slack for the station spacing.
    for (let i = 1; i < times.length; i++) expect(times[i]!).toBeGreaterThanOrEqual(times[i - 1]! - 1e-3);
  });
  test('a shift that cannot pay back before the corner is not taken', () => {
    const slow = demoWith((raw: Raw) => {
      raw.donors.four.shift = { up: 3, down: 0.2 };
    });
    const quick = demoWith((raw: Raw) => {
      raw.donors.four.shift = { up: 0.05, down: 0.2 };
    });
    expect(result('clodlet-four-asphalt', 'oval', {}, slow).timeAtLimit[LIMIT.shift]).toBe(0);
    expect(result('clodlet-four-asphalt', 'oval', {}, quick).timeAtLimit[LIMIT.shift]).toBeGreaterThan(0);
  });
});

describe('starts', () => {
  test('a standing lap is slower than a flying one and begins at rest', () => {
    const standing = result('clodlet-single-asphalt', 'oval', { options: { start: 'standing' } });
    expect(standing.columns.speed[0]).toBe(0);
    expect(standing.time).toBeGreaterThan(result('clodlet-single-asphalt', 'oval').time);
  });
  test('a flying lap of an open course is a problem', () => {
    expect(lap('clodlet-single-asphalt', 'fettlebrow', { options: { start: 'flying' } })).toMatchObject({
      status: 'problems',
      problems: [{ code: 'needs-closed-track' }],
    });
  });
});

describe('a rolling start', () => {
  const from = (speed: string) =>
    lap(
      'clodlet-four-asphalt',
      'brindlequag-works',
      { options: { start: 'rolling' } },
      demoWith((raw: Raw) => {
        raw.tracks['brindlequag-works'].closed = false;
        raw.tracks['brindlequag-works'].startSpeed = speed;
      }),
    );
  test('faster than the kart can be there is taken slower, and said to be', () => {
    const [slow, fast] = [from('20 km/h'), from('250 km/h')];
    expect(slow.problems.map(({ code }) => code)).not.toContain('start-slower');
    expect(slow.result!.columns.speed[0]!).toBeCloseTo(20 / 3.6, 9);
    expect(fast.problems.map(({ code }) => code)).toContain('start-slower');
    expect(fast.result!.columns.speed[0]!).toBeLessThan(250 / 3.6);
  });
});

describe('engine braking', () => {
  test('choosing what pays is never slower than always or never', () => {
    for (const kart of ['clodlet-four-knobbly', 'clodlet-single-knobbly', 'clodlet-twin-knobbly']) {
      const time = (engineBraking: string) =>
        result(kart, 'tansy-hollow', { options: { engineBraking } }).time;
      const best = time('as it pays');
      // 0.1 ms: the three are solved on the same stations.
      expect(best).toBeLessThanOrEqual(Math.min(time('always'), time('never')) + 1e-4);
    }
  });
  test('its share of the slowing is none with the clutch in', () => {
    expect(
      result('clodlet-single-knobbly', 'tansy-hollow', { options: { engineBraking: 'never' } })
        .engineShareOfSlowing,
    ).toBe(0);
    expect(
      result('clodlet-single-knobbly', 'tansy-hollow', { options: { engineBraking: 'always' } })
        .engineShareOfSlowing,
    ).toBeGreaterThan(0.05);
  });
});

describe('hazards and refusals', () => {
  test('a tall narrow kart on sticky tyres is held at the tip limit, with a warning', () => {
    const answer = lap(
      'clodlet-four-asphalt',
      'circle',
      {},
      demoWith((raw: Raw) => {
        raw.chassis.clodlet.track = { front: 0.85, rear: 0.85 };
        raw.chassis.clodlet.cg.height = 0.62;
        raw.chassis.clodlet.driverAt.height = 0.75;
      }),
    );
    expect(answer.problems.map((p) => p.code)).toContain('tips');
    expect(answer.result!.timeAtLimit[LIMIT.tip]!).toBeGreaterThan(0.5 * answer.result!.time);
    expect(answer.result!.tipMargin).toBeCloseTo(0, 3);
  });
  test('a bend tighter than the kart can turn, a track narrower than the kart', () => {
    const tight = lap(
      'clodlet-four-asphalt',
      'oval',
      {},
      demoWith((raw: Raw) => {
        raw.chassis.clodlet.turningRadius = '25 m';
      }),
    );
    expect(tight).toMatchObject({ status: 'problems' });
    expect(tight.problems.map((p) => p.code)).toContain('too-tight');
    expect(tight.problems[0]?.message).toMatch(/\d+ m from the start/);
  });
  test('tyres that do not know the surface', () => {
    const answer = lap(
      'clodlet-four-asphalt',
      'tansy-hollow',
      {},
      demoWith((raw: Raw) => {
        for (const id of ['asphalt-front', 'asphalt-rear']) delete raw.tyres[id].grip['loose-clay'];
      }),
    );
    expect(answer).toMatchObject({ status: 'problems', problems: [{ code: 'no-grip' }] });
  });
  test('a bank no speed can hold', () => {
    const answer = lap(
      'clodlet-four-knobbly',
      'oval',
      {},
      demoWith((raw: Raw) => {
        raw.tracks.oval.sections = [{ from: 5, to: 20, bank: '70 deg' }];
      }),
    );
    expect(answer.status).toBe('failed');
    expect(answer.problems.map((p) => p.code)).toContain('cannot-drive');
  });
});
