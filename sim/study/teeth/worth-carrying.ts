/**
 * The smallest set of sprockets that keeps every track within so much of its best; and what a box of so many can do.
 *
 * In: sprockets, pairs, seconds each pair loses on each track. Out: the fewest sprockets; of equally few those that cost
 * least to buy, then the one with the pair fitted in it, then those that lose least. Every set is tried up to a bound, beyond it the set is grown greedily.
 */
import type { Sprocket, SprocketPair, SprocketsAtHand } from './sprocket-pairs.ts';
import { priceOf } from './sprocket-pairs.ts';

export interface CarriedSet {
  readonly front: readonly number[];
  readonly rear: readonly number[];
  /** Pair to fit on each track, as an index into the pairs; and what it loses there, s */
  readonly pairs: readonly number[];
  readonly losses: readonly number[];
  /** What is to be bought; null where a price is missing */
  readonly toBuy: number | null;
  /** True where every smaller set was tried. */
  readonly isSmallest: boolean;
}

/** Sets tried before growing one greedily instead. */
const MOST_SETS = 200_000;

/** `losses[track][pair]`: seconds behind the best of the track; null where it could not be driven. */
export function worthCarrying(
  { front, rear, pairs }: SprocketsAtHand,
  losses: readonly (readonly (number | null)[])[],
  within: number,
  fitted = -1,
): CarriedSet | null {
  const good = losses.map((row) =>
    row.flatMap((loss, pair) => (loss !== null && loss <= within ? [pair] : [])),
  );
  if (good.length === 0 || good.some((list) => list.length === 0)) return null;
  const all = [...front.map((s) => ({ side: 'front', s })), ...rear.map((s) => ({ side: 'rear', s }))];
  const bitOf = new Map(all.map(({ side, s }, i) => [`${side} ${s.teeth}`, 2 ** i]));
  // Sets as sums of distinct powers of two would lose bits beyond 31: the search then is greedy.
  const exact = all.length <= 30;
  const masks = pairs.map((p) => (bitOf.get(`front ${p.front}`) ?? 0) + (bitOf.get(`rear ${p.rear}`) ?? 0));
  const useful = exact ? usefulMasks(good, masks) : [];
  const settle = (chosen: readonly Sprocket[], sides: readonly string[], isSmallest: boolean) =>
    setOf(
      chosen.filter((_, i) => sides[i] === 'front'),
      chosen.filter((_, i) => sides[i] === 'rear'),
      pairs,
      losses,
      isSmallest,
    );
  if (exact) {
    const bits = all.map((_, i) => 2 ** i).filter((bit) => useful.some((m) => (m & bit) !== 0));
    let tried = 0;
    for (let size = 2; size <= bits.length; size++) {
      let best: CarriedSet | undefined;
      for (const set of subsets(bits, size)) {
        if (++tried > MOST_SETS) break;
        if (!good.every((list) => list.some((pair) => (masks[pair]! & ~set) === 0))) continue;
        const members = all.filter((_, i) => (set & (2 ** i)) !== 0);
        const found = settle(
          members.map((m) => m.s),
          members.map((m) => m.side),
          true,
        );
        if (best === undefined || isBetter(found, best, pairs[fitted])) best = found;
      }
      if (best !== undefined) return best;
      if (tried > MOST_SETS) break;
    }
  }
  return greedy(front, rear, pairs, losses, good);
}

/** Sprockets in a box, two to this many. */
const LARGEST_BOX = 5;
/** Sets of one size looked at; a list of sprockets that has more gets no boxes of that size. */
const MOST_BOXES = 20_000;

/**
 * For each number of sprockets the set that gives away least on the track where it gives away most; of those within `noise`
 * of it, which no clock tells apart, the one that costs least, then that loses least. Sizes that gain no more than the noise
 * on a smaller one are left out.
 */
