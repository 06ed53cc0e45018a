/**
 * Cubic splines with continuous second derivative through points, open (natural ends) or periodic.
 *
 * In: increasing knots and ordinates; a periodic spline's last ordinate equals its first. Out: second
 * derivatives at the knots and evaluators. Source: de Boor, A Practical Guide to Splines, ch. IV.
 */

export interface CubicSpline {
  readonly knots: Float64Array;
  readonly values: Float64Array;
  /** Second derivatives at the knots. */
  readonly bends: Float64Array;
}

/** Builds the spline; throws on knots that do not increase. */
export function cubicSpline(
  knots: ArrayLike<number>,
  values: ArrayLike<number>,
  periodic: boolean,
): CubicSpline {
  const n = knots.length;
  if (n < 2 || values.length !== n) throw new Error(`cubicSpline: needs two or more points, got ${n}`);
  for (let i = 1; i < n; i++) {
    if (!(knots[i]! > knots[i - 1]!)) throw new Error(`cubicSpline: knots must increase at ${i}`);
  }
  const bends = periodic ? periodicBends(knots, values) : naturalBends(knots, values);
  return { knots: Float64Array.from(knots), values: Float64Array.from(values), bends };
}

export interface SplinePoint {
  value: number;
  slope: number;
  bend: number;
  /** The interval of knots in which it lies. */
  interval: number;
}

/**
 * Value, first and second derivative at u, within the knots; `hint` is the interval to try first. Written into `into`
 * where one is given: a caller that asks for thousands then makes no garbage.
 */
export function evaluateSpline(
  { knots, values, bends }: CubicSpline,
  u: number,
  hint = 0,
  into: SplinePoint = { value: 0, slope: 0, bend: 0, interval: 0 },
): SplinePoint {
  const last = knots.length - 2;
  let i = Math.min(Math.max(hint, 0), last);
  while (i > 0 && u < knots[i]!) i--;
  while (i < last && u > knots[i + 1]!) i++;
  const h = knots[i + 1]! - knots[i]!;
  const b = (u - knots[i]!) / h;
  const a = 1 - b;
  const y0 = values[i]!;
  const y1 = values[i + 1]!;
  const m0 = bends[i]!;
  const m1 = bends[i + 1]!;
  into.value = a * y0 + b * y1 + ((a * a * a - a) * m0 + (b * b * b - b) * m1) * ((h * h) / 6);
  into.slope = (y1 - y0) / h + (h / 6) * ((3 * b * b - 1) * m1 - (3 * a * a - 1) * m0);
  into.bend = a * m0 + b * m1;
  into.interval = i;
  return into;
}

/** First derivative at u in a known interval: what arc length needs, without the rest. */
export function splineSlope(spline: CubicSpline, u: number, interval: number): number {
  const { knots, values, bends } = spline;
  const h = knots[interval + 1]! - knots[interval]!;
  const b = (u - knots[interval]!) / h;
  const a = 1 - b;
  return (
    (values[interval + 1]! - values[interval]!) / h +
    (h / 6) * ((3 * b * b - 1) * bends[interval + 1]! - (3 * a * a - 1) * bends[interval]!)
  );
}

function naturalBends(x: ArrayLike<number>, y: ArrayLike<number>): Float64Array {
  const n = x.length;
  const bends = new Float64Array(n);
  if (n === 2) return bends;
  const inner = n - 2;
  const below = new Float64Array(inner);
  const middle = new Float64Array(inner);
  const above = new Float64Array(inner);
  const right = new Float64Array(inner);
  for (let i = 0; i < inner; i++)
    fillRow(y, i, i + 1, i + 2, x[i + 1]! - x[i]!, x[i + 2]! - x[i + 1]!, i, below, middle, above, right);
  bends.set(solveTridiagonal(below, middle, above, right), 1);
  return bends;
}

function periodicBends(x: ArrayLike<number>, y: ArrayLike<number>): Float64Array {
  const n = x.length - 1;
  const bends = new Float64Array(n + 1);
  if (n < 3) throw new Error(`cubicSpline: a periodic spline needs three or more points, got ${n}`);
  const below = new Float64Array(n);
  const middle = new Float64Array(n);
  const above = new Float64Array(n);
  const right = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const before = i === 0 ? n - 1 : i - 1;
    fillRow(
      y,
      before,
      i,
      i + 1,
      x[before + 1]! - x[before]!,
      x[i + 1]! - x[i]!,
      i,
      below,
      middle,
      above,
      right,
    );
  }
  bends.set(solveCyclic(below, middle, above, right));
  bends[n] = bends[0]!;
  return bends;
}

function fillRow(
  y: ArrayLike<number>,
  i0: number,
  i1: number,
  i2: number,
  h0: number,
  h1: number,
  row: number,
  below: Float64Array,
  middle: Float64Array,
  above: Float64Array,
  right: Float64Array,
): void {
  below[row] = h0 / 6;
  middle[row] = (h0 + h1) / 3;
  above[row] = h1 / 6;
  right[row] = (y[i2]! - y[i1]!) / h1 - (y[i1]! - y[i0]!) / h0;
}

/** Solves a tridiagonal system (Thomas algorithm); the matrix must be diagonally dominant. */
function solveTridiagonal(
  below: Float64Array,
  middle: Float64Array,
  above: Float64Array,
  right: Float64Array,
): Float64Array {
  const n = middle.length;
  const c = new Float64Array(n);
  const d = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const pivot = middle[i]! - (i > 0 ? below[i]! * c[i - 1]! : 0);
    c[i] = above[i]! / pivot;
    d[i] = (right[i]! - (i > 0 ? below[i]! * d[i - 1]! : 0)) / pivot;
  }
  for (let i = n - 2; i >= 0; i--) d[i] = d[i]! - c[i]! * d[i + 1]!;
  return d;
}

/** Tridiagonal with corners below[0] and above[n-1], by the Sherman-Morrison formula. */
function solveCyclic(
  below: Float64Array,
  middle: Float64Array,
  above: Float64Array,
  right: Float64Array,
): Float64Array {
  const n = middle.length;
  const cornerLow = above[n - 1]!;
  const cornerHigh = below[0]!;
  const gamma = -middle[0]!;
  const changed = Float64Array.from(middle);
  changed[0] = middle[0]! - gamma;
  changed[n - 1] = middle[n - 1]! - (cornerLow * cornerHigh) / gamma;
  const x = solveTridiagonal(below, changed, above, right);
  const u = new Float64Array(n);
  u[0] = gamma;
  u[n - 1] = cornerLow;
  const z = solveTridiagonal(below, changed, above, u);
  const factor = (x[0]! + (cornerHigh * x[n - 1]!) / gamma) / (1 + z[0]! + (cornerHigh * z[n - 1]!) / gamma);
  return x.map((value, i) => value - factor * z[i]!);
}

/** Way along the chords to each of some places, m, each chord at least `least` long: what a spline runs over. */
export function chordLengths(
  places: readonly { readonly x: number; readonly y: number }[],
  least = 0,
): number[] {
  const chord = [0];
  for (let i = 1; i < places.length; i++) {
    const [from, to] = [places[i - 1]!, places[i]!];
    chord.push(chord[i - 1]! + Math.max(least, Math.hypot(to.x - from.x, to.y - from.y)));
  }
  return chord;
}
