/**
 * An upshift was only taken where the speed crossed it from below: a clutch that locked beyond it, or a shift refused short of
 * the limiter, left the kart without shift and limiter, at two to four times its engine speed, and quicker for it. And a
 * shift that lost 7 % of its speed was refused although the next gear pulls on: the kart stayed in first up a hill.
 */
import { describe, expect, test } from 'vitest';
import type { AccelerationResult, LapResult, Project } from '../../sim/index.ts';
import { perform } from '../../sim/index.ts';
import { demoWith } from '../sim/demo-project.ts';

const RPM = Math.PI / 30;
const single = { kart: 'clodlet-single-asphalt', day: 'mild', surface: 'asphalt' } as const;
const with_ = (shiftAt?: string, shift?: string): Project =>
  demoWith((raw) => {
    const kart = raw.karts['clodlet-single-asphalt']!;
    if (shiftAt !== undefined) kart.shiftAt = shiftAt;
    if (shift !== undefined) raw.donors['single']!.shift = { up: shift, down: shift };
  });
const run = (project: Project, options: object = {}): AccelerationResult =>
  perform(project, { ...single, verb: 'accelerate', options }).result as AccelerationResult;
const quarter = (result: AccelerationResult): number =>
  result.marks.find(({ label }) => label === '1/4 mile')!.time!;

describe('a start', () => {
  const cases = [undefined, '2000 rpm', '4800 rpm', '6000 rpm'].flatMap((shiftAt) =>
    [0, 0.1, 0.3].flatMap((grade) => ['0.1 s', '0.5 s'].map((shift) => [shiftAt, grade, shift] as const)),
  );
  test.each(cases)(
    'shifting at %s, on a grade of %d, in %s keeps to the limiter',
    (shiftAt, grade, shift) => {
      const project = with_(shiftAt, shift);
      const limit = project.donors['single']!.revLimit;
      // The run is integrated to 1e-9 and ends at the limiter by an event.
      expect(Math.max(...run(project, { grade }).columns.engineSpeed)).toBeLessThanOrEqual(
        limit * (1 + 1e-6),
      );
    },
  );

  test.each([0, 0.1, 0.15, 0.2, 0.3])(
    'on a grade of %d a slower shift is never quicker, nor a cliff',
    (grade) => {
      const times = ['0.1 s', '0.2 s', '0.3 s', '0.4 s', '0.5 s', '0.6 s'].map((shift) =>
        quarter(run(with_(undefined, shift), { grade })),
      );
      for (let i = 1; i < times.length; i++) {
        expect(times[i]!).toBeGreaterThanOrEqual(times[i - 1]! - 1e-6);
        // At most four shifts longer by 0.1 s each, a fifth more for the speed lost meanwhile, and one shift more or less.
        expect(times[i]! - times[i - 1]!).toBeLessThan(1.2 * 4 * 0.1 + 0.6);
      }
    },
  );

  test('shifting short of where the next gear pulls as hard is no quicker than there', () => {
    for (const early of ['2000 rpm', '4800 rpm', '6000 rpm'])
      expect(quarter(run(with_(early)))).toBeGreaterThan(quarter(run(with_())) - 1e-6);
  });

  test.each([2, 3, 4])('from rest in gear %i the clutch locks where engine and wheels turn alike', (gear) => {
    const result = run(with_(), { gear, toDistance: 150 });
    const { time, engineSpeed } = result.columns;
    const at = time.findIndex((t) => t >= result.clutchLocksAt!);
    expect(at).toBeGreaterThan(0);
    for (let i = Math.max(1, at - 2); i < at + 3; i++)
      // Between two rows of a run, 0.05 s apart, an engine in gear changes by a few hundred rpm at the most.
      expect(Math.abs(engineSpeed[i]! - engineSpeed[i - 1]!)).toBeLessThan(300 * RPM);
    // The taller the gear, the longer it slips.
    expect(result.clutchLocksAt!).toBeGreaterThan(run(with_(), { gear: gear - 1 }).clutchLocksAt!);
  });

  test('faster than the limiter allows in its gear it is refused; a speed beyond the limiter is said to be that', () => {
    const refused = perform(with_(), { ...single, verb: 'accelerate', options: { fromSpeed: 22, gear: 1 } });
    expect([refused.status, refused.problems[0]!.code]).toEqual(['problems', 'over-rev']);
    // So short that the limiter and not the air ends it.
    const short = demoWith((raw) => {
      raw.karts['clodlet-single-asphalt']!.sprockets!.rear = 60;
    });
    const beyond = perform(short, { ...single, verb: 'accelerate', options: { toSpeed: 50 } });
    expect(beyond.problems.map(({ code }) => code)).toContain('no-faster');
  });

  test('of a rolling start no mark is called one from rest', () => {
    const labels = (options: object): string[] =>
      run(with_(), options)
        .marks.filter(({ kind }) => kind === 'speed')
        .map(({ label }) => label);
    expect(labels({})).toEqual(['0-50 km/h', '0-60 mph', '0-100 km/h']);
    expect(labels({ fromSpeed: 8 })).toEqual(['to 50 km/h', 'to 60 mph', 'to 100 km/h']);
    expect(labels({ fromSpeed: 8, toSpeed: 100 / 3.6 })).toEqual(['to 50 km/h', 'to 60 mph', 'to 100 km/h']);
  });
});

describe('a lap', () => {
  test.each(['2250 rpm', '5000 rpm', undefined])(
    'shifting at %s keeps to the limiter, and shifts',
    (shiftAt) => {
      const project = with_(shiftAt);
      const limit = project.donors['single']!.revLimit;
      for (const track of ['fettlebrow', 'brindlequag-works', 'tansy-hollow']) {
        const lap = perform(project, { kart: single.kart, day: 'mild', verb: 'lap', track })
          .result as LapResult;
        expect(Math.max(...lap.columns.engineSpeed), track).toBeLessThanOrEqual(limit * (1 + 1e-6));
      }
    },
  );

  test('from a standing start a shift point below the launch is taken too, and is no quicker', () => {
    const time = (shiftAt?: string): number =>
      (
        perform(with_(shiftAt), { kart: single.kart, day: 'mild', verb: 'lap', track: 'fettlebrow' })
          .result as LapResult
      ).time;
    expect(time('2250 rpm')).toBeGreaterThan(time() + 0.1);
  });
});
