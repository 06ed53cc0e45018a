/**
 * A freehand stroke thinned to the control points it needs. Pure.
 *
 * In: places in the order drawn, and how far the thinned course may stray. Out: fewer places, the ends kept: after
 * David Douglas and Thomas Peucker, Algorithms for the reduction of the number of points required to represent a
 * digitized line, 1973 - no place left out lies farther from the chord in its stead than the tolerance.
 */
import type { Place } from './point-edits.ts';

export function thinned(stroke: readonly Place[], tolerance: number): Place[] {
  const last = stroke.length - 1;
  if (last < 2) return [...stroke];
  const kept = new Set([0, last]);
  const open: [number, number][] = [[0, last]];
  for (let next = open.pop(); next !== undefined; next = open.pop()) {
    const [from, to] = next;
    let farthest = -1;
    let most = tolerance;
    for (let i = from + 1; i < to; i++) {
      const distance = fromChord(stroke[i]!, stroke[from]!, stroke[to]!);
      if (distance > most) [most, farthest] = [distance, i];
    }
    if (farthest < 0) continue;
    kept.add(farthest);
    open.push([from, farthest], [farthest, to]);
  }
  return [...kept].sort((a, b) => a - b).map((i) => stroke[i]!);
}

/** Places no closer together than a distance, the last one always kept: a still hand draws no points. */
export function spaced(stroke: readonly Place[], least: number): Place[] {
  const kept: Place[] = [];
  for (const place of stroke) {
    const before = kept.at(-1);
    if (before === undefined || Math.hypot(place.x - before.x, place.y - before.y) >= least) kept.push(place);
  }
  const last = stroke.at(-1);
  if (last !== undefined && kept.at(-1) !== last && kept.length > 1) kept[kept.length - 1] = last;
  return kept;
}

function fromChord(p: Place, a: Place, b: Place): number {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const square = dx * dx + dy * dy;
  const t = square === 0 ? 0 : Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / square));
  return Math.hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}
