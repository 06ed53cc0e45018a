/**
 * Acceleration of a kart that drives as hard as engine, clutch and grip allow, and whether a shift up would help.
 *
 * In: a lap being driven and a walker. Out: the acceleration in s.acceleration of the surface's `Instant`, what limits it
 * in d.limit. Knows nothing of the braking curve.
 */
import { driveForce, driveHard } from '../../physics/grip/drive.ts';
import { CONSTRAINT } from '../../physics/grip/grip-inputs.ts';
import type { Instant } from '../../physics/grip/instant.ts';
import { accelerationAt, GROUND_STRIDE, placeOn } from '../../physics/grip/place.ts';
import { LIMIT } from '../limit.ts';
import { type BrakingCurve, mixGround } from './braking-pass.ts';
import { thrustIn } from './gear-table.ts';
import type { LapProblem } from './lap-problem.ts';
import { limitOf } from './limit-pass.ts';
import { PHASE, type WalkColumns, type Walker } from './walker.ts';

/** A lap being driven. */
export interface Driving {
  readonly problem: LapProblem;
  readonly curve: BrakingCurve;
  /** Columns of a trial, made when first needed */
  scratch: WalkColumns | undefined;
  readonly between: Float64Array;
  readonly edge: DriveSearch;
  /** Limit of the last evaluation */
  limit: number;
}

/** The search for the edge of the grip starts where the last two answers point to. */
class DriveSearch {
  guess = Number.NaN;
  step = Number.NaN;
}

export function startDriving(problem: LapProblem, curve: BrakingCurve): Driving {
  const edge = new DriveSearch();
  // Infinite after a station where the engine set the pace: the search then starts at what it gives.
  edge.guess = Number.POSITIVE_INFINITY;
  edge.step = 0;
  return {
    problem,
    curve,
    scratch: undefined,
    between: new Float64Array(GROUND_STRIDE),
    edge,
    limit: LIMIT.power,
  };
}

/**
 * Drives as hard as the walker's clutch and gear allow at v^2 = s.squared; the acceleration is left in s.acceleration,
 * its limit in d.limit.
 */
export function accelerate(
  d: Driving,
  g: Instant,
  ground: Float64Array,
  offset: number,
  gear: number,
  phase: number,
  w: Walker,
): void {
  const { s } = g;
  const { gears } = d.problem;
  const v = Math.sqrt(s.squared);
  s.speed = v;
  placeOn(g, ground, offset);
  s.guess = d.edge.guess + d.edge.step;
  if (phase === PHASE.drive) {
    s.force = thrustIn(gears, gear, v);
    s.inertia = gears.driveMass[gear]!;
    d.limit = LIMIT.power;
  } else if (phase === PHASE.slip) {
    s.force = w.slipTorque * gears.perTorque[gear]!;
    s.inertia = gears.coastMass;
    d.limit = LIMIT.clutch;
  } else {
    s.acceleration = coasting(g, gears.coastMass);
    d.limit = LIMIT.shift;
    return;
  }
  driveHard(g);
  if (s.which === CONSTRAINT.none) d.edge.guess = Number.POSITIVE_INFINITY;
  else {
    const before = d.edge.guess;
    const x = s.x;
    d.edge.step = before === Number.POSITIVE_INFINITY ? 0 : x - before;
    d.edge.guess = x;
    d.limit = limitOf(s.which);
  }
}

/** Acceleration with the clutch in. */
function coasting(g: Instant, coastMass: number): number {
  return accelerationAt(g, driveForce(g, 0, coastMass));
}

/** As `accelerate`, a part of the way from station i to station j. */
export function accelerateBetween(
  d: Driving,
  g: Instant,
  i: number,
  j: number,
  part: number,
  y: number,
  w: Walker,
): number {
  mixGround(d.between, d.problem.track.ground, i, j, part);
  g.s.squared = y;
  accelerate(d, g, d.between, 0, w.gear, w.phase, w);
  return g.s.acceleration;
}

/** False where the kart would lose so much speed in the shift that the next gear could not gain any. */
export function upshiftHelps(
  d: Driving,
  g: Instant,
  i: number,
  j: number,
  part: number,
  y: number,
  w: Walker,
): boolean {
  const time = d.problem.kart.drivetrain.upshiftTime;
  if (time === 0) return true;
  const { s } = g;
  mixGround(d.between, d.problem.track.ground, i, j, part);
  s.squared = y;
  accelerate(d, g, d.between, 0, w.gear, PHASE.shift, w);
  const after = Math.sqrt(y) + s.acceleration * time;
  if (after <= 0) return false;
  s.squared = after * after;
  accelerate(d, g, d.between, 0, w.gear + 1, PHASE.drive, w);
  return s.acceleration > 0;
}
