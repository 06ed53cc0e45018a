/**
 * The quickest speed along a track for a kart: passes in v^2 over the stations.
 *
 * In: a lap problem (a compiled kart and track, with the greatest speed at every station). Out: v^2, gear, limit and
 * time per step, with status and counts. Knows nothing of how results are shown (lap.ts describes them).
 *
 * With y = v^2, dy/ds = 2 a(s, y):
 * 1. limit pass (lap/limit-pass.ts, once per lap problem): y_max from lateral equilibrium while holding speed;
 * 2. braking pass (lap/braking-pass.ts), backward: y_b, braking at the set balance with the engine's part;
 * 3. driving pass, forward, here and in lap/driving-step.ts: drive, shifts, limiter, never above y_b.
 * Second order in the step; the track has two stations where the ground jumps.
 */
import { brakingPass, type EngineBraking } from './lap/braking-pass.ts';
import { driveStep, STEP } from './lap/driving-step.ts';
import { type Driving, startDriving } from './lap/full-throttle.ts';
import type { LapProblem } from './lap/lap-problem.ts';
import { type Upshift, undoShiftsThatDoNotPay } from './lap/upshift-choice.ts';
import { emptyColumns, freshWalker, PHASE, type WalkColumns, type Walker } from './lap/walker.ts';

export type LapStart = 'flying' | 'standing' | 'rolling';

export interface LapConditions {
  readonly start: LapStart;
  readonly engineBraking: EngineBraking;
}

export interface LapSolution {
  /** impossible: no speed holds a station; runaway: the brakes cannot slow the kart for what follows */
  readonly status: 'done' | 'stalled' | 'impossible' | 'runaway' | 'unsettled';
  /** Station at which a kart stalled or no speed was possible; -1 otherwise */
  readonly failedAt: number;
  readonly time: number;
  /** v^2, m2/s2 */
  readonly squared: Float64Array;
  /** Acceleration along the road at each station, m/s2 */
  readonly acceleration: Float64Array;
  readonly gear: Uint8Array;
  readonly limit: Uint8Array;
  /** Time of the step that starts at each station, s */
  readonly stepTime: Float64Array;
  /** Longitudinal tyre force is braking at the station */
  readonly braking: Uint8Array;
  /** Where the kart brakes there, it does so with the clutch in */
  readonly clutchDipped: Uint8Array;
  readonly firstStation: number;
  readonly shifts: number;
  /** Times round the track until the flying lap repeated itself */
  readonly rounds: number;
  /** Relative change of v^2 at the line in the last round */
  readonly residual: number;
}

const MAX_ROUNDS = 60;
const ROUND_TOLERANCE = 1e-10;

export function solveLap(problem: LapProblem, conditions: LapConditions): LapSolution {
  const { track, limits, gears } = problem;
  const n = track.count;
  const out = emptyColumns(n);
  if (limits.failedAt >= 0)
    return solution('impossible', out, new Uint8Array(n), { failedAt: limits.failedAt });
  const curve = brakingPass(problem, conditions.engineBraking);
  const { clutchDipped } = curve;
  if (curve.runawayAt >= 0) return solution('runaway', out, clutchDipped, { failedAt: curve.runawayAt });

  const { launch } = problem.kart.drivetrain;
  const ring = track.closed;
  const flying = ring && conditions.start === 'flying';
  const first = flying ? limits.slowest : 0;
  let y = 0;
  if (flying) y = curve.squared[first]!;
  else if (conditions.start !== 'standing') y = Math.min(curve.squared[0]!, track.startSpeed ** 2);
  const drive = startDriving(problem, curve);
  let carry: Walker | undefined;
  for (let rounds = 1; ; rounds++) {
    const w = carry === undefined ? freshWalker(gears, launch, y) : { ...carry, a: Number.NaN, shifts: 0 };
    const startSquared = w.y;
    const stalledAt = driveRound(drive, w, first, out);
    const done = { rounds, firstStation: first, shifts: w.shifts };
    if (stalledAt >= 0) return solution('stalled', out, clutchDipped, { ...done, failedAt: stalledAt });
    if (!flying) return solution('done', out, clutchDipped, done);
    const residual = Math.abs(w.y - startSquared) / Math.max(startSquared, 1e-9);
    const sameGear = carry !== undefined || w.gear === freshWalker(gears, launch, startSquared).gear;
    if (residual < ROUND_TOLERANCE && sameGear)
      return solution('done', out, clutchDipped, { ...done, residual });
    if (rounds >= MAX_ROUNDS) return solution('unsettled', out, clutchDipped, { ...done, residual });
    carry = w;
  }
}

/** Drives once round, or to the end of an open course; the station at which the kart stalled, or -1. */
function driveRound(drive: Driving, w: Walker, first: number, out: WalkColumns): number {
  const { track } = drive.problem;
  const n = track.count;
  const total = track.closed ? n : n - 1;
  const upshifts: Upshift[] = [];
  for (let count = 0; count < total; count++) {
    const i = first + count < n ? first + count : first + count - n;
    const gear = w.gear;
    const driving = w.phase === PHASE.drive;
    const { y, a, shifts } = w;
    const code = driveStep(drive, i, w, true, out);
    if (code === STEP.stalled) return i;
    if (driving && w.phase === PHASE.shift && w.target > gear) upshifts.push({ count, y, a, gear, shifts });
    if (upshifts.length > 0 && (code === STEP.joinedBraking || (!track.closed && count === total - 1))) {
      count = undoShiftsThatDoNotPay(drive, upshifts, { first, total, joined: count }, w, out);
      upshifts.length = 0;
    }
  }
  if (!track.closed) {
    out.y[n - 1] = w.y;
    out.gear[n - 1] = w.gear;
    out.limit[n - 1] = out.limit[n - 2]!;
    out.a[n - 1] = out.a[n - 2]!;
    out.braking[n - 1] = out.braking[n - 2]!;
  }
  return -1;
}

function solution(
  status: LapSolution['status'],
  out: WalkColumns,
  clutchDipped: Uint8Array,
  found: Partial<Pick<LapSolution, 'failedAt' | 'firstStation' | 'rounds' | 'residual' | 'shifts'>>,
): LapSolution {
  let time = 0;
  for (let i = 0; i < out.time.length; i++) time += out.time[i]!;
  return {
    status,
    failedAt: -1,
    time,
    squared: out.y,
    acceleration: out.a,
    gear: out.gear,
    limit: out.limit,
    stepTime: out.time,
    braking: out.braking,
    clutchDipped,
    firstStation: 0,
    shifts: 0,
    rounds: 0,
    residual: 0,
    ...found,
  };
}
