/**
 * Refits of runs drawn with replacement: how far the answer hangs on which runs were made.
 *
 * In: Jacobian and residuals at the fit, segment by segment, and numbers in (0, 1) by place. Out: refitted steps. One
 * Gauss-Newton step from the fit serves for each: J and r are those of the drawn runs.
 */
import { Matrix, QrDecomposition } from 'ml-matrix';
import { deviationOf } from '../unknowns/statistics.ts';

const REFITS = 200;
/** With fewer runs there is next to nothing to draw from. */
const LEAST_RUNS = 3;

export function oneStepRefits(
  jacobian: Matrix,
  residuals: Float64Array,
  lengths: readonly number[],
  uniform: (place: number) => number,
): number[][] {
  const runs = lengths.length;
  const n = jacobian.columns;
  if (runs < LEAST_RUNS) return [];
  let start = 0;
  const parts = lengths.map((length) => {
    const own = jacobian.subMatrix(start, start + length - 1, 0, n - 1);
    const r = Matrix.columnVector(residuals.slice(start, start + length));
    start += length;
    const turned = own.transpose();
    return { square: turned.mmul(own), right: turned.mmul(r) };
  });
  const refits: number[][] = [];
  for (let k = 0; k < REFITS; k++) {
    const square = Matrix.zeros(n, n);
    const right = Matrix.zeros(n, 1);
    for (let draw = 0; draw < runs; draw++) {
      const part = parts[Math.min(runs - 1, Math.floor(uniform(k * runs + draw) * runs))]!;
      square.add(part.square);
      right.add(part.right);
    }
    const qr = new QrDecomposition(square);
    // Runs of one kind only may tell nothing of another's value: such a draw is no repeat of this log.
    if (!qr.isFullRank()) continue;
    const step = qr.solve(right.mul(-1)).to1DArray();
    if (step.every(Number.isFinite)) refits.push(step);
  }
  return refits;
}

/**
 * Standard deviation over the refits, widened by sqrt(runs/(runs - 1)) being left out as small; null where there are too
 * few. By quartiles, so that a draw with next to no runs of a kind does not set it: (q75 - q25)/1.349.
 */
export function scatterOf(refits: readonly (readonly number[])[], i: number): number | null {
  if (refits.length < REFITS / 4) return null;
  const sorted = refits.map((step) => step[i]!).sort((a, b) => a - b);
  const at = (p: number) => sorted[Math.round(p * (sorted.length - 1))]!;
  return Math.min(deviationOf(sorted), (at(0.75) - at(0.25)) / 1.349);
}
