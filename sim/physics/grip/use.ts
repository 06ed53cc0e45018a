/**
 * What a kart shows at a force x: wheel loads, adhesion used per axle, capacity lengthwise.
 *
 * In: a placed `Instant` and x. Out: numbers written into arrays the caller owns.
 */
import { capacities, drivenRatio } from './capacity.ts';
import type { Instant } from './instant.ts';

/** Grip used where there is none to use: a number a table can hold. */
const NO_GRIP = 99;

/** Writes vertical loads [front axle, rear axle, front inner, rear inner] at x into `out`. */
export function loads(g: Instant, x: number, out: Float64Array): void {
  const { k, s } = g;
  const T = s.transfer + s.tau * x;
  const ff = Math.max(0, s.loadFront - T);
  const fr = Math.max(0, s.loadRear + T);
  const trackFront = k.trackFront;
  const trackRear = k.trackRear;
  let df = s.sidewaysFront;
  let dr = s.sidewaysRear;
  if (df > ff / 2) {
    dr += ((df - ff / 2) * trackFront) / trackRear;
    df = ff / 2;
  } else if (dr > fr / 2) {
    df += ((dr - fr / 2) * trackRear) / trackFront;
    dr = fr / 2;
  }
  out[0] = ff;
  out[1] = fr;
  out[2] = Math.max(0, ff / 2 - df);
  out[3] = Math.max(0, fr / 2 - dr);
}

/** Writes adhesion used [front, rear] (1 = all) at x, driving or braking, into `out`. */
export function use(
  g: Instant,
  x: number,
  braking: boolean,
  engine: number,
  engineMass: number,
  out: Float64Array,
): void {
  const { k, s, drivesFront, drivesAll } = g;
  const front = frontForce(g, x, braking, engine, engineMass);
  const T = s.transfer + s.tau * x;
  const ff = s.loadFront - T;
  const fr = s.loadRear + T;
  capacities(g, ff, fr, braking ? 0 : x);
  let rf = k.rhoFront;
  let rr = k.rhoRear;
  if (!braking && !g.plainCoupling) {
    if (drivesFront || drivesAll) rf = drivenRatio(g, drivesFront ? ff : fr);
    if (!drivesFront) rr = drivenRatio(g, fr);
  }
  const uf = front * rf;
  const ur = (x - front) * rr;
  const yf = s.sideFront;
  const yr = s.sideRear;
  out[0] = ratioOf(Math.sqrt(uf * uf + yf * yf), s.capacityFront);
  out[1] = ratioOf(Math.sqrt(ur * ur + yr * yr), s.capacityRear);
}

/** Writes the longitudinal capacity [front, rear] in N at x with no side force into `out`. */
export function capacityAlong(g: Instant, x: number, out: Float64Array): void {
  const { k, s } = g;
  const T = s.transfer + s.tau * x;
  const side = s.side;
  s.side = 0;
  capacities(g, s.loadFront - T, s.loadRear + T, 0);
  s.side = side;
  out[0] = Math.max(0, s.capacityFront / k.rhoFront);
  out[1] = Math.max(0, s.capacityRear / k.rhoRear);
}

/** Contact force of the front axle at x; the rear one has the rest. */
function frontForce(g: Instant, x: number, braking: boolean, engine: number, engineMass: number): number {
  const { k, s, drivesFront, drivesAll } = g;
  const spinFront = k.spinFront;
  const spinRear = k.spinRear;
  const accel = (x * (1 - s.rho) - s.fixed) / k.mass;
  if (!braking) {
    if (drivesAll) return ((s.loadFront - s.transfer - s.tau * x) / (s.loadFront + s.loadRear)) * x;
    return drivesFront ? x + spinRear * accel : -spinFront * accel;
  }
  const brake = -x - engine - (spinFront + spinRear + engineMass) * accel;
  const engineFront = k.engineFront;
  if (brake < 0) {
    if (drivesAll) return x / 2;
    return drivesFront ? x + spinRear * accel : -spinFront * accel;
  }
  return -(k.brakeShare * brake + engineFront * engine) - (spinFront + engineFront * engineMass) * accel;
}

function ratioOf(force: number, capacity: number): number {
  if (capacity > 0) return Math.min(force / capacity, NO_GRIP);
  return force > 0 ? NO_GRIP : 0;
}
