/**
 * Monotone piecewise-cubic interpolation: no overshoot between the points a builder has.
 *
 * In: strictly increasing abscissae with ordinates. Out: coefficients in flat arrays that inner
 * loops can read, and a plain evaluator. Method: Fritsch and Carlson, SIAM J. Numer. Anal. 17 (1980)
 * 238, with the harmonic-mean slopes of Fritsch and Butland (1984), the choice of the general-purpose
 * libraries it is checked against.
 */

export interface CubicCurve {
  /** Knots, strictly increasing. */
  readonly knots: Float64Array;
  /** Per interval j and d = x - knots[j]: c0 + d (c1 + d (c2 + d c3)), four numbers each. */
  readonly coefficients: Float64Array;
}

/** Builds the curve; throws on fewer than two points or knots that do not increase. */
export function monotoneCubic(x: readonly number[], y: readonly number[]): CubicCurve {
  const n = x.length;
  if (n < 2 || y.length !== n)
    throw new Error(`monotoneCubic: needs two or more points, got ${n} and ${y.length}`);
  const step: number[] = [];
  const secant: number[] = [];
  for (let j = 0; j + 1 < n; j++) {
    const dx = x[j + 1]! - x[j]!;
    if (!(dx > 0)) throw new Error(`monotoneCubic: knots must increase, got ${x[j]} then ${x[j + 1]}`);
    step.push(dx);
    secant.push((y[j + 1]! - y[j]!) / dx);
  }
  const slope = slopes(step, secant);
  const coefficients = new Float64Array(4 * (n - 1));
  for (let j = 0; j + 1 < n; j++) {
    const h = step[j]!;
    const d = secant[j]!;
    coefficients[4 * j] = y[j]!;
    coefficients[4 * j + 1] = slope[j]!;
    coefficients[4 * j + 2] = (3 * d - 2 * slope[j]! - slope[j + 1]!) / h;
    coefficients[4 * j + 3] = (slope[j]! + slope[j + 1]! - 2 * d) / (h * h);
  }
  return { knots: Float64Array.from(x), coefficients };
}

/** Value of the curve at x; outside the knots the nearest end value. */
export function evaluateCubic(curve: CubicCurve, x: number): number {
  const { knots, coefficients } = curve;
  const last = knots.length - 1;
  const at = Math.min(Math.max(x, knots[0]!), knots[last]!);
  let j = 0;
  while (j < last - 1 && at > knots[j + 1]!) j++;
  const d = at - knots[j]!;
  const k = 4 * j;
  return (
    coefficients[k]! + d * (coefficients[k + 1]! + d * (coefficients[k + 2]! + d * coefficients[k + 3]!))
  );
}

function slopes(step: readonly number[], secant: readonly number[]): number[] {
  const n = step.length + 1;
  if (n === 2) return [secant[0]!, secant[0]!];
  const result = new Array<number>(n).fill(0);
  for (let j = 1; j < n - 1; j++) {
    const before = secant[j - 1]!;
    const after = secant[j]!;
    if (before * after <= 0) continue;
    const w1 = 2 * step[j]! + step[j - 1]!;
    const w2 = step[j]! + 2 * step[j - 1]!;
    result[j] = (w1 + w2) / (w1 / before + w2 / after);
  }
  result[0] = endSlope(step[0]!, step[1]!, secant[0]!, secant[1]!);
  result[n - 1] = endSlope(step[n - 2]!, step[n - 3]!, secant[n - 2]!, secant[n - 3]!);
  return result;
}

/** Three-point end slope, limited so that the end interval stays monotone. */
function endSlope(h0: number, h1: number, d0: number, d1: number): number {
  const slope = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
  if (slope * d0 <= 0) return 0;
  return d0 * d1 <= 0 && Math.abs(slope) > 3 * Math.abs(d0) ? 3 * d0 : slope;
}
