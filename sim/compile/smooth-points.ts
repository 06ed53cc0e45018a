/**
 * Drawn points with the noise of a logger or a shaky hand taken out, none moved farther than a stated tolerance.
 *
 * In: points, whether they close, the tolerance. Out: new positions and how far they moved. Least of
 *   sum |P' - P|^2 + lambda sum w (third divided difference of P' over chord length)^2
 * with the greatest lambda that moves no point beyond the tolerance (found by halving): the third difference is zero on
 * a parabola, so that bends keep their radius to second order. Knows nothing of width or surfaces.
 */
import { addTo, bandMatrix, factor, type SkylineMatrix, solveWith } from '../numerics/skyline.ts';

export interface SmoothedPoints {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Distances moved, m, and the point that moved most */
  readonly most: number;
  readonly mean: number;
  readonly farthest: number;
}

interface Point {
  readonly x: number;
  readonly y: number;
}

/** Halvings of the logarithm of lambda between its ends: 60 decades to 1e-10. */
const HALVINGS = 40;
const LEAST_LOG = -12;
const MOST_LOG = 12;

export function smoothPoints(points: readonly Point[], closed: boolean, tolerance: number): SmoothedPoints {
  const n = points.length;
  const px = Float64Array.from(points, (p) => p.x);
  const py = Float64Array.from(points, (p) => p.y);
  const roughness = roughnessOf(points, closed);
  const moved = (log: number): SmoothedPoints | undefined => {
    const m = bandMatrix(n, 3, closed);
    const lambda = 10 ** log;
    for (let at = 0; at < m.lower.length; at++) m.lower[at] = lambda * roughness.lower[at]!;
    for (let i = 0; i < n; i++) addTo(m, i, i, 1);
    const l = factor(m);
    if (l === undefined) return undefined;
    const x = solveWith(m, l, px);
    const y = solveWith(m, l, py);
    let most = 0;
    let sum = 0;
    let farthest = 0;
    for (let i = 0; i < n; i++) {
      const d = Math.hypot(x[i]! - px[i]!, y[i]! - py[i]!);
      sum += d;
      if (d > most) [most, farthest] = [d, i];
    }
    return { x, y, most, mean: sum / n, farthest };
  };
  let low = LEAST_LOG;
  let high = MOST_LOG;
  let best: SmoothedPoints = { x: px, y: py, most: 0, mean: 0, farthest: 0 };
  for (let halving = 0; halving < HALVINGS; halving++) {
    const middle = (low + high) / 2;
    const tried = moved(middle);
    if (tried !== undefined && tried.most <= tolerance) {
      best = tried;
      low = middle;
    } else high = middle;
  }
  return best;
}

/** Sum of squared third divided differences, scaled by the mean chord so that lambda has no unit. */
function roughnessOf(points: readonly Point[], closed: boolean): SkylineMatrix {
  const n = points.length;
  const m = bandMatrix(n, 3, closed);
  const chord = points.map((p, i) => {
    const q = points[(i + 1) % n]!;
    return Math.max(1e-6, Math.hypot(q.x - p.x, q.y - p.y));
  });
  const used = closed ? chord : chord.slice(0, -1);
  const mean = used.reduce((sum, c) => sum + c, 0) / used.length;
  const rows = closed ? n : n - 3;
  for (let i = 0; i < rows; i++) {
    const u = [0];
    for (let k = 0; k < 3; k++) u.push(u[k]! + chord[(i + k) % n]! / mean);
    // Weights of the third divided difference: one over the product of the distances to the others.
    const weights = u.map((a, p) => u.reduce((product, b, q) => (p === q ? product : product / (a - b)), 6));
    for (let p = 0; p < 4; p++)
      for (let q = p; q < 4; q++) addTo(m, (i + p) % n, (i + q) % n, weights[p]! * weights[q]!);
  }
  return m;
}
