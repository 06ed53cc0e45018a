/**
 * Whether a line of places closes on itself, and how its ends are brought together.
 *
 * In: places in metres, whether the file calls it a ring. Out: the gap and a guess; places closed as asked. Pure.
 */
import { gapSpread } from '../../drawing/point-edits.ts';
import type { FilePlace } from './course-file.ts';
import { waysAlong } from './ground-places.ts';

/** 'joined': the gap is driven as one more piece of the course; 'spread': the gap is closed by moving every place. */
export type Ends = 'open' | 'joined' | 'spread';

export interface EndsGuess {
  /** m from the last place to the first */
  readonly gap: number;
  readonly guess: Ends;
}

/** m; the last place repeats the first. */
const SAME = 0.01;
/** Of the usual step from place to place: a gap ahead no wider is the step that a list leaves out. */
const A_STEP = 2.5;
/** Of the length, and m: ends no farther apart were meant to meet. */
const MEANT_TO_MEET = 0.04;
const FARTHEST_APART = 30;
/** A course of fewer places is taken as open unless its ends meet. */
const FEWEST = 8;

export function guessEnds(places: readonly FilePlace[], apart: number, ring: boolean): EndsGuess {
  const [first, second] = places;
  const last = places.at(-1);
  if (first === undefined || second === undefined || last === undefined) return { gap: 0, guess: 'open' };
  const [gx, gy] = [first.x - last.x, first.y - last.y];
  const gap = Math.hypot(gx, gy);
  if (places.length < 4) return { gap, guess: 'open' };
  if (ring || gap <= SAME) return { gap, guess: 'joined' };
  if (places.length < FEWEST) return { gap, guess: 'open' };
  const before = places.at(-2)!;
  const ahead = (ax: number, ay: number): boolean => gx * ax + gy * ay > 0.7 * gap * Math.hypot(ax, ay);
  const onward = ahead(last.x - before.x, last.y - before.y) && ahead(second.x - first.x, second.y - first.y);
  if (onward && gap <= A_STEP * apart) return { gap, guess: 'joined' };
  const length = waysAlong(places).at(-1)!;
  return { gap, guess: gap <= Math.min(MEANT_TO_MEET * length, FARTHEST_APART) ? 'spread' : 'open' };
}

/** The places of a closed course, the first not repeated at the end; an open one as it is. */
export function withEnds(places: readonly FilePlace[], ends: Ends): readonly FilePlace[] {
  const [first] = places;
  const last = places.at(-1);
  if (ends === 'open' || first === undefined || last === undefined || places.length < 4) return places;
  if (Math.hypot(first.x - last.x, first.y - last.y) <= SAME) return places.slice(0, -1);
  if (ends === 'joined') return places;
  const spread = gapSpread(places.map(({ x, y }) => ({ x, y, laid: {} }))).points;
  return spread.map(({ x, y }, i) => ({ ...places[i]!, x, y }));
}
