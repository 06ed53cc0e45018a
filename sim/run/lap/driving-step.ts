/**
 * One step of a kart that drives as hard as it may: full throttle, shifts, limiter, never above the braking curve.
 *
 * In: a lap problem, the braking curve, a walker at a station. Out: the walker at the next station, and its columns.
 * Predicts with the acceleration known, evaluates once at the far station and corrects with the trapezoid; the step is
 * split where a gear, the clutch or the limiter changes the acceleration by a jump.
 */
import { passingForce } from '../../physics/grip/hold.ts';
import { GROUND_STRIDE, holdForce, placeOn } from '../../physics/grip/place.ts';
import { LIMIT } from '../limit.ts';
import { accelerate, accelerateBetween, type Driving, upshiftHelps } from './full-throttle.ts';
import { gearAt, thrustIn } from './gear-table.ts';
import {
  DOWNSHIFT_SQUARED,
  endShift,
  PHASE,
  settleGear,
  startShift,
  type WalkColumns,
  type Walker,
} from './walker.ts';

/**
 * The braking curve lies below what a bend holds by more than this share of v^2. The limit pass knows that to 1e-8, and
 * two stations of one place may differ by as much.
 */
const BELOW_BEND = 1 - 1e-7;

/** Outcome of a step. */
export const STEP = { free: 0, joinedBraking: 1, heldByCorner: 2, stalled: 3 } as const;