export function bestBoxes(
  { front, rear, pairs }: SprocketsAtHand,
  losses: readonly (readonly (number | null)[])[],
  noise: number,
  fitted = -1,
): { readonly boxes: readonly CarriedSet[]; readonly upTo: number } {
  const all = [...front.map((s) => ({ side: 'front', s })), ...rear.map((s) => ({ side: 'rear', s }))];
  const boxes: CarriedSet[] = [];
  let given = Number.POSITIVE_INFINITY;
  let upTo = 0;
  const worst = (set: CarriedSet): number =>
    set.pairs.includes(-1) ? Number.POSITIVE_INFINITY : Math.max(...set.losses);
  for (let size = 2; size <= Math.min(LARGEST_BOX, all.length); size++) {
    if (choices(all.length, size) > MOST_BOXES) break;
    upTo = size;
    const sets: { readonly set: CarriedSet; readonly most: number }[] = [];
    for (const members of subsetsOf(all, size)) {
      const of = (side: string) => members.filter((m) => m.side === side).map((m) => m.s);
      const set = setOf(of('front'), of('rear'), pairs, losses, true);
      const most = worst(set);
      if (most < given - noise) sets.push({ set, most });
    }
    const least = sets.reduce((low, { most }) => Math.min(low, most), Number.POSITIVE_INFINITY);
    const alike = sets.filter(({ most }) => most <= least + noise);
    const [first, ...others] = alike.map(({ set }) => set);
    if (first === undefined) continue;
    const best = others.reduce((kept, set) => (isBetter(set, kept, pairs[fitted]) ? set : kept), first);
    given = worst(best);
    boxes.push(best);
  }
  return { boxes, upTo };
}

function choices(of: number, size: number): number {
  let count = 1;
  for (let i = 0; i < size; i++) count = (count * (of - i)) / (i + 1);
  return count;
}

function* subsetsOf<T>(list: readonly T[], size: number, from = 0): Generator<T[]> {
  if (size === 0) {
    yield [];
    return;
  }
  for (let i = from; i + size <= list.length; i++)
    for (const rest of subsetsOf(list, size - 1, i + 1)) yield [list[i]!, ...rest];
}

function usefulMasks(good: readonly (readonly number[])[], masks: readonly number[]): number[] {
  return [...new Set(good.flatMap((list) => list.map((pair) => masks[pair]!)))];
}

/** All sums of `size` of the bits, lowest first. */
function* subsets(bits: readonly number[], size: number, from = 0): Generator<number> {
  if (size === 0) {
    yield 0;
    return;
  }
  for (let i = from; i + size <= bits.length; i++)
    for (const rest of subsets(bits, size - 1, i + 1)) yield bits[i]! + rest;
}

/** Takes the best pair of each track in turn, unless one at hand is good enough. */
function greedy(
  front: readonly Sprocket[],
  rear: readonly Sprocket[],
  pairs: readonly SprocketPair[],
  losses: readonly (readonly (number | null)[])[],
  good: readonly (readonly number[])[],
): CarriedSet {
  const fronts = new Set<number>();
  const rears = new Set<number>();
  for (const [track, list] of good.entries()) {
    if (list.some((p) => fronts.has(pairs[p]!.front) && rears.has(pairs[p]!.rear))) continue;
    const added = (p: number) =>
      Number(!fronts.has(pairs[p]!.front)) + Number(!rears.has(pairs[p]!.rear)) + losses[track]![p]! * 1e-6;
    const pair = list.reduce((best, p) => (added(p) < added(best) ? p : best), list[0]!);
    fronts.add(pairs[pair]!.front);
    rears.add(pairs[pair]!.rear);
  }
  return setOf(
    front.filter((s) => fronts.has(s.teeth)),
    rear.filter((s) => rears.has(s.teeth)),
    pairs,
    losses,
    false,
  );
}

function setOf(
  front: readonly Sprocket[],
  rear: readonly Sprocket[],
  pairs: readonly SprocketPair[],
  losses: readonly (readonly (number | null)[])[],
  isSmallest: boolean,
): CarriedSet {
  const fits = (pair: SprocketPair) =>
    front.some((s) => s.teeth === pair.front) && rear.some((s) => s.teeth === pair.rear);
  const chosen = losses.map((row) => {
    let best = -1;
    for (const [i, loss] of row.entries())
      if (loss !== null && fits(pairs[i]!) && (best < 0 || loss < row[best]!)) best = i;
    return best;
  });
  return {
    front: front.map((s) => s.teeth),
    rear: rear.map((s) => s.teeth),
    pairs: chosen,
    losses: chosen.map((pair, track) => losses[track]![pair] ?? 0),
    toBuy: priceOf([...front, ...rear]),
    isSmallest,
  };
}

function isBetter(a: CarriedSet, b: CarriedSet, fitted: SprocketPair | undefined): boolean {
  const cost = (set: CarriedSet) => set.toBuy ?? Number.POSITIVE_INFINITY;
  if (cost(a) !== cost(b)) return cost(a) < cost(b);
  const hasFitted = ({ front, rear }: CarriedSet) =>
    fitted !== undefined && front.includes(fitted.front) && rear.includes(fitted.rear);
  if (hasFitted(a) !== hasFitted(b)) return hasFitted(a);
  const sum = (set: CarriedSet) => set.losses.reduce((total, loss) => total + loss, 0);
  return sum(a) < sum(b);
}
