/**
 * How much of an answer's variance each unknown is to blame for, alone and with its company.
 *
 * In: a function's values at points A, at points B, and at points A with one unknown (or group) taken from B. Out: first-order
 * and total shares with standard errors by leaving out one block at a time.
 *   S_i  = 1/N sum f(B) (f(AB_i) - f(A)) / V        (Saltelli et al. 2010, table 2, (b); f less its mean)
 *   ST_i = 1/(2N) sum (f(A) - f(AB_i))^2 / V        (Jansen 1999; Saltelli et al. 2010, table 2, (f))
 * Sources: A. Saltelli, P. Annoni, I. Azzini, F. Campolongo, M. Ratto, S. Tarantola, Variance based sensitivity analysis of
 * model output, Computer Physics Communications 181 (2010) 259-270; M. J. W. Jansen, ibid. 117 (1999) 35-43. Pinned on a
 * function whose shares are known in closed form by tests/sim/study/variance-shares.test.ts and sim/evidence.
 */
import { BLOCKS } from './plan.ts';
import { deviationOf } from './statistics.ts';

export interface Share {
  /** What would go away, on average, if this alone became known. */
  readonly first: number;
  /** What would be left, on average, if all but this became known. */
  readonly total: number;
  readonly firstError: number;
  readonly totalError: number;
}

export interface FrozenValues {
  readonly a: ArrayLike<number>;
  readonly b: ArrayLike<number>;
  /** Per unknown; undefined where the function does not draw on it. */
  readonly mixed: readonly (ArrayLike<number> | undefined)[];
}

const NOTHING: Share = { first: 0, total: 0, firstError: 0, totalError: 0 };

/** NaN stands for a run that could not be; a point with one is left out. */
export function varianceShares({ a, b, mixed }: FrozenValues): Share[] {
  return mixed.map((ab) => {
    if (ab === undefined) return NOTHING;
    const rows = Array.from({ length: a.length }, (_, n) => n).filter(
      (n) => Number.isFinite(a[n]) && Number.isFinite(b[n]) && Number.isFinite(ab[n]),
    );
    const whole = estimate(rows, a, b, ab);
    const without = Array.from({ length: BLOCKS }, (_, block) =>
      estimate(
        rows.filter((n) => n % BLOCKS !== block),
        a,
        b,
        ab,
      ),
    );
    // Delete-one-block jackknife: se^2 = (B - 1)/B sum (x_without - mean)^2.
    const error = (pick: (e: { first: number; total: number }) => number) =>
      ((BLOCKS - 1) / Math.sqrt(BLOCKS)) * deviationOf(without.map(pick));
    return { ...whole, firstError: error((e) => e.first), totalError: error((e) => e.total) };
  });
}

function estimate(
  rows: readonly number[],
  a: ArrayLike<number>,
  b: ArrayLike<number>,
  ab: ArrayLike<number>,
): { first: number; total: number } {
  let mean = 0;
  for (const n of rows) mean += (a[n]! + b[n]!) / (2 * rows.length);
  let variance = 0;
  let first = 0;
  let total = 0;
  for (const n of rows) {
    variance += (a[n]! - mean) ** 2 + (b[n]! - mean) ** 2;
    first += (b[n]! - mean) * (ab[n]! - a[n]!);
    total += (a[n]! - ab[n]!) ** 2;
  }
  variance /= 2 * rows.length - 1;
  if (!(variance > 0)) return { first: 0, total: 0 };
  return { first: first / rows.length / variance, total: total / (2 * rows.length) / variance };
}
