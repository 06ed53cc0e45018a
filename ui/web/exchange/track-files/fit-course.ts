/**
 * Fewer, calmer control points for a course from a file, within a tolerance that is kept and measured.
 *
 * In: places in metres, closed or open, how far the course may move, whether it is a recording to be calmed. Out:
 * control points - places of the file, moved by no more than half the tolerance where calmed - and what was measured:
 * the greatest distance between the course through all places and the course through those left. Where calmed, the
 * first half of the tolerance goes to smoothing, the second to leaving out. Pure; work bounded.
 */
import { compileTrack, smoothPoints } from '../../../../sim/index.ts';
import { thinned } from '../../drawing/stroke.ts';
import type { FilePlace } from './course-file.ts';
import { waysAlong } from './ground-places.ts';

export interface FitOptions {
  readonly closed: boolean;
  /** m; 0 keeps every place */
  readonly tolerance: number;
  /** Takes the jitter of a recording out of places and heights. */
  readonly calm: boolean;
  readonly heights: boolean;
}

export interface Fitted {
  readonly points: readonly FilePlace[];
  /** Length of the course through the points, m */
  readonly length: number;
  /** m, measured: between the courses through all places and through these; smoothing included */
  readonly moved: number;
  /** Places that were too many to be worked on and were left out first, and how close they lay, m */
  readonly crowded: number;
  readonly crowdedWithin: number;
  /** The course for drawing. */
  readonly line: { readonly x: Float64Array; readonly y: Float64Array };
}

/** Places worked on; more are left out by their distance first. */
export const MOST_WORKED = 6000;
/** Points a project takes. */
export const MOST_POINTS = 5000;
/** m between stations of the courses that are compared; the chord strays 1 mm from an arc of 5 m radius. */
const FINE = 0.2;
const MOST_COMPARED = 16_000;
/** Rounds of adding places where the course strays, before all are kept. */
const ROUNDS = 14;
/** The first choice of places strays so much from their chords: a curve through them bends where chords do not. */
const FIRST_STRAY = 8;
const LEAST_FIRST_STRAY = 0.1;
/** m along the course over which calmed heights are averaged to each side. */
const HEIGHT_REACH = 25;
/** Pieces looked at for the nearest, behind and ahead. */
const BEHIND = 12;
const AHEAD = 60;
/** m of width that may be lost where a point is left out. */
const WIDTH_STRAY = 0.05;

interface Line {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
  readonly length: number;
}

export function fitCourse(all: readonly FilePlace[], options: FitOptions): Fitted | undefined {
  const { places, within } = uncrowded(all);
  const raw = lineThrough(places, options);
  if (raw === undefined) return undefined;
  const crowd = { crowded: all.length - places.length, crowdedWithin: within };
  const done = (points: readonly FilePlace[], line: Line, moved: number): Fitted => ({
    points,
    length: line.length,
    moved,
    line: { x: line.x, y: line.y },
    ...crowd,
  });
  if (options.tolerance <= 0) return done(places, raw, 0);
  const calmed = options.calm ? calm(places, options) : places;
  const through = options.calm ? lineThrough(calmed, options) : raw;
  if (through === undefined) return undefined;
  const left = options.calm ? options.tolerance / 2 : options.tolerance;
  const shift = options.calm ? farthest(places, through) : 0;
  const { points, line, moved } = leftOut(calmed, through, { ...options, tolerance: left });
  return done(points, line, shift + moved);
}

/** Leaves places out while the course through the rest stays within the tolerance. */
function leftOut(
  places: readonly FilePlace[],
  target: Line,
  options: FitOptions,
): { points: readonly FilePlace[]; line: Line; moved: number } {
  const kept = new Set(firstChoice(places, options));
  const ways = waysAlong(places);
  for (let round = 0; round < ROUNDS; round++) {
    const chosen = [...kept].sort((a, b) => a - b);
    const points = chosen.map((i) => places[i]!);
    const line = lineThrough(points, options);
    if (line === undefined) break;
    const { most, strays } = strayed(target, line, options.tolerance);
    if (most <= options.tolerance) return { points, line, moved: most };
    // Next to every stray run the place nearest along the way that is not kept yet.
    const scale = (ways.at(-1)! + (options.closed ? gapOf(places) : 0)) / Math.max(target.x.length - 1, 1);
    let added = 0;
    for (const station of strays) {
      const free = nearestFree(places, ways, station * scale, target, station, kept);
      if (free === undefined) continue;
      kept.add(free);
      added += 1;
    }
    if (added === 0 || kept.size > 0.8 * places.length) break;
  }
  return { points: places, line: target, moved: 0 };
}

