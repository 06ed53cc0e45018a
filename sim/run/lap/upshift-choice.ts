/**
 * Whether the upshifts before a braking point pay: each stretch is driven again staying in gear.
 *
 * In: the upshifts taken since the last braking point and the walker that has reached the next. Out: the quicker of the
 * two runs in the columns, and the step up to which the lap is now driven.
 */
import { driveStep, STEP } from './driving-step.ts';
import type { Driving } from './full-throttle.ts';
import { emptyColumns, freshWalker, PHASE, type WalkColumns, type Walker } from './walker.ts';

/** The state at the start of the step in which an upshift began; steps are counted from the start of the round. */
export interface Upshift {
  readonly count: number;
  readonly y: number;
  readonly a: number;
  readonly gear: number;
  readonly shifts: number;
}

export interface Round {
  /** Station at which the round began, and its number of steps */
  readonly first: number;
  readonly total: number;
  /** Step in which the braking curve was joined */
  readonly joined: number;
}

/** Goes back over the upshifts, latest first. */
export function undoShiftsThatDoNotPay(
  d: Driving,
  upshifts: Upshift[],
  round: Round,
  w: Walker,
  out: WalkColumns,
): number {
  const { track, gears, kart } = d.problem;
  const n = track.count;
  const { first, total } = round;
  d.scratch ??= emptyColumns(n);
  const { scratch } = d;
  let reachedStep = round.joined;
  for (let last = upshifts.pop(); last !== undefined; last = upshifts.pop()) {
    const trial = freshWalker(gears, kart.drivetrain.launch, last.y);
    trial.gear = last.gear;
    trial.phase = PHASE.drive;
    trial.a = last.a;
    trial.shifts = last.shifts;
    const begin = (first + last.count) % n;
    scratch.limit[begin] = out.limit[begin]!;
    let stayed = 0;
    let shifted = 0;
    let end = -1;
    for (let count = last.count; count < total; count++) {
      const i = (first + count) % n;
      const code = driveStep(d, i, trial, false, scratch);
      if (code === STEP.stalled) break;
      stayed += scratch.time[i]!;
      // Beyond its joining point the shifted run follows the braking curve.
      shifted += count <= reachedStep ? out.time[i]! : brakingTime(d, i);
      if (count >= reachedStep && (code === STEP.joinedBraking || (!track.closed && count === total - 1))) {
        end = count;
        break;
      }
    }
    if (end < 0 || stayed >= shifted) return reachedStep;
    for (let count = last.count; count <= end; count++) copyStation(scratch, out, (first + count) % n);
    Object.assign(w, trial);
    reachedStep = end;
  }
  return reachedStep;
}

/** Time of the step that starts at station i on the braking curve, s. */
function brakingTime(d: Driving, i: number): number {
  const h = d.problem.track.step[i]!;
  const { squared } = d.curve;
  const j = i + 1 < squared.length ? i + 1 : 0;
  return h === 0 ? 0 : (2 * h) / (Math.sqrt(squared[i]!) + Math.sqrt(squared[j]!));
}

function copyStation(from: WalkColumns, to: WalkColumns, i: number): void {
  to.y[i] = from.y[i]!;
  to.a[i] = from.a[i]!;
  to.gear[i] = from.gear[i]!;
  to.limit[i] = from.limit[i]!;
  to.time[i] = from.time[i]!;
  to.braking[i] = from.braking[i]!;
}
