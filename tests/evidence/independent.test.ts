/**
 * Runs and laps against SciPy: tests/evidence/independent/recompute.py integrates the equations of sim/MODEL.md with
 * general-purpose solvers and stores inputs and answers; here our solver answers the same projects.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type Project, perform, type Request, readProjectValue, type Verb } from '../../sim/index.ts';

type Pair = readonly [time: number, speed: number];
interface Case<V extends Verb, E> {
  readonly name: string;
  readonly project: unknown;
  readonly request: Extract<Request, { verb: V }>;
  readonly expect: E;
}
type Acceleration = Case<
  'accelerate',
  | {
      readonly marks: Readonly<Record<string, Pair>>;
      readonly shifts: readonly Pair[];
      readonly clutchLocksAt: number;
    }
  | { readonly time: number; readonly speed: number }
>;
type Braking = Case<'brake', { readonly time: number; readonly distance: number; readonly speed: number }>;
type Corner = Case<'corner', { readonly speed: number }>;
type Lap = Case<
  'lap',
  {
    readonly time: number;
    readonly length: number;
    readonly probes: readonly (readonly [at: number, speed: number, limit: number])[];
  }
>;

const { cases } = JSON.parse(
  readFileSync(new URL('./independent/results.json', import.meta.url), 'utf8'),
) as { readonly cases: readonly (Acceleration | Braking | Corner | Lap)[] };

/**
 * SciPy ran at a relative tolerance of 1e-11, ours at 1e-9 or tighter; the torque curve has a continuous slope only, so
 * both lose some digits at its points. 1e-7 is a hundred steps' worth of ours.
 */
const OVER_TIME = 1e-7;
/** Roots on both sides stop at 1e-13 of the speed or 1e-6 N of some thousand; square root of a force halves the rest. */
const ROOT = 1e-9;
/** Second order: stations this close leave 1/400 of the error at half a metre, which is below 5e-5 of these laps. */
const FINE = 0.025;
const LAP = 1e-6;
/** Speed read between two stations by a straight line in v^2: at a switch from drive to brakes off by 5 m/s2 x 0.025 m. */
const PROBE = 1e-5;
/** Model page, section 6: the default spacing is within a millisecond of the converged lap. */
const DEFAULT_SPACING_ERROR = 1e-3;

const off = (ours: number, theirs: number) => Math.abs(ours / theirs - 1);
const of = <V extends Verb>(verb: V) => cases.filter((c) => c.request.verb === verb);

describe('independent recomputation: acceleration', () => {
  it.each(of('accelerate') as readonly Acceleration[])('$name', ({ project, request, expect: theirs }) => {
    const ours = answerTo(project, request);
    if ('marks' in theirs) {
      for (const [at, [time, speed]] of Object.entries(theirs.marks)) {
        const mark = ours.marks.find((m) => m.kind === 'distance' && m.target === Number(at));
        expect(off(mark?.time ?? 0, time), `time at ${at} m`).toBeLessThan(OVER_TIME);
        expect(off(mark?.speed ?? 0, speed), `speed at ${at} m`).toBeLessThan(OVER_TIME);
      }
      const shifts = ours.shifts ?? [];
      expect(shifts).toHaveLength(theirs.shifts.length);
      for (const [i, [time, speed]] of theirs.shifts.entries()) {
        expect(off(shifts[i]?.time ?? 0, time), `time of shift ${i}`).toBeLessThan(OVER_TIME);
        expect(off(shifts[i]?.speed ?? 0, speed), `speed of shift ${i}`).toBeLessThan(OVER_TIME);
      }
      expect(off(ours.clutchLocksAt ?? 0, theirs.clutchLocksAt), 'clutch').toBeLessThan(OVER_TIME);
    } else {
      expect(off(ours.time, theirs.time), 'time').toBeLessThan(OVER_TIME);
      expect(off(ours.speed, theirs.speed), 'speed').toBeLessThan(OVER_TIME);
    }
  });
});

describe('independent recomputation: deceleration', () => {
  it.each(of('brake') as readonly Braking[])('$name', ({ project, request, expect: theirs }) => {
    const ours = answerTo(project, request);
    expect(off(ours.time, theirs.time), 'time').toBeLessThan(OVER_TIME);
    expect(off(ours.distance, theirs.distance), 'distance').toBeLessThan(OVER_TIME);
    expect(off(ours.endSpeed, theirs.speed), 'speed').toBeLessThan(OVER_TIME);
  });
});

describe('independent recomputation: steady corners', () => {
  it.each(of('corner') as readonly Corner[])('$name', ({ project, request, expect: theirs }) => {
    expect(off(answerTo(project, request).speed ?? 0, theirs.speed)).toBeLessThan(ROOT);
  });
});

describe('independent recomputation: laps', () => {
  it.each(of('lap') as readonly Lap[])('$name', ({ project, request, expect: theirs }) => {
    const fine = answerTo(project, { ...request, spacing: FINE });
    expect(off(fine.length, theirs.length), 'length').toBeLessThan(1e-9);
    expect(off(fine.time, theirs.time), 'time').toBeLessThan(LAP);
    const { distance, speed } = fine.columns;
    for (const [at, there] of theirs.probes) {
      const i = distance.findIndex((s) => s >= at);
      const share = (at - distance[i - 1]!) / (distance[i]! - distance[i - 1]!);
      const squared = (1 - share) * speed[i - 1]! ** 2 + share * speed[i]! ** 2;
      expect(off(Math.sqrt(squared), there), `speed at ${at} m`).toBeLessThan(PROBE);
    }
    const usual = answerTo(project, request);
    expect(Math.abs(usual.time - theirs.time), 'default spacing, s').toBeLessThan(DEFAULT_SPACING_ERROR);
  });
});

it('covers every kind of run', () => {
  expect([of('accelerate').length, of('brake').length, of('corner').length, of('lap').length]).toEqual([
    3, 7, 4, 4,
  ]);
});

function answerTo<V extends Verb>(value: unknown, request: Extract<Request, { verb: V }>) {
  const read = readProjectValue(value);
  if (read.project === undefined) throw new Error(`case does not read: ${read.problems[0]?.message}`);
  const { status, result, problems } = perform<V>(read.project satisfies Project, request);
  if (result === undefined) throw new Error(`${status}: ${problems[0]?.message}`);
  return result;
}
