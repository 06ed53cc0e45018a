/**
 * The least of a convex quadratic, 1/2 x'Hx + g'x, with every unknown between two bounds.
 *
 * In: a banded H (positive semidefinite), g, bounds. Out: x strictly inside, iterations, and the greatest violation of
 * the optimality conditions. Primal-dual interior point with predictor and corrector (Nocedal and Wright, Numerical
 * Optimization, 2nd ed., section 16.6): one factorisation of H + diagonal an iteration, whichever bounds hold. Every sum
 * takes the two bounds in an order that knows neither from the other: the problem turned upside down, -x between -high and
 * -low, has the same answer with its sign changed, to the last bit. A line mirrored is that problem.
 */
import type { BandedMatrix } from './banded.ts';
import { factor, multiply, solveWith } from './banded.ts';

export interface BoundedMinimum {
  readonly x: Float64Array;
  readonly iterations: number;
  /** Mean slack times multiplier at the end, against its scale at the start */
  readonly gap: number;
}

const MAX_ITERATIONS = 60;
/** Steps go this share of the way to the nearest bound. */
const TO_BOUNDARY = 0.995;
/** Bounds closer together than this are taken as one value, m. */
const NARROW = 1e-9;

export function boundedMinimum(
  h: BandedMatrix,
  g: ArrayLike<number>,
  low: ArrayLike<number>,
  high: ArrayLike<number>,
  tolerance = 1e-10,
): BoundedMinimum {
  const n = h.size;
  const x = new Float64Array(n);
  const lo = Float64Array.from(low);
  const hi = Float64Array.from(high);
  for (let i = 0; i < n; i++) {
    const middle = (lo[i]! + hi[i]!) / 2;
    if (!(hi[i]! - lo[i]! > NARROW)) {
      lo[i] = middle - NARROW / 2;
      hi[i] = middle + NARROW / 2;
    }
    x[i] = middle;
  }
  const gradient = multiply(h, x);
  let scale = 0;
  for (let i = 0; i < n; i++) scale = Math.max(scale, Math.abs(gradient[i]! + g[i]!));
  if (!(scale > 0)) scale = 1;
  // Multipliers of the lower and the upper bounds.
  const zl = new Float64Array(n).fill(scale);
  const zu = new Float64Array(n).fill(scale);
  const diagonal = new Float64Array(n);
  const right = new Float64Array(n);
  let startGap = 0;
  for (let i = 0; i < n; i++) startGap += ((hi[i]! - lo[i]!) / 2) * 2 * scale;
  startGap /= 2 * n;
  let gap = startGap;
  let iterations = 0;
  for (; iterations < MAX_ITERATIONS && gap > tolerance * startGap; iterations++) {
    const hx = multiply(h, x);
    for (let i = 0; i < n; i++) diagonal[i] = zl[i]! / (x[i]! - lo[i]!) + zu[i]! / (hi[i]! - x[i]!);
    const l = factor(h, diagonal);
    if (l === undefined) break;
    const pull = (i: number) => zu[i]! - zl[i]!;
    const residual = (i: number) => hx[i]! + g[i]! + pull(i);
    // Predictor: straight at the bounds.
    for (let i = 0; i < n; i++) right[i] = -residual(i) + pull(i);
    const predictor = solveWith(h, l, right);
    let reach = 1;
    for (let i = 0; i < n; i++) {
      const d = predictor[i]!;
      const dl = -zl[i]! - (zl[i]! * d) / (x[i]! - lo[i]!);
      const du = -zu[i]! + (zu[i]! * d) / (hi[i]! - x[i]!);
      if (d < 0) reach = Math.min(reach, (lo[i]! - x[i]!) / d);
      else if (d > 0) reach = Math.min(reach, (hi[i]! - x[i]!) / d);
      if (dl < 0) reach = Math.min(reach, -zl[i]! / dl);
      if (du < 0) reach = Math.min(reach, -zu[i]! / du);
    }
    let ahead = 0;
    for (let i = 0; i < n; i++) {
      const d = predictor[i]!;
      const dl = -zl[i]! - (zl[i]! * d) / (x[i]! - lo[i]!);
      const du = -zu[i]! + (zu[i]! * d) / (hi[i]! - x[i]!);
      const below = x[i]! - lo[i]! + reach * d;
      const above = hi[i]! - x[i]! - reach * d;
      ahead += below * (zl[i]! + reach * dl) + above * (zu[i]! + reach * du);
    }
    ahead /= 2 * n;
    const centre = gap * (ahead / gap) ** 3;
    // Corrector: towards the central path, with the product of the predictor's steps.
    for (let i = 0; i < n; i++) {
      const d = predictor[i]!;
      const sl = x[i]! - lo[i]!;
      const su = hi[i]! - x[i]!;
      const dl = -zl[i]! - (zl[i]! * d) / sl;
      const du = -zu[i]! + (zu[i]! * d) / su;
      right[i] = -residual(i) + pull(i) + ((centre - d * dl) / sl - (centre + d * du) / su);
    }
    const step = solveWith(h, l, right);
    let length = 1;
    let dualLength = 1;
    for (let i = 0; i < n; i++) {
      const d = step[i]!;
      const sl = x[i]! - lo[i]!;
      const su = hi[i]! - x[i]!;
      const p = predictor[i]!;
      const cl = (centre - p * (-zl[i]! - (zl[i]! * p) / sl)) / sl;
      const cu = (centre + p * (-zu[i]! + (zu[i]! * p) / su)) / su;
      const dl = -zl[i]! + cl - (zl[i]! * d) / sl;
      const du = -zu[i]! + cu + (zu[i]! * d) / su;
      diagonal[i] = dl;
      right[i] = du;
      if (d < 0) length = Math.min(length, (TO_BOUNDARY * -sl) / d);
      else if (d > 0) length = Math.min(length, (TO_BOUNDARY * su) / d);
      if (dl < 0) dualLength = Math.min(dualLength, (TO_BOUNDARY * -zl[i]!) / dl);
      if (du < 0) dualLength = Math.min(dualLength, (TO_BOUNDARY * -zu[i]!) / du);
    }
    // One length for both keeps the residual of a quadratic shrinking.
    const both = Math.min(length, dualLength);
    gap = 0;
    for (let i = 0; i < n; i++) {
      x[i] = x[i]! + both * step[i]!;
      zl[i] = zl[i]! + both * diagonal[i]!;
      zu[i] = zu[i]! + both * right[i]!;
      gap += (x[i]! - lo[i]!) * zl[i]! + (hi[i]! - x[i]!) * zu[i]!;
    }
    gap /= 2 * n;
  }
  return { x, iterations, gap: gap / startGap };
}
