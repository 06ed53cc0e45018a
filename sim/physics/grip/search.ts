/**
 * The worst excess over the axles' capacities at a force x, and Newton's method from there to the edge of what fits.
 *
 *   axle:  sqrt((X rho)^2 + Y^2) <= C_y        friction ellipse, rho = C_y/C_x
 *   kart:  overturning force <= what both axles' loads hold
 *
 * The left sides are convex and the capacities concave in x, so Newton's method started outside the feasible interval
 * runs monotonically to its edge; it is bounded all the same.
 */
import { capacities, drivenRatio } from './capacity.ts';
import { CONSTRAINT } from './grip-inputs.ts';
import type { Instant } from './instant.ts';
import { holdForce } from './place.ts';

const MAX_NEWTON = 40;
/** Newton stops at this excess, in newtons: 1e-8 m/s2 on a 300 kg kart, far below any step error. */
export const EXCESS_TOLERANCE = 3e-6;
/**
 * After a Newton step this short, in newtons, no further look is taken: it leaves an excess of its square over
 * twice the side force, below 1e-4 N where a kart corners at all.
 */
const SHORT_STEP = 0.3;
/** Excess must change at least so fast with x for a Newton step, N/N. */
const LEAST_SLOPE = 1e-6;
/**
 * The quick searches (drive, brake) hold where all wheels are on the ground and below their load tops. There an axle's
 * condition squared, (X rho)^2 + Y^2 = C^2, is a quadratic in x once the capacity C is replaced by its tangent, which it
 * leaves by half its fall times the square of the load moved: solved in closed form, from a guess some newtons off, it
 * is exact after one or two looks. After this many the matter is left to the full search.
 */
export const QUICK_LOOKS = 4;
/** Excess in newtons that the tangent may leave: 1e-8 of the forces of a kart. */
export const QUICK_EXCESS = 3e-5;
/** Halving stops at this width, in newtons. */
export const FINEST = 1e-6;
/** An axle carrying less than this, in newtons, counts as lifted. */
export const LIFTED = 1e-3;

/**
 * Evaluates the worst excess at s.x (direction 0), or runs by Newton's method to the upper (1) or lower (-1)
 * edge of the feasible forces from there, never above s.top. The contact forces are s.front, s.rear with their
 * slopes against x. Leaves x, excess and constraint in the state; false where the search did not settle.
 */
