/**
 * Braking: the contact forces at the set balance with the engine's part, and the hardest braking that fits the grip.
 *
 * In: a placed `Instant`, the engine's drag E and the equivalent mass M_e of what it spins. Out: x, the sum of
 * longitudinal tyre forces (negative), with its acceleration and what limits it. With d the deceleration and e the
 * engine's share on the front axle:
 *
 *   X_f = -(phi B + e E) + (J_f + e M_e) d,  X_r = -((1 - phi) B + (1 - e) E) + (J_r + (1 - e) M_e) d
 */

import { driveAt } from './drive.ts';
import { CONSTRAINT } from './grip-inputs.ts';
import type { Instant } from './instant.ts';
import { accelerationAt, holdForce } from './place.ts';
import { axleEdge, EXCESS_TOLERANCE, FINEST, farBelow, QUICK_EXCESS, seek } from './search.ts';

/** Sets the contact forces while braking with sum x; true with brakes on, false with the throttle eased. */
export function setBrake(g: Instant, x: number, engine: number, engineMass: number): boolean {
  const { k, s, drivesFront } = g;
  const perMass = k.perMass;
  const spinFront = k.spinFront;
  const spinRear = k.spinRear;
  const engineFront = k.engineFront;
  const slip = 1 - s.rho;
  const decel = (s.fixed - x * slip) * perMass;
  const decelSlope = -slip * perMass;
  const inertia = spinFront + spinRear + engineMass;
  const brake = -x - engine + inertia * decel;
  const brakeSlope = -1 + inertia * decelSlope;
  s.brake = brake;
  s.brakeSlope = brakeSlope;
  let xf: number;
  let pf: number;
  if (brake >= 0) {
    const spin = spinFront + engineFront * engineMass;
    xf = -(k.brakeShare * brake + engineFront * engine) + spin * decel;
    pf = -k.brakeShare * brakeSlope + spin * decelSlope;
  } else if (g.drivesAll) {
    xf = x / 2;
    pf = 0.5;
  } else {
    // Throttle eased: no brake, the driven axle carries what the resistances leave.
    xf = drivesFront ? x - spinRear * decel : spinFront * decel;
    pf = drivesFront ? 1 - spinRear * decelSlope : spinFront * decelSlope;
  }
  s.x = x;
  s.front = xf;
  s.frontSlope = pf;
  s.rear = x - xf;
  s.rearSlope = 1 - pf;
  return brake >= 0;
}

/** Evaluates the worst excess at braking force x (negative) with the engine's part. */
export function brakeAt(g: Instant, x: number, engine: number, engineMass: number): void {
  setBrake(g, x, engine, engineMass);
  seek(g, false, 0);
}

/** Smallest feasible x under the set balance, from `guess`. */
export function lowerForce(g: Instant, engine: number, engineMass: number, guess: number): number {
  const { s } = g;
  let x = guess;
  // The forces have a kink where the brakes come on: search again when the edge lies beyond it.
  for (let i = 0; i < 6; i++) {
    const braked = setBrake(g, x, engine, engineMass);
    if (!seek(g, false, -1)) break;
    const on = s.brake + s.brakeSlope * (s.x - x) >= 0;
    x = s.x;
    if (on === braked) return x;
  }
  return bisectLower(g, engine, engineMass);
}

/**
 * Brakes as hard as the grip allows with the engine's drag s.engine and mass s.engineMass, looking from s.guess.
 * Leaves x, its acceleration and in s.which what limits it.
 */
export function brakeHard(g: Instant): void {
  const { s } = g;
  if (!quickLower(g)) s.x = lowerForce(g, s.engine, s.engineMass, s.guess);
  s.acceleration = accelerationAt(g, s.x);
}

/**
 * As `lowerForce` where the brakes are on and all wheels are on the ground and below their load tops, see
 * `QUICK_LOOKS`: the axle s.likely is searched, then the other if that does not fit. False where that is not so.
 */
