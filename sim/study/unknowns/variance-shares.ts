/**
 * How much of an answer's variance each unknown is to blame for, alone and with its company.
 *
 * In: a function's values at points A, at points B, and at points A with one unknown (or group) taken from B. Out: first-order
 * and total shares with standard errors by leaving out one block at a time.
 *   S_i  = 1/N sum f(B) (f(AB_i) - f(A)) / V        (Saltelli et al. 2010, table 2, (b); f less its mean)
 *   ST_i = 1/(2N) sum (f(A) - f(AB_i))^2 / V        (Jansen 1999; Saltelli et al. 2010, table 2, (f))
 * With a stand-in g = sum g_i(x_i) of known parts beside f the same sums scatter less (control variates: R. Y. Rubinstein
 * and D. P. Kroese, Simulation and the Monte Carlo Method, section 5.2). V_i and V_Ti being S_i V and ST_i V,
 *   V_i  = 1/N sum (f(B) - c (g(B) - g_i(B))) (f(AB_i) - f(A)) - c c_i (1/N sum g_i(B) (g_i(B) - g_i(A)) - Var g_i)
 *   V_Ti = 1/(2N) sum (f(A) - f(AB_i))^2 - c_i^2 (1/(2N) sum (g_i(A) - g_i(B))^2 - Var g_i)
 *   V    = sample variance of f - c^2 (sample variance of g - sum Var g_i),
 * c the least-squares slope of f on g and c_i that of f(AB_i) - f(A) on g_i(B) - g_i(A). What is taken off has expectation
 * nothing: the other parts of g(B) are independent of both f(AB_i) and f(A).
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

/** One part of a stand-in: a function of one unknown (or group) alone, less its mean, at the same points. */
export interface StandInPart {
  readonly a: ArrayLike<number>;
  readonly b: ArrayLike<number>;
  /** Known, in the square of the values' unit. */
  readonly variance: number;
}

const NOTHING: Share = { first: 0, total: 0, firstError: 0, totalError: 0 };

/** NaN stands for a run that could not be; a point with one is left out. `standIn`: a part for each of `mixed`. */
export function varianceShares({ a, b, mixed }: FrozenValues, standIn?: readonly StandInPart[]): Share[] {
  const whole = standIn === undefined ? undefined : wholeOf(standIn, a.length);
  return mixed.map((ab, i) => {
    if (ab === undefined) return NOTHING;
    const rows = Array.from({ length: a.length }, (_, n) => n).filter(
      (n) => Number.isFinite(a[n]) && Number.isFinite(b[n]) && Number.isFinite(ab[n]),
    );
    const sharesAt = (at: readonly number[]) =>
      estimate(at, { a, b, ab }, whole === undefined ? undefined : { whole, part: standIn![i]! });
    const found = sharesAt(rows);
    const without = Array.from({ length: BLOCKS }, (_, block) =>
      sharesAt(rows.filter((n) => n % BLOCKS !== block)),
    );
    // Delete-one-block jackknife: se^2 = (B - 1)/B sum (x_without - mean)^2.
    const error = (pick: (e: Shares) => number) =>
      ((BLOCKS - 1) / Math.sqrt(BLOCKS)) * deviationOf(without.map(pick));
    return {
      ...possible(found),
      firstError: error((e) => e.first),
      totalError: error((e) => e.total),
    };
  });
}

interface Shares {
  readonly first: number;
  readonly total: number;
}

/** What both shares must be: none is below nothing, and none alone does more than in company. */
function possible({ first, total }: Shares): Shares {
  const kept = Math.max(0, total);
  return { first: Math.min(kept, Math.max(0, first)), total: kept };
}

/** One function at the points A, B and A with one unknown from B. */
interface Values {
  readonly a: ArrayLike<number>;
  readonly b: ArrayLike<number>;
  readonly ab: ArrayLike<number>;
}

interface Control {
  readonly whole: StandInPart;
  readonly part: StandInPart;
}

function wholeOf(parts: readonly StandInPart[], points: number): StandInPart {
  const sum = (of: (part: StandInPart) => number) => parts.reduce((total, part) => total + of(part), 0);
  return {
    a: Float64Array.from({ length: points }, (_, n) => sum((part) => part.a[n]!)),
    b: Float64Array.from({ length: points }, (_, n) => sum((part) => part.b[n]!)),
    variance: sum((part) => part.variance),
  };
}

function estimate(rows: readonly number[], f: Values, control: Control | undefined): Shares {
  const plain = plainSums(rows, f);
  const helped = control === undefined ? plain : withStandIn(rows, f, control, plain);
  // A stand-in can be so far off that no variance is left; then it is not asked.
  const { variance, first, total } = helped.variance > 0 ? helped : plain;
  return variance > 0 ? { first: first / variance, total: total / variance } : { first: 0, total: 0 };
}

interface Variances extends Shares {
  readonly mean: number;
  readonly variance: number;
}

function plainSums(rows: readonly number[], { a, b, ab }: Values): Variances {
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
  return {
    mean,
    variance: variance / (2 * rows.length - 1),
    first: first / rows.length,
    total: total / (2 * rows.length),
  };
}

function withStandIn(
  rows: readonly number[],
  { a, b, ab }: Values,
  { whole, part }: Control,
  { mean, variance, total }: Variances,
): Variances {
  const { length } = rows;
  let meanSeen = 0;
  for (const n of rows) meanSeen += (whole.a[n]! + whole.b[n]!) / (2 * length);
  const c = slope(
    rows,
    (n) => [a[n]! - mean, whole.a[n]! - meanSeen],
    (n) => [b[n]! - mean, whole.b[n]! - meanSeen],
  );
  const own = slope(rows, (n) => [ab[n]! - a[n]!, part.b[n]! - part.a[n]!]);
  // That of g is nothing, and what is seen of it is in the mean of f too.
  const bestMean = mean - c * meanSeen;
  let first = 0;
  let seenVariance = 0;
  let seenFirst = 0;
  let seenTotal = 0;
  for (const n of rows) {
    first += (b[n]! - bestMean - c * (whole.b[n]! - part.b[n]!)) * (ab[n]! - a[n]!);
    seenVariance += (whole.a[n]! - meanSeen) ** 2 + (whole.b[n]! - meanSeen) ** 2;
    seenFirst += part.b[n]! * (part.b[n]! - part.a[n]!);
    seenTotal += (part.b[n]! - part.a[n]!) ** 2;
  }
  return {
    mean: bestMean,
    variance: variance - c * c * (seenVariance / (2 * length - 1) - whole.variance),
    first: first / length - c * own * (seenFirst / length - part.variance),
    total: total - own * own * (seenTotal / (2 * length) - part.variance),
  };
}

/** Least-squares slope through nothing of the first of each pair on the second. */
function slope(rows: readonly number[], ...pairs: ((n: number) => readonly [number, number])[]): number {
  let xy = 0;
  let xx = 0;
  for (const pair of pairs)
    for (const n of rows) {
      const [y, x] = pair(n);
      xy += x * y;
      xx += x * x;
    }
  return xx > 0 ? xy / xx : 0;
}
