/**
 * A track as a line of places close enough together for any program that joins them by straight pieces.
 *
 * In: a compiled track in fine steps. Out: places along it, the first repeated at the end of a closed one; in a bend no
 * farther apart than lets a chord stray a centimetre from the arc, on straights eight metres, and growing only gradually
 * from one to the other, so that a curve laid through them again follows within millimetres. Pure.
 */
import type { CompiledTrack } from '../../../../sim/index.ts';
import { thinned } from '../../drawing/stroke.ts';

export interface ExportedPlace {
  /** m */
  readonly x: number;
  readonly y: number;
  readonly height: number;
  readonly left: number;
  readonly right: number;
  /** rad */
  readonly bank: number;
  /** Id of the ground from here on */
  readonly surface: string;
}

/** m a chord may stray from the arc. */
const STRAY = 0.01;
/** m of an edge, ° of bank that may be lost between places. */
const VALUE_STRAY = 0.02;
const STRETCH = 1e4;
const FARTHEST = 8;
const CLOSEST = 0.15;
/** m more apart for each metre away from a bend. */
const GROWTH = 0.25;
/** m between stations of the track that is exported. */
export const EXPORT_SPACING = 0.1;

export function exportedPlaces(track: CompiledTrack): ExportedPlace[] {
  const { count, distance, closed } = track;
  const apart = spacingAlong(track);
  const needed = neededFor(track);
  const places: ExportedPlace[] = [];
  let next = 0;
  for (let i = 0; i < count; i++) {
    const isEnd = i === count - 1;
    const jumps = needed.has(i) || (i > 0 && track.surface[i] !== track.surface[i - 1]);
    if (!isEnd && !jumps && distance[i]! < next) continue;
    // The last but one must not crowd the end.
    if (!isEnd && !jumps && i > 0 && track.length - distance[i]! < 0.5 * apart[i]!) continue;
    const place = placeAt(track, i);
    const before = places.at(-1);
    const isSame =
      before !== undefined && Math.hypot(place.x - before.x, place.y - before.y) < 0.1 * EXPORT_SPACING;
    if (isSame) places[places.length - 1] = isEnd ? { ...place, surface: before.surface } : place;
    else places.push(place);
    next = distance[i]! + apart[i]!;
  }
  const [first] = places;
  if (closed && first !== undefined) places[places.length - 1] = first;
  return places;
}

/** Stations where an edge or the bank begins to change or has done so; a jump becomes a ramp of one step. */
function neededFor({ count, distance, left, right, bank }: CompiledTrack): Set<number> {
  const needed = new Set<number>();
  // Of two stations at one distance the later one: what lies there from then on.
  const once = Array.from({ length: count }, (_, i) => i).filter(
    (i) => i + 1 >= count || distance[i + 1]! > distance[i]!,
  );
  for (const column of [left, right, bank.map((angle) => (angle * 180) / Math.PI)]) {
    if (column.every((value) => value === column[0])) continue;
    // Stretched along, so that the distance to a chord is the difference of the values.
    const places = once.map((i) => ({ x: STRETCH * distance[i]!, y: column[i]!, i }));
    for (const { i } of thinned(places, VALUE_STRAY) as typeof places) needed.add(i);
  }
  return needed;
}

function placeAt(track: CompiledTrack, i: number): ExportedPlace {
  return {
    x: track.x[i]!,
    y: track.y[i]!,
    height: track.height[i]!,
    left: track.left[i]!,
    right: track.right[i]!,
    bank: track.bank[i]!,
    surface: track.surfaces[track.surface[i]!] ?? '',
  };
}

/** How far apart places may lie, at each station; spread gradually along the course, round it where it closes. */
function spacingAlong({ count, curvature, distance, closed, length }: CompiledTrack): Float64Array {
  const apart = Float64Array.from(curvature, (k) =>
    Math.min(FARTHEST, Math.max(CLOSEST, Math.sqrt((8 * STRAY) / Math.max(Math.abs(k), 1e-9)))),
  );
  for (let turn = 0; turn < (closed ? 2 : 1); turn++) {
    let limit = turn === 0 ? FARTHEST : apart[count - 1]!;
    for (let i = 0; i < count; i++) {
      const step = i === 0 ? 0 : distance[i]! - distance[i - 1]!;
      limit = Math.min(apart[i]!, limit + GROWTH * step);
      apart[i] = limit;
    }
    limit = turn === 0 ? FARTHEST : apart[0]!;
    for (let i = count - 1; i >= 0; i--) {
      const step = i === count - 1 ? length - distance[i]! : distance[i + 1]! - distance[i]!;
      limit = Math.min(apart[i]!, limit + GROWTH * step);
      apart[i] = limit;
    }
  }
  return apart;
}