function quickLower(g: Instant): boolean {
  const { k, s } = g;
  const tau = s.tau;
  const a = s.loadFront - s.transfer;
  const b = s.loadRear + s.transfer;
  const df = s.sidewaysFront;
  const dr = s.sidewaysRear;
  const yf = s.sideFront;
  const yr = s.sideRear;
  const muF = k.muFront;
  const halfFallF = 0.5 * k.fallFront;
  const movedF = 4 * halfFallF * df * df;
  const muR = k.muRear;
  const halfFallR = 0.5 * k.fallRear;
  const movedR = 4 * halfFallR * dr * dr;
  const engine = s.engine;
  const engineMass = s.engineMass;
  const engineFront = k.engineFront;
  // Deceleration, brakes and contact forces are linear in x.
  const d0 = s.fixed * k.perMass;
  const d1 = (s.rho - 1) * k.perMass;
  const inertia = k.spinFront + k.spinRear + engineMass;
  const b0 = inertia * d0 - engine;
  const b1 = inertia * d1 - 1;
  const spin = k.spinFront + engineFront * engineMass;
  const phi = k.brakeShare;
  const x0 = spin * d0 - phi * b0 - engineFront * engine;
  const x1 = spin * d1 - phi * b1;
  const f0 = x0 * k.rhoFront;
  const f1 = x1 * k.rhoFront;
  const r0 = -x0 * k.rhoRear;
  const r1 = (1 - x1) * k.rhoRear;
  let x = s.guess;
  let onFront = s.likely !== CONSTRAINT.rear;
  for (let i = 0; i < 3; i++) {
    x = onFront
      ? axleEdge(x, -1, a, -tau, muF, halfFallF, movedF, f0, f1, yf)
      : axleEdge(x, -1, b, tau, muR, halfFallR, movedR, r0, r1, yr);
    const ff = a - tau * x;
    const fr = b + tau * x;
    if (
      !(
        b0 + b1 * x >= 0 &&
        2 * df < ff &&
        2 * dr < fr &&
        ff / 2 + df <= k.topFront &&
        fr / 2 + dr <= k.topRear &&
        s.tipping <= (ff * k.trackFront + fr * k.trackRear) * k.halfInverse
      )
    )
      return false;
    const cf = ff * (muF - halfFallF * ff) - movedF;
    const cr = fr * (muR - halfFallR * fr) - movedR;
    if (!(cf > 0 && cr > 0)) return false;
    // The other axle must fit: twice its capacity times the tolerated excess.
    const other = onFront ? r0 + r1 * x : f0 + f1 * x;
    const otherSide = onFront ? yr : yf;
    const otherCapacity = onFront ? cr : cf;
    if (
      other * other + otherSide * otherSide - otherCapacity * otherCapacity <=
      2 * EXCESS_TOLERANCE * otherCapacity
    ) {
      s.x = x;
      s.which = onFront ? CONSTRAINT.front : CONSTRAINT.rear;
      return true;
    }
    onFront = !onFront;
  }
  return false;
}

/**
 * True where braking force x surely takes more than the grip with the engine's drag s.engine and mass s.engineMass:
 * cheaper than the search, it says that its answer would be less. False where it may fit, or cannot be told at a look.
 */
export function tooHard(g: Instant, x: number): boolean {
  const { k, s } = g;
  const engineMass = s.engineMass;
  const decel = (s.fixed - x * (1 - s.rho)) * k.perMass;
  const brake = (k.spinFront + k.spinRear + engineMass) * decel - s.engine - x;
  const ff = s.loadFront - s.transfer - s.tau * x;
  const fr = s.loadRear + s.transfer + s.tau * x;
  const df = s.sidewaysFront;
  const dr = s.sidewaysRear;
  if (!(brake >= 0 && 2 * df < ff && 2 * dr < fr && ff / 2 + df <= k.topFront && fr / 2 + dr <= k.topRear))
    return false;
  const front =
    (k.spinFront + k.engineFront * engineMass) * decel - k.brakeShare * brake - k.engineFront * s.engine;
  const uf = front * k.rhoFront;
  const ur = (x - front) * k.rhoRear;
  const cf = k.muFront * ff - k.fallFront * (0.5 * ff * ff + 2 * df * df);
  const cr = k.muRear * fr - k.fallRear * (0.5 * fr * fr + 2 * dr * dr);
  const spare = 2 * QUICK_EXCESS;
  return (
    uf * uf + s.sideFront * s.sideFront > cf * (cf + spare) ||
    ur * ur + s.sideRear * s.sideRear > cr * (cr + spare)
  );
}

/** Fallback where capacity is not concave (a wheel lifting): bisection from a force that fits. */
function bisectLower(g: Instant, engine: number, engineMass: number): number {
  const { s } = g;
  let high = holdForce(g);
  if (high >= 0) driveAt(g, high);
  else brakeAt(g, high, engine, engineMass);
  let low = farBelow(g) - engine;
  if (s.excess > EXCESS_TOLERANCE) {
    // Steady speed does not fit, or only just: look for a force that does, or comes nearest to it.
    let left = low;
    let right = Math.max(high, 0);
    for (let i = 0; i < 90 && s.excess > 0; i++) {
      const third = (right - left) / 3;
      brakeAt(g, left + third, engine, engineMass);
      const a = s.excess;
      brakeAt(g, right - third, engine, engineMass);
      if (a <= s.excess) right -= third;
      else left += third;
    }
    if (s.excess > 0) {
      brakeAt(g, left, engine, engineMass);
      return left;
    }
    high = s.x;
  }
  for (let i = 0; i < 70 && high - low > FINEST; i++) {
    const x = (low + high) / 2;
    brakeAt(g, x, engine, engineMass);
    if (s.excess > 0) low = x;
    else high = x;
  }
  brakeAt(g, low, engine, engineMass);
  return high;
}
