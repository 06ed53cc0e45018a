/**
 * Laps in a recording: where it comes back to the same place in the same direction.
 *
 * In: places in metres. Out: each lap as places of its own, from the crossing of a line to the next; none where it
 * runs round less than once and a quarter. The line is the one of some forty along the way that is crossed most often.
 * Pure; work bounded by `LINES` times `LOOKED_AT`.
 */
import type { FilePlace } from './course-file.ts';
import { waysAlong } from './ground-places.ts';

export interface Lap {
  readonly places: readonly FilePlace[];
  /** m */
  readonly length: number;
  /** s, where the recording has times */
  readonly time?: number;
}

/** m beside the line at which it still is crossed: half a wide track and the error of a receiver. */
const REACH = 12;
/** cos of the angle between two crossings in the same direction. */
const SAME_WAY = Math.cos((50 * Math.PI) / 180);
/** m; a shorter way back is no lap. */
const SHORTEST = 60;
const LINES = 40;
const LOOKED_AT = 8000;
/** More laps than this are not listed. */
const MOST_LAPS = 200;
/** Of the whole way against one lap: below, there is nothing to cut. */
const WORTH_CUTTING = 1.25;

interface Line {
  readonly x: number;
  readonly y: number;
  /** Direction driven over it */
  readonly dx: number;
  readonly dy: number;
}

interface Crossing {
  /** Place before it, and the share of the way to the next */
  readonly after: number;
  readonly share: number;
}

export function lapsIn(places: readonly FilePlace[]): Lap[] {
  const n = places.length;
  if (n < 12) return [];
  const ways = waysAlong(places);
  const whole = ways[n - 1]!;
  const stride = Math.max(1, Math.ceil(n / LOOKED_AT));
  const looked = places.filter((_, i) => i % stride === 0);
  let best: { line: Line; count: number } | undefined;
  for (let k = 0; k < LINES; k++) {
    const line = lineAt(places, ways, (whole * k) / LINES);
    if (line === undefined) continue;
    const { length: count } = crossings(looked, waysAlong(looked), line);
    // The first of equals: nearest to where the recording starts.
    if (count >= 2 && (best === undefined || count > best.count)) best = { line, count };
  }
  if (best === undefined) return [];
  const found = crossings(places, ways, best.line).slice(0, MOST_LAPS + 1);
  const laps = found.slice(1).map((end, i) => lapBetween(places, found[i]!, end));
  const middle = laps.map((lap) => lap.length).sort((a, b) => a - b)[laps.length >> 1] ?? 0;
  return middle === 0 || whole < WORTH_CUTTING * middle ? [] : laps;
}

/** The lap to offer first: the quickest where there are times, else the one of middle length. */
export function likeliestLap(laps: readonly Pick<Lap, 'length' | 'time'>[]): number {
  const middle = laps.map((lap) => lap.length).sort((a, b) => a - b)[laps.length >> 1] ?? 0;
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (const [i, { length, time }] of laps.entries()) {
    const isWhole = Math.abs(length - middle) < 0.05 * middle;
    const badness = isWhole && time !== undefined ? time : 1e6 + Math.abs(length - middle);
    if (badness < least) [best, least] = [i, badness];
  }
  return best;
}

function lineAt(places: readonly FilePlace[], ways: Float64Array, way: number): Line | undefined {
  let i = 0;
  while (i + 1 < ways.length && ways[i + 1]! <= way) i += 1;
  // The direction over some metres, so that jitter does not turn it.
  let j = i;
  while (j + 1 < ways.length && ways[j]! - ways[i]! < 4) j += 1;
  const [a, b] = [places[i]!, places[j]!];
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  return length < 0.5 ? undefined : { x: a.x, y: a.y, dx: (b.x - a.x) / length, dy: (b.y - a.y) / length };
}

/** Where the way crosses the line in its direction, within reach, a shortest lap apart. */
function crossings(places: readonly FilePlace[], ways: Float64Array, line: Line): Crossing[] {
  const found: Crossing[] = [];
  let last = Number.NEGATIVE_INFINITY;
  const ahead = (p: FilePlace): number => (p.x - line.x) * line.dx + (p.y - line.y) * line.dy;
  for (let i = 0; i + 1 < places.length; i++) {
    const [a, b] = [places[i]!, places[i + 1]!];
    const [from, to] = [ahead(a), ahead(b)];
    if (!(from <= 1e-9 && to > 1e-9)) continue;
    const share = from === to ? 0 : Math.max(0, -from / (to - from));
    const [x, y] = [a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)];
    if (Math.hypot(x - line.x, y - line.y) > REACH) continue;
    const step = Math.hypot(b.x - a.x, b.y - a.y);
    if ((to - from) / step < SAME_WAY || ways[i]! - last < SHORTEST) continue;
    found.push({ after: i, share });
    last = ways[i]!;
  }
  return found;
}

/** From crossing to crossing, both ends laid on the line. */
function lapBetween(places: readonly FilePlace[], from: Crossing, to: Crossing): Lap {
  const start = between(places, from);
  const end = between(places, to);
  const inner = places.slice(from.after + 1, to.after + 1);
  const apart = (a: FilePlace, b: FilePlace | undefined): boolean =>
    b === undefined || Math.hypot(a.x - b.x, a.y - b.y) > 0.001;
  const lap = [
    ...(apart(start, inner[0]) ? [start] : []),
    ...inner,
    ...(apart(end, inner.at(-1)) ? [end] : []),
  ];
  const time = start.time === undefined || end.time === undefined ? undefined : end.time - start.time;
  return { places: lap, length: waysAlong(lap).at(-1) ?? 0, ...(time === undefined ? {} : { time }) };
}

function between(places: readonly FilePlace[], { after, share }: Crossing): FilePlace {
  const [a, b] = [places[after]!, places[after + 1]!];
  const mixed = (key: 'x' | 'y' | 'height' | 'time'): number | undefined => {
    const [p, q] = [a[key], b[key]];
    return p === undefined || q === undefined ? undefined : p + share * (q - p);
  };
  const { height, time } = { height: mixed('height'), time: mixed('time') };
  return {
    ...(share < 1 ? a : b),
    x: mixed('x')!,
    y: mixed('y')!,
    ...(height === undefined ? {} : { height }),
    ...(time === undefined ? {} : { time }),
  };
}
