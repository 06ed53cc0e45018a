/**
 * Quantiles, intervals and their standard errors from draws in blocks.
 *
 * In: values of one figure by draw (NaN where there is none). Out: plain numbers. Quantiles by linear interpolation
 * between order statistics (definition 7 of R. J. Hyndman and Y. Fan, Sample quantiles in statistical packages, Am. Stat.
 * 50 (1996) 361-365). Standard errors from blocks, which are independent repeats: sd of the blocks' values / sqrt(blocks).
 */
import { BLOCKS } from './plan.ts';

export interface Spread {
  /** How many draws there are, and how many in which the kart could not run. */
  readonly count: number;
  readonly mean: number;
  readonly deviation: number;
  /** Quantiles at 5, 25, 50, 75 and 95 %: the interval of 90 %, that of 50 %, the middle. */
  readonly p5: number;
  readonly p25: number;
  readonly p50: number;
  readonly p75: number;
  readonly p95: number;
  /** Standard errors of the two ends of the interval of 90 % and of the middle, from the finite number of draws. */
  readonly error: { readonly p5: number; readonly p50: number; readonly p95: number };
}

export function spreadOfDraws(values: ArrayLike<number>): Spread | undefined {
  const sorted = finite(Array.from(values));
  if (sorted.length < 2) return undefined;
  const mean = meanOf(sorted);
  const at = (p: number) => quantile(sorted, p);
  const blocks = blocksOf(values).map((block) => finite(block));
  const errorAt = (p: number) => standardError(blocks.map((block) => quantile(block, p)));
  return {
    count: sorted.length,
    mean,
    deviation: deviationOf(sorted),
    p5: at(0.05),
    p25: at(0.25),
    p50: at(0.5),
    p75: at(0.75),
    p95: at(0.95),
    error: { p5: errorAt(0.05), p50: errorAt(0.5), p95: errorAt(0.95) },
  };
}

/** Share of the draws in which the difference favours, ties counting half, with its standard error. */
export function shareBelowZero(differences: ArrayLike<number>): { share: number; error: number } | undefined {
  const share = (values: readonly number[]) => meanOf(values.map((d) => (d < 0 ? 1 : d > 0 ? 0 : 0.5)));
  const all = Array.from(differences).filter(Number.isFinite);
  if (all.length === 0) return undefined;
  const blocks = blocksOf(differences).map((b) => b.filter(Number.isFinite));
  return { share: share(all), error: standardError(blocks.filter((b) => b.length > 0).map(share)) };
}

export function blocksOf(values: ArrayLike<number>): number[][] {
  const all = Array.from(values);
  return Array.from({ length: BLOCKS }, (_, block) => all.filter((_value, n) => n % BLOCKS === block));
}

export function standardError(repeats: readonly number[]): number {
  const there = repeats.filter(Number.isFinite);
  return there.length < 2 ? 0 : deviationOf(there) / Math.sqrt(there.length);
}

/** Of values in rising order; NaN where there are none. */
export function quantile(sorted: readonly number[], p: number): number {
  if (sorted.length === 0) return Number.NaN;
  const at = p * (sorted.length - 1);
  const low = Math.floor(at);
  const here = sorted[low]!;
  return here + (at - low) * ((sorted[low + 1] ?? here) - here);
}

export function meanOf(values: readonly number[]): number {
  return values.reduce((sum, x) => sum + x, 0) / values.length;
}

export function deviationOf(values: readonly number[]): number {
  const mean = meanOf(values);
  return Math.sqrt(values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (values.length - 1));
}

function finite(values: readonly number[]): number[] {
  return values.filter(Number.isFinite).sort((a, b) => a - b);
}