/** Drives the step that starts at station i. */
export function driveStep(d: Driving, i: number, w: Walker, shiftAllowed: boolean, out: WalkColumns): number {
  const { problem, curve } = d;
  const { gears, track } = problem;
  const { ground } = track;
  const { most } = problem.limits;
  const { squared: back, deceleration: backDecel } = curve;
  const { drivetrain } = problem.kart;
  const j = i + 1 < track.count ? i + 1 : 0;
  const h = track.step[i]!;
  const g = problem.instants[track.surface[i]!]!;
  const { s } = g;
  let y = w.y;
  out.y[i] = y;
  out.gear[i] = w.gear;
  out.braking[i] = 0;
  const backHere = back[i]!;
  const backThere = back[j]!;
  if (h === 0) {
    // The ground changes: same speed, new acceleration.
    out.time[i] = 0;
    if (Number.isNaN(w.a)) {
      s.squared = y;
      accelerate(d, g, ground, GROUND_STRIDE * i, w.gear, w.phase, w);
      out.a[i] = s.acceleration;
    } else out.a[i] = w.a;
    out.limit[i] = i > 0 ? out.limit[i - 1]! : d.limit;
    w.y = Math.min(y, backThere);
    w.a = Number.NaN;
    w.stepBefore = 0;
    return STEP.free;
  }
  let v = Math.sqrt(y);
  if (w.phase === PHASE.drive && y === backHere) {
    if (y < most[i]! && backThere < y) {
      // On the braking curve: any throttle would leave it, so nothing needs to be evaluated.
      out.a[i] = -backDecel[i]!;
      out.limit[i] = curve.limit[i]!;
      out.braking[i] = 1;
      out.gear[i] = gearAt(gears, y);
      out.time[i] = (2 * h) / (v + Math.sqrt(backThere));
      joinCurve(d, j, w, true);
      return backThere < most[j]! * BELOW_BEND ? STEP.joinedBraking : STEP.heldByCorner;
    }
    if (
      y === most[i]! &&
      backThere <= y &&
      Number.isNaN(w.a) &&
      y < gears.limitSquared[w.gear]! * (1 - 1e-13)
    ) {
      // At the speed that a bend holds, with no more allowed at the next station: the grip is known to hold it, unless
      // the bend is passed on momentum.
      s.squared = y;
      s.speed = v;
      placeOn(g, ground, GROUND_STRIDE * i);
      const hold = holdForce(g);
      if (thrustIn(gears, w.gear, v) >= hold && passingForce(g) === hold) {
        showHeld(d, i, j, y, out);
        out.time[i] = (2 * h) / (v + Math.sqrt(backThere));
        const onBrakes = backThere < most[j]! * BELOW_BEND;
        joinCurve(d, j, w, onBrakes);
        return onBrakes ? STEP.joinedBraking : STEP.heldByCorner;
      }
    }
  }
  if (Number.isNaN(w.a)) {
    s.squared = y;
    accelerate(d, g, ground, GROUND_STRIDE * i, w.gear, w.phase, w);
    w.a = s.acceleration;
  } else d.limit = out.limit[i]!;
  let a = w.a;
  out.a[i] = a;
  out.limit[i] = d.limit;
  let time = 0;
  let done = 0;
  let code: number = STEP.free;
  let finished = false;
  for (let pieces = 0; pieces < 40; pieces++) {
    const left = h * (1 - done);
    // Due already: the clutch has locked, or the brakes were left, beyond the speed of the next shift; not in a bend.
    const isDue = w.phase === PHASE.drive && shiftAllowed && !w.stays && y >= gears.upSquared[w.gear]!;
    if (isDue && w.gear < gears.top && (done > 0 || y !== backHere || backThere > y)) {
      if (upshiftHelps(d, g, i, j, done, y, w)) startShift(w, w.gear + 1, drivetrain.upshiftTime);
      else w.stays = true;
      a = accelerateBetween(d, g, i, j, done, y, w);
      w.stepBefore = 0;
      if (done === 0) {
        out.a[i] = a;
        out.limit[i] = d.limit;
      }
    }
    const held = w.phase === PHASE.drive && y >= gears.limitSquared[w.gear]! * (1 - 1e-13);
    const bend = w.stepBefore > 0 && pieces === 0 ? ((a - w.aBefore) * left) / (2 * w.stepBefore) : 0;
    // Beyond y_b the step will be cut anyway, and beyond y_max nothing can be evaluated.
    const predicted = Math.min(Math.max(0, y + 2 * left * (a + bend)), backThere);
    // Held at a falling limit and able to hold: the step is cut whatever the engine gives.
    const sure = predicted === backThere && backThere <= y && a >= 0;
    let aEnd = a;
    if (!sure) {
      s.squared = predicted;
      accelerate(d, g, ground, GROUND_STRIDE * j, w.gear, w.phase, w);
      aEnd = s.acceleration;
    }
    let endLimit = d.limit;
    let reached = y + left * (a + aEnd);
    if (a < 0 && aEnd > 0 && reached > backThere && y === backHere && backThere * BELOW_BEND <= y) {
      // Passed on momentum: too fast to be held here, and a little slower not: it settles where it neither gains nor loses.
      reached = Math.min(backThere, predicted + ((y - predicted) * aEnd) / (aEnd - a));
    }
    if (held && reached >= y) {
      // Pinned at the limiter; an upshift is taken where one is allowed and helps.
      if (shiftAllowed && w.gear < gears.top && upshiftHelps(d, g, i, j, done, y, w)) {
        startShift(w, w.gear + 1, drivetrain.upshiftTime);
        a = accelerateBetween(d, g, i, j, done, y, w);
        continue;
      }
      reached = y;
      aEnd = 0;
      endLimit = LIMIT.revLimiter;
      if (done === 0) {
        out.limit[i] = LIMIT.revLimiter;
        out.a[i] = 0;
      }
    }
    if (reached <= 0) {
      w.y = 0;
      out.time[i] = time;
      return STEP.stalled;
    }
    const clipped = reached > backThere;
    const target = clipped ? backThere : reached;
    // Events inside the step, in order of y or time.
    if (w.phase === PHASE.shift) {
      const duration = (2 * left) / (v + Math.sqrt(target));
      if (duration > w.left) {
        const dist = Math.min(left, w.left * Math.max(0, v + 0.5 * a * w.left));
        const yHere = clipped
          ? y + ((target - y) * dist) / left
          : Math.max(0, y + 2 * dist * (a + ((aEnd - a) * dist) / (2 * left)));
        time += w.left;
        done += dist / h;
        y = yHere;
        v = Math.sqrt(y);
        endShift(gears, w, y);
        if (done >= 1 - 1e-12) break;
        a = accelerateBetween(d, g, i, j, done, y, w);
        continue;
      }
      w.left -= duration;
    } else if (target > y) {
      const lock = w.phase === PHASE.slip;
      const edge = lock
        ? w.lockSquared
        : shiftAllowed && !w.stays && w.gear < gears.top
          ? Math.min(gears.upSquared[w.gear]!, gears.limitSquared[w.gear]!)
          : gears.limitSquared[w.gear]!;
      if (y < edge && target > edge) {
        const share = (edge - y) / (target - y);
        const dist = share * left;
        time += (2 * dist) / (v + Math.sqrt(edge));
        done += dist / h;
        y = edge;
        v = Math.sqrt(edge);
        if (lock) w.phase = PHASE.drive;
        else if (shiftAllowed && w.gear < gears.top && upshiftHelps(d, g, i, j, Math.min(1, done), y, w)) {
          startShift(w, w.gear + 1, drivetrain.upshiftTime);
        } else w.stays = true;
        a = accelerateBetween(d, g, i, j, Math.min(1, done), y, w);
        continue;
      }
    } else if (!clipped && w.phase === PHASE.drive && w.gear > 0) {
      const edge = gears.upSquared[w.gear - 1]! * DOWNSHIFT_SQUARED;
      if (target < edge) {
        const share = y > edge ? (y - edge) / (y - target) : 0;
        const dist = share * left;
        if (dist > 0) time += (2 * dist) / (v + Math.sqrt(edge));
        done += dist / h;
        y = Math.min(y, edge);
        v = Math.sqrt(y);
        startShift(w, w.gear - 1, drivetrain.downshiftTime);
        a = accelerateBetween(d, g, i, j, done, y, w);
        continue;
      }
    }
    // The rest of the step.
    finished = true;
    if (clipped) {
      const onBrakes = backThere < most[j]! * BELOW_BEND;
      const gapHere = done === 0 ? backHere - y : backHere + (backThere - backHere) * done - y;
      const gapThere = reached - backThere;
      if (gapHere > 1e-12 * y && gapThere > 0) {
        const share = gapHere / (gapHere + gapThere);
        const yCross = y + share * (reached - y);
        const vc = Math.sqrt(yCross);
        time += (2 * left * share) / (v + vc) + (2 * left * (1 - share)) / (vc + Math.sqrt(backThere));
      } else {
        time += (2 * left) / (v + Math.sqrt(backThere));
        if (done === 0) showHeld(d, i, j, y, out);
      }
      w.y = backThere;
      w.a = Number.NaN;
      w.stepBefore = 0;
      code = onBrakes ? STEP.joinedBraking : STEP.heldByCorner;
      const gearHere = w.gear;
      const evaluated = !sure && predicted === backThere && w.phase === PHASE.drive;
      if (onBrakes || w.phase === PHASE.drive) settleGear(gears, w, onBrakes);
      if (evaluated && w.gear === gearHere && w.phase === PHASE.drive) {
        // Evaluated just there: the next step begins with it.
        w.a = aEnd;
        out.limit[j] = endLimit;
      }
    } else {
      time += (2 * left) / (v + Math.sqrt(target));
      w.y = target;
      // Reused where the predictor was of second order; on the engine any predictor will do.
      w.a = w.stepBefore > 0 || endLimit === LIMIT.power || endLimit === LIMIT.shift ? aEnd : Number.NaN;
      w.aBefore = a;
      w.stepBefore = pieces === 0 ? h : 0;
      out.limit[j] = endLimit;
    }
    break;
  }
  if (!finished) {
    w.y = Math.min(y, backThere);
    w.a = Number.NaN;
    w.stepBefore = 0;
  }
  out.time[i] = time;
  return code;
}

/** Shows at station i a speed that the braking curve or a bend takes over the step to station j. */
function showHeld(d: Driving, i: number, j: number, y: number, out: WalkColumns): void {
  const { curve, problem } = d;
  const there = curve.squared[j]!;
  const onBrakes = there < problem.limits.most[j]! * BELOW_BEND;
  const decel = curve.deceleration[i]!;
  out.a[i] = onBrakes && decel !== 0 ? -decel : (there - y) / (2 * problem.track.step[i]!);
  out.limit[i] = onBrakes ? curve.limit[i]! : problem.limits.limit[i]!;
  out.braking[i] = onBrakes ? 1 : 0;
  if (onBrakes) out.gear[i] = gearAt(problem.gears, y);
}

/** Puts the walker at station j on the braking curve. */
function joinCurve(d: Driving, j: number, w: Walker, onBrakes: boolean): void {
  w.y = d.curve.squared[j]!;
  w.a = Number.NaN;
  w.stepBefore = 0;
  settleGear(d.problem.gears, w, onBrakes);
}
