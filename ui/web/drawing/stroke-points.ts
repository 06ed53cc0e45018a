/**
 * A freehand stroke made into the control points of a course that runs where the hand ran. Pure.
 *
 * In: places in the order drawn, m, and what a pixel of the board is on the ground. Out: points; the curve through them
 * stays as near to the stroke as the hand is sure, without its tremble.
 */
import { fitPoints } from '../../../sim/index.ts';
import type { Place } from './point-edits.ts';
import { spaced } from './stroke.ts';

/** m the course may stray from the hand, at the least; a pixel and a half otherwise. */
const STRAY = 0.3;
const STRAY_PIXELS = 1.5;
/** px between places that count, and of the shortest span; m of that at the least. */
const APART = 2;
const SHORTEST = 4;
const SHORTEST_METRES = 1.5;
/** Readings of a ring: of fewer nobody can tell what was drawn. */
const FEWEST_OF_RING = 6;
/** px from its beginning where a stroke that comes back begins to be seen as going on over it. */
const BACK = 24;
/** Metres of way over which a metre is made up that a stroke comes back beside its beginning. */
const EASED_OVER = 12;

/** Where a stroke ends that closes a course: the course's first place and one after it that tells the way on. */
export interface Goal {
  readonly first: Place;
  readonly next: Place;
}

/** Does a stroke come back to within `near` of where it began? */
export function comesBack(stroke: readonly Place[], near: number): boolean {
  const [from, to] = [stroke[0], stroke.at(-1)];
  if (from === undefined || to === undefined || stroke.length < FEWEST_OF_RING) return false;
  const far = ({ x, y }: Place): number => Math.hypot(x - from.x, y - from.y);
  return far(to) < near && stroke.some((place) => far(place) > 2 * near);
}

/** Of a stroke that comes back to where it began. */
export function ringPoints(stroke: readonly Place[], pixel: number): Place[] {
  const places = spaced(stroke, APART * pixel);
  const [first] = places;
  if (first === undefined) return [];
  const next = places.find(({ x, y }) => Math.hypot(x - first.x, y - first.y) >= (BACK / 2) * pixel) ?? first;
  return fitPoints(broughtTo(places, { first, next }, pixel), { closed: true, ...limits(pixel) });
}

/**
 * Of a stroke drawn on from the end of a course (`from`), back to its start where `to` says so: the points to be added. A
 * stroke by itself has neither.
 */
export function strokePoints(stroke: readonly Place[], pixel: number, from?: Place, to?: Goal): Place[] {
  const drawn = spaced([...(from === undefined ? [] : [from]), ...stroke], APART * pixel);
  const places = to === undefined ? drawn : [...broughtTo(drawn, to, pixel), to.first];
  const fitted = fitPoints(places, { closed: false, ...limits(pixel) });
  return fitted.slice(from === undefined ? 0 : 1, to === undefined ? undefined : -1);
}

function limits(pixel: number): { tolerance: number; shortest: number } {
  return {
    tolerance: Math.max(STRAY, STRAY_PIXELS * pixel),
    shortest: Math.max(SHORTEST_METRES, SHORTEST * pixel),
  };
}

/**
 * A stroke that ends short of its goal: what goes on over the goal is left out, and what it comes back beside it is made
 * up over the last of the way. A gap that is left ahead is driven as it is.
 */
function broughtTo(places: readonly Place[], { first, next }: Goal, pixel: number): Place[] {
  const far = Math.hypot(next.x - first.x, next.y - first.y);
  if (far === 0) return [...places];
  const [ux, uy] = [(next.x - first.x) / far, (next.y - first.y) / far];
  /** m before the goal, along the way on from it. */
  const before = ({ x, y }: Place): number => (first.x - x) * ux + (first.y - y) * uy;
  let end = places.length;
  const isNear = ({ x, y }: Place): boolean => Math.hypot(x - first.x, y - first.y) < 2 * BACK * pixel;
  while (end > 4 && isNear(places[end - 1]!) && before(places[end - 1]!) < SHORTEST * pixel) end--;
  const kept = places.slice(0, end);
  const last = kept.at(-1)!;
  const beside = -(first.x - last.x) * uy + (first.y - last.y) * ux;
  const reach = EASED_OVER * Math.abs(beside);
  let way = 0;
  for (let i = kept.length - 1; i >= 0; i--) {
    const place = kept[i]!;
    const after = kept[i + 1];
    if (after !== undefined) way += Math.hypot(places[i + 1]!.x - place.x, places[i + 1]!.y - place.y);
    if (way >= reach) break;
    const t = 1 - way / reach;
    const by = beside * t * t * (3 - 2 * t);
    kept[i] = { ...place, x: place.x - by * uy, y: place.y + by * ux };
  }
  return kept;
}