export function seek(g: Instant, driving: boolean, direction: number): boolean {
  const { k, s } = g;
  const tau = s.tau;
  const t0 = s.transfer;
  const nf0 = s.loadFront;
  const nr0 = s.loadRear;
  const df = s.sidewaysFront;
  const dr = s.sidewaysRear;
  const yf = s.sideFront;
  const yr = s.sideRear;
  const yf2 = yf * yf;
  const yr2 = yr * yr;
  const turn = s.tipping;
  const base = s.x;
  const xf0 = s.front;
  const xr0 = s.rear;
  const top = s.top;
  const muF = k.muFront;
  const fallF = k.fallFront;
  const topF = k.topFront;
  const muR = k.muRear;
  const fallR = k.fallRear;
  const topR = k.topRear;
  const trackFront = k.trackFront;
  const trackRear = k.trackRear;
  const halfInverse = k.halfInverse;
  const shares = driving && g.drivesAll;
  const plain = g.plainCoupling || !driving;
  let pf = s.frontSlope;
  let pr = s.rearSlope;
  let x = base;
  let turned = direction > 0 && x === top;
  let excess = 0;
  let slope = 0;
  let which = 0;
  let settled = direction === 0;
  for (let i = 0; i < MAX_NEWTON; i++) {
    const T = t0 + tau * x;
    const ff = nf0 - T;
    const fr = nr0 + T;
    let uf = xf0 + pf * (x - base);
    let ur = xr0 + pr * (x - base);
    if (shares) {
      const share = ff / (nf0 + nr0);
      pf = share - (tau * x) / (nf0 + nr0);
      pr = 1 - pf;
      uf = share * x;
      ur = x - uf;
    }
    let cf: number;
    let cr: number;
    let dcf: number;
    let dcr: number;
    let rf = k.rhoFront;
    let rr = k.rhoRear;
    if (plain && 2 * df <= ff && 2 * dr <= fr && ff / 2 + df <= topF && fr / 2 + dr <= topR) {
      // All four wheels on the ground and below their load tops: both axles in closed form.
      cf = muF * ff - fallF * (0.5 * ff * ff + 2 * df * df);
      cr = muR * fr - fallR * (0.5 * fr * fr + 2 * dr * dr);
      dcf = -(muF - fallF * ff) * tau;
      dcr = (muR - fallR * fr) * tau;
    } else {
      capacities(g, ff, fr, driving ? x : 0);
      cf = s.capacityFront;
      cr = s.capacityRear;
      dcf = s.capacityFrontSlope;
      dcr = s.capacityRearSlope;
      if (!plain) {
        const limited = drivenRatio(g, g.drivesFront ? ff : fr);
        if (g.drivesFront || g.drivesAll) rf = limited;
        if (!g.drivesFront) rr = limited;
      }
    }
    uf *= rf;
    ur *= rr;
    const nf = Math.sqrt(uf * uf + yf2);
    const nr = Math.sqrt(ur * ur + yr2);
    const ef = nf - cf;
    const er = nr - cr;
    const roll = turn - (ff * trackFront + fr * trackRear) * halfInverse;
    if (ef >= er && ef >= roll) {
      excess = ef;
      slope = (nf > 0 ? (uf * rf * pf) / nf : Math.abs(rf * pf)) - dcf;
      which = ff <= LIFTED ? CONSTRAINT.frontLift : CONSTRAINT.front;
    } else if (er >= roll) {
      excess = er;
      slope = (nr > 0 ? (ur * rr * pr) / nr : Math.abs(rr * pr)) - dcr;
      which = fr <= LIFTED ? CONSTRAINT.rearLift : CONSTRAINT.rear;
    } else {
      excess = roll;
      slope = tau * (trackFront - trackRear) * halfInverse;
      which = CONSTRAINT.rollover;
    }
    if (direction === 0) break;
    const small = excess <= EXCESS_TOLERANCE && excess >= -EXCESS_TOLERANCE;
    if (direction > 0) {
      if (x === top && excess <= EXCESS_TOLERANCE) {
        settled = true;
        break;
      }
      if (slope > LEAST_SLOPE) {
        if (small) {
          settled = true;
          break;
        }
        const next = Math.min(top, x - excess / slope);
        const step = next - x;
        x = next;
        // (The slope of an open or limited axle leaves out how its capacity moves: look again there.)
        if (plain && step < SHORT_STEP && step > -SHORT_STEP && x < top) {
          settled = true;
          break;
        }
      } else {
        // The start lay towards the lower edge: begin again from above, where Newton runs to the upper one.
        if (turned) break;
        turned = true;
        x = top;
      }
    } else if (slope < -LEAST_SLOPE) {
      if (small) {
        settled = true;
        break;
      }
      const step = -excess / slope;
      x += step;
      if (step < SHORT_STEP && step > -SHORT_STEP) {
        settled = true;
        break;
      }
    } else {
      if (turned) break;
      turned = true;
      x = farBelow(g);
    }
  }
  s.x = x;
  s.excess = excess;
  s.which = which;
  return settled;
}

/** A braking force no tyre gives. */
export function farBelow(g: Instant): number {
  const { k, s } = g;
  return (
    -4 * (k.muFront + k.muRear + 1) * (Math.abs(s.loadFront) + Math.abs(s.loadRear)) - Math.abs(holdForce(g))
  );
}

/**
 * The force x at which one axle is at its edge, from a guess some newtons off: the upper edge (side 1) or the lower (-1),
 * see `QUICK_LOOKS`. NaN where it is not found so.
 *
 *   load N = load0 + load1 x,  capacity C = N (mu - halfFall N) - moved,  (u0 + u1 x)^2 + across^2 = C^2
 */
export function axleEdge(
  guess: number,
  side: 1 | -1,
  load0: number,
  load1: number,
  mu: number,
  halfFall: number,
  moved: number,
  u0: number,
  u1: number,
  across: number,
): number {
  let x = guess;
  for (let look = 0; look < QUICK_LOOKS; look++) {
    const load = load0 + load1 * x;
    const capacity = load * (mu - halfFall * load) - moved;
    const rate = (mu - 2 * halfFall * load) * load1;
    const u = u0 + u1 * x;
    const A = u1 * u1 - rate * rate;
    const B = side * (u * u1 - capacity * rate);
    const C = u * u + across * across - capacity * capacity;
    const disc = B * B - A * C;
    if (!((B > 0 || A > 0) && disc >= Math.min(0, -2 * QUICK_EXCESS * capacity * A))) return Number.NaN;
    // (In a bend taken at its limit nothing is left for x, and rounding decides on which side of nothing.)
    const root = disc > 0 ? Math.sqrt(disc) : 0;
    const step = side * (B > 0 ? -C / (B + root) : (root - B) / A);
    x += step;
    if (halfFall * load1 * load1 * step * step < QUICK_EXCESS) return x;
  }
  return Number.NaN;
}
