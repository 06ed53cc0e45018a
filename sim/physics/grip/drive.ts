/**
 * Driving: the contact forces of a drive, the force an engine gives, and the largest drive that fits the grip.
 *
 * In: a placed `Instant`. Out: x, the sum of longitudinal tyre forces, with its acceleration and what limits it. The
 * driven wheels pass on less than they are given (their spin), the others drag.
 */
import { CONSTRAINT } from './grip-inputs.ts';
import type { Instant } from './instant.ts';
import { accelerationAt, holdForce } from './place.ts';
import { axleEdge, EXCESS_TOLERANCE, FINEST, seek } from './search.ts';

/** Sets the contact forces of a drive with sum x. */
export function setDrive(g: Instant, x: number): void {
  const { k, s, drivesFront } = g;
  const slip = 1 - s.rho;
  const accel = (x * slip - s.fixed) * k.perMass;
  const spin = k.spinFree;
  const slope = spin * slip * k.perMass;
  s.x = x;
  s.front = drivesFront ? x + spin * accel : -spin * accel;
  s.frontSlope = drivesFront ? 1 + slope : -slope;
  s.rear = drivesFront ? -spin * accel : x + spin * accel;
  s.rearSlope = drivesFront ? -slope : 1 + slope;
}

/** Evaluates the worst excess at drive force x. */
export function driveAt(g: Instant, x: number): void {
  setDrive(g, x);
  seek(g, true, 0);
}

/** Contact force x that drive force F at the wheels of a kart with effective mass M gives. */
export function driveForce(g: Instant, wheelForce: number, effectiveMass: number): number {
  const { k, s } = g;
  const mass = k.mass;
  const rho = s.rho;
  const fixed = s.fixed;
  if (rho === 0) return (mass * (wheelForce - fixed)) / effectiveMass + fixed;
  const accel = (wheelForce - fixed / (1 - rho)) / (effectiveMass + (rho * mass) / (1 - rho));
  return (mass * accel + fixed) / (1 - rho);
}

/** Largest feasible x not above `from`; searches down from `from`, starting at `guess` if that is outside. */
export function upperForce(g: Instant, from: number, guess: number): number {
  setDrive(g, Math.min(guess, from));
  g.s.top = from;
  return seek(g, true, 1) ? g.s.x : bisectUpper(g, from);
}

/**
 * Drives with wheel force s.force and effective mass s.inertia as far as the grip goes, looking from s.guess. Leaves
 * x, its acceleration and in s.which what limits it: none where the engine does.
 */
export function driveHard(g: Instant): void {
  const { s } = g;
  const wanted = driveForce(g, s.force, s.inertia);
  if (!(g.plainDrive && quickUpper(g, wanted))) {
    const x = upperForce(g, wanted, s.guess);
    s.x = x;
    if (x === wanted) s.which = CONSTRAINT.none;
  }
  s.acceleration = accelerationAt(g, s.x);
}

/**
 * As `upperForce` where all wheels are on the ground and below their load tops, see `QUICK_LOOKS`. Only the axle at its
 * limit is searched, from the guess, and the other is looked at there. False where that is not so.
 */
function quickUpper(g: Instant, wanted: number): boolean {
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
  // Contact forces times rho: free axle z0 + z1 x, driven axle x less that.
  const spin = k.spinFree * k.perMass;
  const z1 = spin * (s.rho - 1);
  const z0 = spin * s.fixed;
  const rf = k.rhoFront;
  const rr = k.rhoRear;
  const f0 = (g.drivesFront ? -z0 : z0) * rf;
  const f1 = (g.drivesFront ? 1 - z1 : z1) * rf;
  const r0 = (g.drivesFront ? z0 : -z0) * rr;
  const r1 = (g.drivesFront ? z1 : 1 - z1) * rr;
  const spare = 2 * EXCESS_TOLERANCE;
  let x = wanted;
  let which: number = CONSTRAINT.none;
  for (let i = 0; ; i++) {
    const ff = a - tau * x;
    const fr = b + tau * x;
    const cf = ff * (muF - halfFallF * ff) - movedF;
    const cr = fr * (muR - halfFallR * fr) - movedR;
    // Where the force wanted lifts a wheel, the driven axle is searched and the others looked at there.
    let onFront = g.drivesFront;
    if (
      2 * df < ff &&
      2 * dr < fr &&
      ff / 2 + df <= k.topFront &&
      fr / 2 + dr <= k.topRear &&
      s.tipping <= (ff * k.trackFront + fr * k.trackRear) * k.halfInverse &&
      cf > 0 &&
      cr > 0
    ) {
      const uf = f0 + f1 * x;
      const ur = r0 + r1 * x;
      // Twice the capacity times the tolerated excess.
      const ef = uf * uf + yf * yf - cf * cf;
      const er = ur * ur + yr * yr - cr * cr;
      const fitsF = ef <= spare * cf || which === CONSTRAINT.front;
      const fitsR = er <= spare * cr || which === CONSTRAINT.rear;
      if (fitsF && fitsR) {
        s.x = x;
        s.which = which;
        return true;
      }
      onFront = !fitsF && (fitsR || ef * cr > er * cf);
    } else if (i > 0) return false;
    if (i === 2) return false;
    // The edge of the axle that does not fit, from the guess the first time.
    if (i === 0) x = Math.min(x, s.guess);
    x = onFront
      ? axleEdge(x, 1, a, -tau, muF, halfFallF, movedF, f0, f1, yf)
      : axleEdge(x, 1, b, tau, muR, halfFallR, movedR, r0, r1, yr);
    if (!(x <= wanted)) return false;
    which = onFront ? CONSTRAINT.front : CONSTRAINT.rear;
  }
}

/** Fallback where capacity is not concave (a wheel lifting): bisection from a force that fits. */
function bisectUpper(g: Instant, from: number): number {
  const { s } = g;
  driveAt(g, from);
  if (s.excess <= EXCESS_TOLERANCE) return from;
  let low = holdForce(g);
  driveAt(g, low);
  if (s.excess > EXCESS_TOLERANCE) {
    // Steady speed itself needs the brakes, or more than the tyres carry: look for the force that comes nearest to fitting.
    let left = Math.min(0, low, from);
    let right = from;
    for (let i = 0; i < 60; i++) {
      const third = (right - left) / 3;
      driveAt(g, left + third);
      const a = s.excess;
      driveAt(g, right - third);
      if (a <= s.excess) right -= third;
      else left += third;
    }
    driveAt(g, left);
    if (s.excess > EXCESS_TOLERANCE) return Math.min(low, from);
    low = left;
  }
  let high = from;
  for (let i = 0; i < 70 && high - low > FINEST; i++) {
    const x = (low + high) / 2;
    driveAt(g, x);
    if (s.excess > 0) high = x;
    else low = x;
  }
  driveAt(g, high);
  return low;
}