/** Places a first, coarse choice cannot do without: the ends, the corners of the chords, where ground or width change. */
function firstChoice(places: readonly FilePlace[], { tolerance, closed }: FitOptions): number[] {
  const last = places.length - 1;
  const at = new Map(places.map((place, i) => [place, i]));
  const corners = thinned(places, Math.max(LEAST_FIRST_STRAY, FIRST_STRAY * tolerance)) as FilePlace[];
  const ways = waysAlong(places);
  const kept = new Set(corners.map((place) => at.get(place)!));
  // A closed course needs three, and a curve does not guess well across a quarter of it.
  for (let k = 0; k < 6; k++) kept.add(Math.round((k * last) / 6));
  if (!closed) kept.add(last);
  for (const key of ['width', 'left', 'right', 'bank'] as const) {
    const known = places.flatMap((place, i) =>
      place[key] === undefined ? [] : [{ x: ways[i]!, y: place[key]!, i }],
    );
    // Far stretched across, so that the distance to a chord is the difference in height above it.
    const flat = known.map((p) => ({ x: 1e4 * p.x, y: p.y, i: p.i }));
    for (const { i } of thinned(flat, WIDTH_STRAY) as typeof flat) kept.add(i);
  }
  for (let i = 1; i <= last; i++)
    if (places[i]!.surface !== undefined && places[i]!.surface !== places[i - 1]!.surface) kept.add(i);
  return [...kept];
}

/** The place not kept yet that lies nearest to a station, among those about as far along. */
function nearestFree(
  places: readonly FilePlace[],
  ways: Float64Array,
  way: number,
  line: Line,
  station: number,
  kept: ReadonlySet<number>,
): number | undefined {
  let low = 0;
  let high = places.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (ways[middle]! < way) low = middle + 1;
    else high = middle;
  }
  const reach = Math.max(20, Math.ceil(0.06 * places.length));
  let best: number | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (let i = Math.max(0, low - reach); i <= Math.min(places.length - 1, low + reach); i++) {
    if (kept.has(i)) continue;
    const d = Math.hypot(places[i]!.x - line.x[station]!, places[i]!.y - line.y[station]!);
    if (d < least) [least, best] = [d, i];
  }
  return best;
}

/** Places and heights without the jitter of a recording; no place moves farther than half the tolerance. */
function calm(places: readonly FilePlace[], { closed, tolerance, heights }: FitOptions): FilePlace[] {
  const { x, y } = places.length < 5 ? columns(places) : smoothPoints(places, closed, tolerance / 2);
  const level = heights ? averagedHeights(places, closed) : undefined;
  return places.map((place, i) => ({
    ...place,
    x: x[i]!,
    y: y[i]!,
    ...(level?.[i] === undefined ? {} : { height: level[i]! }),
  }));
}

function columns(places: readonly FilePlace[]): { x: Float64Array; y: Float64Array } {
  return { x: Float64Array.from(places, (p) => p.x), y: Float64Array.from(places, (p) => p.y) };
}

/** Means over `HEIGHT_REACH` metres to each side, nearer places counting more. */
function averagedHeights(places: readonly FilePlace[], closed: boolean): (number | undefined)[] {
  const ways = waysAlong(places);
  const n = places.length;
  const whole = ways[n - 1]! + gapOf(places);
  const most = 400;
  return places.map((place, i) => {
    if (place.height === undefined) return undefined;
    let [sum, weights] = [place.height, 1];
    for (const direction of [-1, 1]) {
      for (let k = 1; k < Math.min(n, most); k++) {
        let j = i + direction * k;
        if (!closed && (j < 0 || j >= n)) break;
        j = (j + n) % n;
        const apart = Math.abs(ways[j]! - ways[i]!);
        const d = closed ? Math.min(apart, whole - apart) : apart;
        if (d > HEIGHT_REACH) break;
        const height = places[j]!.height;
        if (height === undefined) continue;
        const weight = 1 - d / HEIGHT_REACH;
        sum += weight * height;
        weights += weight;
      }
    }
    return sum / weights;
  });
}

function gapOf(places: readonly FilePlace[]): number {
  const [first, last] = [places[0], places.at(-1)];
  return first === undefined || last === undefined ? 0 : Math.hypot(first.x - last.x, first.y - last.y);
}

