/**
 * A course in words: straights and bends with length, angle and radius; and a course of stretches as control points.
 *
 * In: a compiled track. Out: stretches as a builder says them ("left 90 deg, radius 12 m"), or places on its line close
 * enough together for a curve through them to follow it. Pure.
 */
import type { CompiledTrack, CourseOutline } from '../../../sim/index.ts';
import type { Place } from './point-edits.ts';

export interface SaidStretch {
  readonly from: number;
  readonly to: number;
  readonly turn: 'straight' | 'left' | 'right';
  /** rad, of the whole bend */
  readonly angle: number;
  /** m, of the tightest place */
  readonly radius: number;
}

/** m; wider than this nobody would call it a bend. */
const STRAIGHT_RADIUS = 150;
/** m; shorter pieces are joined to what they interrupt. */
const SHORTEST = 3;

export function saidStretches(track: CompiledTrack): SaidStretch[] {
  const { distance, curvature, count } = track;
  const kindAt = (i: number): SaidStretch['turn'] => {
    const k = curvature[i]!;
    return Math.abs(k) < 1 / STRAIGHT_RADIUS ? 'straight' : k > 0 ? 'left' : 'right';
  };
  const pieces: { turn: SaidStretch['turn']; from: number; to: number }[] = [];
  for (let i = 0; i < count; i++) {
    const turn = kindAt(i);
    const last = pieces.at(-1);
    if (last === undefined) pieces.push({ turn, from: i, to: i });
    else if (last.turn === turn) last.to = i;
    else pieces.push({ turn, from: last.to, to: i });
  }
  const joined: typeof pieces = [];
  for (const piece of pieces) {
    const last = joined.at(-1);
    const isShort = distance[piece.to]! - distance[piece.from]! < SHORTEST;
    if (last !== undefined && (isShort || last.turn === piece.turn)) last.to = piece.to;
    else joined.push({ ...piece });
  }
  return joined.map(({ turn, from, to }) => {
    let angle = 0;
    let tightest = 0;
    for (let i = from; i < to; i++) {
      const k = curvature[i]!;
      angle += (distance[i + 1]! - distance[i]!) * ((k + curvature[i + 1]!) / 2);
      if (turn !== 'straight') tightest = Math.max(tightest, Math.abs(k));
    }
    return {
      from: distance[from]!,
      to: to === count - 1 ? track.length : distance[to]!,
      turn,
      angle: Math.abs(angle),
      radius: tightest === 0 ? Number.POSITIVE_INFINITY : 1 / tightest,
    };
  });
}

/** m between control points on a straight; in a bend a share of its radius, so that arcs come out round. */
const APART = 14;
const APART_IN_BEND = 0.28;
const CLOSEST = 1.5;

/** Places on the line for a curve through them to follow it within centimetres. */
export function sampledPlaces(track: CompiledTrack): (Place & { readonly station: number })[] {
  const places: (Place & { station: number })[] = [];
  let since = Number.POSITIVE_INFINITY;
  for (let i = 0; i < track.count; i++) {
    const k = Math.abs(track.curvature[i]!);
    const apart = k < 1 / STRAIGHT_RADIUS ? APART : Math.max(CLOSEST, Math.min(APART, APART_IN_BEND / k));
    if (i > 0) since += track.distance[i]! - track.distance[i - 1]!;
    // Where the bend begins and ends, too: curvature jumps there.
    const jumps = i > 0 && Math.abs(track.curvature[i]! - track.curvature[i - 1]!) > 0.3 * Math.max(k, 1e-3);
    if (since < apart && !(jumps && since > CLOSEST)) continue;
    const left = track.length - track.distance[i]!;
    if (track.closed && i > 0 && left < CLOSEST) break;
    places.push({ x: track.x[i]!, y: track.y[i]!, station: i });
    since = 0;
  }
  const last = track.count - 1;
  if (!track.closed && places.at(-1)?.station !== last)
    places.push({ x: track.x[last]!, y: track.y[last]!, station: last });
  return places;
}

/** The radius of the curve at each control point, m; Infinity on a straight. */
export function radiiAt(course: CourseOutline, places: readonly Place[]): number[] {
  return stationsAt(course, places).map((station) => {
    const k = Math.abs(course.curvature[station]!);
    return k < 1e-6 ? Number.POSITIVE_INFINITY : 1 / k;
  });
}

/** The station at each control point: one lies on every one of them. */
export function stationsAt(
  { count, x, y }: Pick<CompiledTrack, 'count' | 'x' | 'y'>,
  places: readonly Place[],
): number[] {
  const stations: number[] = [];
  let best = 0;
  for (const place of places) {
    let least = Number.POSITIVE_INFINITY;
    for (let i = best; i < count; i++) {
      const [dx, dy] = [x[i]! - place.x, y[i]! - place.y];
      const d = dx * dx + dy * dy;
      if (d < least) [least, best] = [d, i];
      else if (least < 1e-6 && d > least) break;
    }
    stations.push(best);
  }
  return stations;
}
