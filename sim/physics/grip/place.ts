/**
 * Loads, resistances and side forces at one speed on one piece of ground, all linear in x, the sum of tyre forces.
 *
 *   T(x) = [(x - D - R) h + D h_a]/L           load moved rearward, from m ax = x - D - R - m g sin
 *   Fz_f = N b/L + L_f - T,  Fz_r = N a/L + L_r + T
 *
 * Rolling resistance is a resistance beside friction (Wong, Theory of Ground Vehicles, ch. 3).
 */
import type { Instant } from './instant.ts';

/**
 * Numbers per station of the ground along a track, side by side: lateralV, lateralG, normalV, normalG, sinGrade.
 * Side force per mass is lateralV v^2 + lateralG g, load per mass normalV v^2 + normalG g.
 */
export const GROUND_STRIDE = 5;

/** Places the kart at s.speed, s.squared on the ground that starts at `offset`. */
export function placeOn(g: Instant, ground: Float64Array, offset: number): void {
  const { k, s } = g;
  const mvv = k.mass * s.squared;
  const { weight } = k;
  s.side = Math.abs(mvv * ground[offset]! + weight * ground[offset + 1]!);
  s.normal = mvv * ground[offset + 2]! + weight * ground[offset + 3]!;
  s.climb = weight * ground[offset + 4]!;
  settle(g);
}

/** Completes the state from speed, side force, load normal to the ground and climbing resistance. */
export function settle(g: Instant): void {
  const { k, s } = g;
  const v = s.speed;
  const u = v + k.headwind;
  const q = u * Math.abs(u);
  const drag = k.drag * q;
  const normal = s.normal;
  const side = s.side;
  const nf = normal * k.shareFront + k.downFront * q;
  const nr = normal * k.shareRear + k.downRear * q;
  let fF = k.rollFront;
  let fR = k.rollRear;
  if (g.rollingGrows) {
    fF *= 1 + v * (k.rollFront1 + v * k.rollFront2);
    fR *= 1 + v * (k.rollRear1 + v * k.rollRear2);
  }
  const differs = fR - fF;
  const rolling0 = fF * nf + fR * nr;
  const rise = k.rise;
  let transfer = drag * k.dragLever - rolling0 * rise;
  let tau = rise;
  if (differs !== 0) {
    const share = 1 / (1 + differs * rise);
    transfer *= share;
    tau *= share;
  }
  const rolling = rolling0 + differs * transfer;
  s.transfer = transfer;
  s.tau = tau;
  s.loadFront = nf;
  s.loadRear = nr;
  s.drag = drag;
  s.rolling = rolling;
  s.rho = differs * tau;
  s.sidewaysFront = side * k.sidewaysFront;
  s.sidewaysRear = side * k.sidewaysRear;
  s.sideFront = side * k.shareFront;
  s.sideRear = side * k.shareRear;
  s.tipping = side * k.tipping;
  s.fixed = rolling + drag + s.climb;
}

/** Force x that holds the speed. */
export function holdForce(g: Instant): number {
  const rho = g.s.rho;
  return rho === 0 ? g.s.fixed : g.s.fixed / (1 - rho);
}

/** Acceleration that force x gives, m/s2. */
export function accelerationAt(g: Instant, x: number): number {
  return (x * (1 - g.s.rho) - g.s.fixed) * g.k.perMass;
}
