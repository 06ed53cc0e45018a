/**
 * A cubic spline through ordinates on fixed knots as a linear operator: bends from ordinates, and the way back.
 *
 * In: knots, open (natural ends) or periodic (the last knot is the first again). Out: S M = R y solved for the second
 * derivatives M, and the transpose, which carries slopes of a function of M to slopes of it in y. S and R are
 * symmetric tridiagonal, with corners where periodic (de Boor, A Practical Guide to Splines, ch. IV).
 */
import { addTo, bandMatrix, factor, type SkylineMatrix, solveWith } from './skyline.ts';

export interface SplineOperator {
  /** Unknown ordinates: knots, less one where periodic */
  readonly count: number;
  readonly periodic: boolean;
  /** Knot spans */
  readonly h: Float64Array;
  readonly bends: (values: ArrayLike<number>) => Float64Array;
  /** Slopes in the ordinates of a function whose slopes in the bends are given. */
  readonly slopesFromBends: (slopes: ArrayLike<number>) => Float64Array;
}

export function splineOperator(knots: ArrayLike<number>, periodic: boolean): SplineOperator {
  const spans = knots.length - 1;
  const count = periodic ? spans : spans + 1;
  if (count < 3) throw new Error(`splineOperator: needs three or more ordinates, got ${count}`);
  const h = Float64Array.from({ length: spans }, (_, i) => knots[i + 1]! - knots[i]!);
  const s = matrixOf(h, count, periodic);
  const l = factor(s);
  if (l === undefined) throw new Error('splineOperator: knots must increase');
  const before = (i: number) => h[i === 0 ? spans - 1 : i - 1]!;
  const inner = (i: number) => periodic || (i > 0 && i < count - 1);
  const left = (i: number) => (i === 0 ? count - 1 : i - 1);
  const right = (i: number) => (i === count - 1 ? 0 : i + 1);
  return {
    count,
    periodic,
    h,
    bends(values) {
      const b = new Float64Array(count);
      for (let i = 0; i < count; i++)
        if (inner(i))
          b[i] = (values[right(i)]! - values[i]!) / h[i]! - (values[i]! - values[left(i)]!) / before(i);
      return solveWith(s, l, b);
    },
    slopesFromBends(slopes) {
      const v = solveWith(s, l, slopes);
      const out = new Float64Array(count);
      for (let i = 0; i < count; i++) {
        if (!inner(i)) continue;
        const toRight = v[i]! / h[i]!;
        const toLeft = v[i]! / before(i);
        out[right(i)] = out[right(i)]! + toRight;
        out[left(i)] = out[left(i)]! + toLeft;
        out[i] = out[i]! - toRight - toLeft;
      }
      return out;
    },
  };
}

function matrixOf(h: Float64Array, count: number, periodic: boolean): SkylineMatrix {
  const s = bandMatrix(count, 1, periodic);
  for (let i = 0; i < count; i++) {
    if (!periodic && (i === 0 || i === count - 1)) {
      addTo(s, i, i, 1);
      continue;
    }
    const after = h[i]!;
    const before = h[i === 0 ? h.length - 1 : i - 1]!;
    addTo(s, i, i, (before + after) / 3);
    const next = i === count - 1 ? 0 : i + 1;
    if (periodic || next < count - 1) addTo(s, i, next, after / 6);
  }
  return s;
}
