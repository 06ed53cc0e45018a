/**
 * A kart on its way round: what it carries from station to station, and the columns it writes.
 *
 * Knows nothing of grip or ground: gears and clutch only.
 */
import type { Drivetrain } from '../../compile/drivetrain.ts';
import { type GearTable, gearAt, torqueAt } from './gear-table.ts';

export const PHASE = { drive: 0, shift: 1, slip: 2 } as const;

/** A gear is left downwards, on the throttle, this far below its upshift speed (share). */
export const DOWNSHIFT_BELOW = 0.93;
export const DOWNSHIFT_SQUARED = DOWNSHIFT_BELOW ** 2;

/** State at the station reached. */
export interface Walker {
  /** v^2 */
  y: number;
  gear: number;
  phase: number;
  /** Time left of a shift */
  left: number;
  /** Gear after the shift */
  target: number;
  /** An upshift was refused where it was due: the gear is kept up to the limiter */
  stays: boolean;
  slipTorque: number;
  /** v^2 at which the clutch grips */
  lockSquared: number;
  /** Acceleration at the station, NaN when it must be evaluated */
  a: number;
  /** Acceleration at the station before and the step from there; no step: not to be used */
  aBefore: number;
  stepBefore: number;
  shifts: number;
}

/** Columns a walk writes. */
export interface WalkColumns {
  readonly y: Float64Array;
  readonly a: Float64Array;
  readonly gear: Uint8Array;
  readonly limit: Uint8Array;
  readonly time: Float64Array;
  readonly braking: Uint8Array;
}

export function emptyColumns(n: number): WalkColumns {
  const column = () => new Float64Array(n);
  const small = () => new Uint8Array(n);
  return { y: column(), a: column(), gear: small(), limit: small(), time: column(), braking: small() };
}

/** A walker that starts at v^2 = y, from rest with the clutch slipping as the launch says. */
export function freshWalker(t: GearTable, launch: Drivetrain['launch'], y: number): Walker {
  const gear = gearAt(t, y);
  const w: Walker = {
    y,
    gear,
    phase: PHASE.drive,
    left: 0,
    target: 0,
    stays: false,
    slipTorque: 0,
    lockSquared: 0,
    a: Number.NaN,
    aBefore: 0,
    stepBefore: 0,
    shifts: 0,
  };
  if (y === 0) {
    w.phase = PHASE.slip;
    w.slipTorque = launch.torque;
    w.lockSquared = launch.lockSpeed ** 2;
  } else slipBelow(t, w);
  return w;
}

/** The clutch slips where the gear is too tall for the speed. */
export function slipBelow(t: GearTable, w: Walker): void {
  if (w.y >= t.slipSquared[w.gear]!) return;
  w.phase = PHASE.slip;
  w.slipTorque = torqueAt(t, t.knots[0]!);
  w.lockSquared = t.slipSquared[w.gear]!;
}

export function startShift(w: Walker, target: number, duration: number): void {
  w.shifts++;
  w.target = target;
  w.stays = false;
  if (duration > 0) {
    w.phase = PHASE.shift;
    w.left = duration;
  } else {
    w.gear = target;
    w.phase = PHASE.drive;
  }
}

/** The gear after a shift is in. */
export function endShift(t: GearTable, w: Walker, y: number): void {
  w.gear = w.target;
  w.left = 0;
  w.phase = PHASE.drive;
  if (y < t.slipSquared[w.gear]!) {
    w.phase = PHASE.slip;
    w.slipTorque = torqueAt(t, t.knots[0]!);
    w.lockSquared = t.slipSquared[w.gear]!;
  }
}

/**
 * On the brakes the gear falls with the speed at no cost, and never rises; held in a corner it only drops when far too
 * tall.
 */
export function settleGear(t: GearTable, w: Walker, onBrakes: boolean): void {
  if (onBrakes) {
    if (w.phase === PHASE.shift) w.gear = w.target;
    w.phase = PHASE.drive;
    w.left = 0;
    shiftDown(w, gearAt(t, w.y));
  } else if (w.gear > 0 && w.y < t.upSquared[w.gear - 1]! * DOWNSHIFT_SQUARED) {
    shiftDown(w, gearAt(t, w.y));
  }
  slipBelow(t, w);
}

function shiftDown(w: Walker, k: number): void {
  if (k >= w.gear) return;
  w.shifts += w.gear - k;
  w.gear = k;
  w.stays = false;
}
