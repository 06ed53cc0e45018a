/**
 * Holding the speed: how far the worst constraint is exceeded while the kart neither gains nor loses speed; and passing a
 * place, which asks for no more than a part of what the driven tyres carry.
 *
 * In: a placed `Instant`. Out: the excess in s.excess (feasible at or below 0) and its constraint in s.which.
 */
import { brakeAt } from './brake.ts';
import { driveAt } from './drive.ts';
import { CONSTRAINT } from './grip-inputs.ts';
import type { Instant } from './instant.ts';
import { holdForce } from './place.ts';

/** The worst excess while holding speed with the engine's part where that takes braking, N. */
export function holdExcess(g: Instant, engine: number, engineMass: number): void {
  const x = holdForce(g);
  if (x >= 0) driveAt(g, x);
  else brakeAt(g, x, engine, engineMass);
}

/**
 * Share of what the driven tyres carry along the road that holding the speed may take. A place that asks for more - a ramp,
 * a crest on the way up - is passed on momentum: the kart slows there, and the driving pass says whether it gets by. Our own
 * assumption, no source: between this share and all of it the estimate is on the slow side.
 */
const HELD_SHARE = 0.6;

/** The sum of tyre forces with which a place is passed: what holds the speed, up to that share of what the tyres carry. */
export function passingForce(g: Instant): number {
  const hold = holdForce(g);
  if (hold <= 0) return hold;
  const { k, s, drivesAll, drivesFront } = g;
  const front = Math.max(0, s.loadFront - s.transfer);
  const rear = Math.max(0, s.loadRear + s.transfer);
  const carriesFront = (front * (k.muFront - 0.5 * k.fallFront * front)) / k.rhoFront;
  const carriesRear = (rear * (k.muRear - 0.5 * k.fallRear * rear)) / k.rhoRear;
  const carries = drivesAll ? carriesFront + carriesRear : drivesFront ? carriesFront : carriesRear;
  return Math.min(hold, HELD_SHARE * Math.max(0, carries));
}

/** The worst excess while passing a place without the engine; quick where it is held, all wheels are on the ground and below their load tops. */
export function passWithoutEngine(g: Instant): void {
  const { k, s } = g;
  const passing = passingForce(g);
  if (passing < holdForce(g)) {
    driveAt(g, passing);
    return;
  }
  const fixed = s.fixed;
  if (!(g.plainDrive && fixed >= 0)) {
    holdExcess(g, 0, 0);
    return;
  }
  const rho = s.rho;
  const x = rho === 0 ? fixed : fixed / (1 - rho);
  const T = s.transfer + s.tau * x;
  const ff = s.loadFront - T;
  const fr = s.loadRear + T;
  const df = s.sidewaysFront;
  const dr = s.sidewaysRear;
  if (!(2 * df < ff && 2 * dr < fr && ff / 2 + df <= k.topFront && fr / 2 + dr <= k.topRear)) {
    holdExcess(g, 0, 0);
    return;
  }
  const cf = k.muFront * ff - k.fallFront * (0.5 * ff * ff + 2 * df * df);
  const cr = k.muRear * fr - k.fallRear * (0.5 * fr * fr + 2 * dr * dr);
  // At steady speed no wheel gains spin: the driven axle carries all of x.
  const uf = g.drivesFront ? x * k.rhoFront : 0;
  const ur = g.drivesFront ? 0 : x * k.rhoRear;
  const yf = s.sideFront;
  const yr = s.sideRear;
  const ef = Math.sqrt(uf * uf + yf * yf) - cf;
  const er = Math.sqrt(ur * ur + yr * yr) - cr;
  const roll = s.tipping - (ff * k.trackFront + fr * k.trackRear) * k.halfInverse;
  if (ef >= er && ef >= roll) {
    s.excess = ef;
    s.which = CONSTRAINT.front;
  } else if (er >= roll) {
    s.excess = er;
    s.which = CONSTRAINT.rear;
  } else {
    s.excess = roll;
    s.which = CONSTRAINT.rollover;
  }
}