/** The course through points as the lap will drive it, in fine steps. */
function lineThrough(
  points: readonly FilePlace[],
  { closed, heights, calm }: Pick<FitOptions, 'closed' | 'heights' | 'calm'>,
): Line | undefined {
  const withHeights = heights && !calm;
  const spec = {
    name: 'from a file',
    closed,
    surface: 'ground',
    width: 1,
    points: points.map(({ x, y, height }) => ({
      x,
      y,
      ...(withHeights && height !== undefined ? { height } : {}),
    })),
    sections: [],
    startSpeed: 0,
  };
  const rough = waysAlong(points).at(-1)! + (closed ? gapOf(points) : 0);
  const { track } = compileTrack(spec, 'course', Math.max(FINE, rough / MOST_COMPARED));
  return track === undefined ? undefined : { x: track.x, y: track.y, z: track.height, length: track.length };
}

/** Greatest distance between two lines that run along one another, and the stations of the first at its strays. */
function strayed(a: Line, b: Line, tolerance: number): { most: number; strays: number[] } {
  let most = 0;
  const strays: number[] = [];
  let worst = -1;
  let worstBy = tolerance;
  const note = (station: number, distance: number): void => {
    if (distance > most) most = distance;
    if (distance > worstBy) [worst, worstBy] = [station, distance];
    else if (distance <= tolerance && worst >= 0) {
      strays.push(worst);
      [worst, worstBy] = [-1, tolerance];
    }
  };
  follow(a, b, (station, _nearest, distance) => note(station, distance));
  if (worst >= 0) strays.push(worst);
  [worst, worstBy] = [-1, tolerance];
  follow(b, a, (_station, nearest, distance) => note(nearest, distance));
  if (worst >= 0) strays.push(worst);
  return { most, strays: [...new Set(strays)] };
}

/** For each station of one line the nearest piece of the other, looked for from the last one on. */
function follow(a: Line, b: Line, tell: (station: number, nearest: number, distance: number) => void): void {
  const pieces = b.x.length - 1;
  let from = 0;
  for (let i = 0; i < a.x.length; i++) {
    let least = Number.POSITIVE_INFINITY;
    let nearest = from;
    const end = Math.min(pieces - 1, from + AHEAD);
    for (let j = Math.max(0, from - BEHIND); j <= end; j++) {
      const d = toPiece(a.x[i]!, a.y[i]!, a.z[i]!, b, j);
      if (d < least) [least, nearest] = [d, j];
    }
    from = nearest;
    tell(i, nearest, Math.sqrt(least));
  }
}

/** Square of the distance from a place to piece j of a line. */
function toPiece(x: number, y: number, z: number, line: Line, j: number): number {
  const [ax, ay, az] = [line.x[j]!, line.y[j]!, line.z[j]!];
  const [dx, dy, dz] = [line.x[j + 1]! - ax, line.y[j + 1]! - ay, line.z[j + 1]! - az];
  const square = dx * dx + dy * dy + dz * dz;
  const t =
    square === 0 ? 0 : Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy + (z - az) * dz) / square));
  return (x - ax - t * dx) ** 2 + (y - ay - t * dy) ** 2 + (z - az - t * dz) ** 2;
}

/** Greatest distance of the places from a line that was laid by them. */
function farthest(places: readonly FilePlace[], line: Line): number {
  const n = places.length;
  const through: Line = {
    ...columns(places),
    z: new Float64Array(n),
    length: 0,
  };
  const flat = { ...line, z: new Float64Array(line.x.length) };
  let most = 0;
  // The line has many stations to each place: it is followed, and every place looks where it has come to.
  let from = 0;
  const stations = flat.x.length - 1;
  const window = Math.max(200, Math.ceil((6 * stations) / n));
  for (let i = 0; i < n; i++) {
    let least = Number.POSITIVE_INFINITY;
    let nearest = from;
    for (let j = Math.max(0, from - 20); j < Math.min(stations, from + window); j++) {
      const d = toPiece(through.x[i]!, through.y[i]!, 0, flat, j);
      if (d < least) [least, nearest] = [d, j];
    }
    from = nearest;
    most = Math.max(most, Math.sqrt(least));
  }
  return most;
}

/** Leaves out what lies closest together until few enough are left. */
function uncrowded(all: readonly FilePlace[]): { places: readonly FilePlace[]; within: number } {
  if (all.length <= MOST_WORKED) return { places: all, within: 0 };
  let within = (1.5 * waysAlong(all).at(-1)!) / MOST_WORKED;
  for (;;) {
    const places: FilePlace[] = [];
    for (const place of all) {
      const before = places.at(-1);
      if (before === undefined || Math.hypot(place.x - before.x, place.y - before.y) >= within)
        places.push(place);
    }
    if (places.length <= MOST_WORKED) return { places, within };
    within *= 1.5;
  }
}
