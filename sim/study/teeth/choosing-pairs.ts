/**
 * Which pair to fit: the quickest and what no clock tells from it, the one to name, what that gains, one for all tracks.
 *
 * In: laps per pair. Out: places in the list of pairs, -1 for none. Knows nothing of how the laps came.
 */
import { bearsOnKarts } from '../../run/chain-sheet.ts';
import type { DrawnDifference } from '../common-draws.ts';
import { verdictOn } from '../decided.ts';
import type { SprocketPair } from './sprocket-pairs.ts';
import type { PairLap, PairSheet, RivalPair, TeethOnTrack } from './teeth-result.ts';

/** The quickest, the first of equals, and all that no clock tells from it. */
export function bestOf(
  laps: readonly ({ readonly time: number } | null | undefined)[],
  noise: number,
): { readonly best: number; readonly ties: readonly number[] } {
  let best = -1;
  for (const [i, lap] of laps.entries())
    if (lap != null && (best < 0 || lap.time < laps[best]!.time)) best = i;
  const limit = best < 0 ? 0 : laps[best]!.time + noise;
  return { best, ties: laps.flatMap((lap, i) => (lap != null && lap.time <= limit ? [i] : [])) };
}

/** Nothing is said where no clock tells any of the pairs apart. */
export function edgeOf(
  pairs: readonly SprocketPair[],
  { best, ties }: { readonly best: number; readonly ties: readonly number[] },
): TeethOnTrack['edge'] {
  if (best < 0 || pairs.length < 2) return null;
  const ratios = pairs.map((p) => p.ratio);
  const [low, high] = [Math.min(...ratios), Math.max(...ratios)];
  if (low === high || ties.length === pairs.length) return null;
  return ratios[best] === low ? 'tallest' : ratios[best] === high ? 'shortest' : null;
}

/**
 * Least sum of relative losses; of the pairs no clock tells from that one on any track the pair fitted, else the cheapest to
 * buy, then the one that loses least where it loses most.
 */
export function compromiseOf(
  tracks: readonly Pick<TeethOnTrack, 'laps' | 'best'>[],
  losses: readonly (readonly (number | null)[])[],
  offered: readonly SprocketPair[],
  { fitted, noise }: { readonly fitted: number; readonly noise: number },
): { readonly pair: number; readonly losses: readonly number[] } | null {
  const pairs = losses[0]?.length ?? 0;
  let pair = -1;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < pairs; i++) {
    let sum = 0;
    for (const [t, row] of losses.entries()) {
      const loss = row[i] ?? null;
      sum += loss === null ? Number.POSITIVE_INFINITY : loss / tracks[t]!.laps[tracks[t]!.best]!.time;
    }
    if (sum < least) {
      least = sum;
      pair = i;
    }
  }
  if (pair < 0) return null;
  const alike = offered.flatMap((_, i) =>
    losses.every((row) => row[i] != null && Math.abs(row[i] - row[pair]!) <= noise) ? [i] : [],
  );
  const worst = (i: number) => Math.max(...losses.map((row) => row[i]!));
  const order = alike.sort(
    (a, b) =>
      Number(b === fitted) - Number(a === fitted) ||
      priceOf(offered[a]!) - priceOf(offered[b]!) ||
      worst(a) - worst(b) ||
      a - b,
  );
  const chosen = order[0] ?? pair;
  return { pair: chosen, losses: losses.map((row) => row[chosen]!) };
}

/**
 * Of the pairs no clock tells apart: the one fitted, else owned before to be bought, then what asks least of the chain, then
 * the cheapest, then the larger sprocket in front, round which the chain bends less.
 */
export function namedPair(
  pairs: readonly PairSheet[],
  { best, ties }: { readonly best: number; readonly ties: readonly number[] },
  fitted: number,
): number {
  if (best < 0 || ties.includes(fitted)) return best < 0 ? -1 : fitted;
  const missed = (pair: PairSheet) => pair.chain.rules.filter((rule) => !rule.holds && bearsOnKarts(rule));
  const order = ties.toSorted((a, b) => {
    const [x, y] = [pairs[a]!, pairs[b]!];
    return (
      Number(y.owned) - Number(x.owned) ||
      missed(x).length - missed(y).length ||
      priceOf(x) - priceOf(y) ||
      y.front - x.front ||
      a - b
    );
  });
  return order[0] ?? best;
}

/** What is to be bought; where no price says, more than any. */
function priceOf({ owned, toBuy }: SprocketPair): number {
  return owned ? 0 : (toBuy ?? Number.MAX_VALUE);
}

/** The pair fitted where another is named, else the quickest beyond the near-ties; -1 for none. */
export function rivalPair(
  laps: readonly (PairLap | null | undefined)[],
  ties: readonly number[],
  named: number,
  fitted: number,
): number {
  if (named < 0) return -1;
  if (named !== fitted && laps[fitted] != null) return fitted;
  return bestOf(
    laps.map((lap, i) => (ties.includes(i) ? null : lap)),
    0,
  ).best;
}

/** `between`: its lap less that of the named pair, by draws. */
export function comparedWith(
  pair: number,
  difference: number,
  between: DrawnDifference | null,
  noise: number,
): RivalPair {
  // That the named pair is the quicker: the other's lap is the longer.
  const probability = between === null ? null : 1 - between.probability;
  return {
    pair,
    difference,
    spread: between?.spread ?? null,
    low: between?.low ?? null,
    high: between?.high ?? null,
    probability,
    verdict: between === null ? null : verdictOn(between.middle, between.probability, noise),
  };
}
