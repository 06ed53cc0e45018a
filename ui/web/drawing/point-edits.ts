/**
 * Edits of the control points of a track: move, insert, delete, sharper, easier, straighten, reverse, scale, close.
 *
 * In: points and what to do. Out: new points; nothing is changed in place. Pure. Indices run round a closed track.
 */
import type { DrawnPoint } from './drawn-points.ts';

export interface Place {
  readonly x: number;
  readonly y: number;
}

/** A track needs this many points to run anywhere: two when open, three to close. */
export const FEWEST_OPEN = 2;
export const FEWEST_CLOSED = 3;

export function moved(points: readonly DrawnPoint[], at: number, to: Place): DrawnPoint[] {
  return points.map((point, i) => (i === at ? { ...point, x: to.x, y: to.y } : point));
}

/** A new point after another; it takes over nothing: what is laid carries on from the point before. */
export function inserted(points: readonly DrawnPoint[], after: number, at: Place): DrawnPoint[] {
  return [...points.slice(0, after + 1), { x: at.x, y: at.y, laid: {} }, ...points.slice(after + 1)];
}

/**
 * Where a point goes that is put in after another: half way to the next; after the end of an open course as far on beyond
 * it as half its last span is long.
 */
export function nextPlaceAfter(points: readonly DrawnPoint[], at: number, closed: boolean): Place {
  const here = points[at]!;
  if (!closed && at === points.length - 1) {
    const before = points[at - 1] ?? here;
    return { x: here.x + (here.x - before.x) / 2, y: here.y + (here.y - before.y) / 2 };
  }
  const next = points[(at + 1) % points.length]!;
  return { x: (here.x + next.x) / 2, y: (here.y + next.y) / 2 };
}

/** From one control point to another, both included; on a closed course round the start where the first comes later. */
export interface PointRange {
  readonly from: number;
  readonly to: number;
}

/** Two points picked as a range: round a closed course in the order picked, on an open one from the lower to the higher. */
export function pickedRange(first: number, second: number, closed: boolean): PointRange {
  return closed || first <= second ? { from: first, to: second } : { from: second, to: first };
}

/** Without a point; the surface it began carries on from the next, so that the ground does not change. */
export function removed(points: readonly DrawnPoint[], at: number, closed: boolean): DrawnPoint[] {
  const fewest = closed ? FEWEST_CLOSED : FEWEST_OPEN;
  if (points.length <= fewest) return [...points];
  const surface = points[at]?.laid['surface'];
  return points.flatMap((point, i) => {
    if (i === at) return [];
    const isNext = i === (at + 1) % points.length;
    if (!isNext || surface === undefined || point.laid['surface'] !== undefined) return [point];
    return [{ ...point, laid: { ...point.laid, surface } }];
  });
}

/** Farther from the chord of its neighbours (sharper, factor above 1) or nearer to it (easier, below 1). */
export function bent(
  points: readonly DrawnPoint[],
  at: number,
  factor: number,
  closed: boolean,
): DrawnPoint[] {
  const middle = middleOfNeighbours(points, at, closed);
  const point = points[at];
  if (middle === undefined || point === undefined) return [...points];
  return moved(points, at, {
    x: middle.x + factor * (point.x - middle.x),
    y: middle.y + factor * (point.y - middle.y),
  });
}

/** Points between two (and, round a closed track, on from the second to the first) laid on the chord. */
export function straightened(points: readonly DrawnPoint[], from: number, to: number): DrawnPoint[] {
  const [a, b] = [points[from], points[to]];
  if (a === undefined || b === undefined || from === to) return [...points];
  const n = points.length;
  const between = (i: number): boolean => (from < to ? i > from && i < to : i > from || i < to);
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const square = dx * dx + dy * dy;
  if (square === 0) return [...points];
  const count = (to - from + n) % n;
  return points.map((point, i) => {
    if (!between(i)) return point;
    // Kept in their order along the chord even where the old course doubled back on itself.
    const rank = ((i - from + n) % n) / count;
    const share = ((point.x - a.x) * dx + (point.y - a.y) * dy) / square;
    const t = share > 0.02 && share < 0.98 && Math.abs(share - rank) < 0.25 ? share : rank;
    return { ...point, x: a.x + t * dx, y: a.y + t * dy };
  });
}

/**
 * Driven the other way: the first point stays first. What is laid from a point to the next lies between the same two
 * points as before; left and right change sides.
 */
export function reversed(points: readonly DrawnPoint[], closed: boolean, mainSurface: string): DrawnPoint[] {
  const n = points.length;
  const surfaces = carriedSurfaces(points, mainSurface);
  const order = closed
    ? [0, ...Array.from({ length: n - 1 }, (_, k) => n - 1 - k)]
    : Array.from({ length: n }, (_, k) => n - 1 - k);
  return order.map((i) => {
    const { surface: _, bank, widthLeft, widthRight, ...laid } = points[i]!.laid;
    // The stretch driven on from here was driven towards here: it began at the point before.
    const surface = surfaces[(i - 1 + n) % n] ?? mainSurface;
    return {
      ...points[i]!,
      laid: {
        ...laid,
        surface,
        ...(bank === undefined ? {} : { bank: negated(bank) }),
        ...(widthRight === undefined ? {} : { widthLeft: widthRight }),
        ...(widthLeft === undefined ? {} : { widthRight: widthLeft }),
      },
    };
  });
}

/** Everything larger or smaller round the first point. */
export function scaled(points: readonly DrawnPoint[], factor: number): DrawnPoint[] {
  const [first] = points;
  if (first === undefined) return [];
  return points.map((point) => ({
    ...point,
    x: first.x + factor * (point.x - first.x),
    y: first.y + factor * (point.y - first.y),
  }));
}

/** Joins the end to the start: the gap between them is spread over the whole course, in proportion to the way. */
export function gapSpread(points: readonly DrawnPoint[]): { points: DrawnPoint[]; gap: number } {
  const [first] = points;
  const last = points.at(-1);
  if (first === undefined || last === undefined || points.length <= FEWEST_CLOSED)
    return { points: [...points], gap: 0 };
  const [gapX, gapY] = [first.x - last.x, first.y - last.y];
  const ways = waysAlong(points);
  const whole = ways.at(-1) ?? 0;
  const joined = points.slice(0, -1).map((point, i) => {
    const share = whole === 0 ? 0 : ways[i]! / whole;
    return { ...point, x: point.x + share * gapX, y: point.y + share * gapY };
  });
  return { points: joined, gap: Math.hypot(gapX, gapY) };
}

/** Lays a surface from one point on to another; what lay beyond the second stays as it was. */
export function surfaced(
  points: readonly DrawnPoint[],
  from: number,
  to: number,
  surface: string,
  mainSurface: string,
): DrawnPoint[] {
  const n = points.length;
  const before = carriedSurfaces(points, mainSurface);
  const inside = (i: number): boolean => (from <= to ? i >= from && i < to : i >= from || i < to);
  return points.map((point, i) => {
    const now = inside(i) ? surface : before[i]!;
    const previous = inside((i - 1 + n) % n) ? surface : before[(i - 1 + n) % n]!;
    const { surface: _, ...laid } = point.laid;
    const isStated = i === 0 ? now !== mainSurface : now !== previous;
    return { ...point, laid: isStated ? { ...laid, surface: now } : laid };
  });
}

/** The surface that lies from each point on to the next. */
export function carriedSurfaces(points: readonly DrawnPoint[], mainSurface: string): string[] {
  let now = mainSurface;
  return points.map((point) => {
    const stated = point.laid['surface'];
    if (typeof stated === 'string') now = stated;
    return now;
  });
}

/** Way from the first point to each, along the chords, m. */
function waysAlong(points: readonly DrawnPoint[]): number[] {
  let way = 0;
  return points.map((point, i) => {
    const before = points[i - 1];
    if (before !== undefined) way += Math.hypot(point.x - before.x, point.y - before.y);
    return way;
  });
}

function middleOfNeighbours(points: readonly DrawnPoint[], at: number, closed: boolean): Place | undefined {
  const n = points.length;
  const before = closed ? points[(at - 1 + n) % n] : points[at - 1];
  const after = closed ? points[(at + 1) % n] : points[at + 1];
  if (before === undefined || after === undefined) return undefined;
  return { x: (before.x + after.x) / 2, y: (before.y + after.y) / 2 };
}

/** A written quantity with its sign changed: number, text with a unit, or annotated. */
function negated(value: unknown): unknown {
  if (typeof value === 'number') return -value;
  if (typeof value === 'string')
    return /^\s*[-−]/.test(value) ? value.replace(/^\s*[-−]/, '') : `-${value.trim()}`;
  if (typeof value === 'object' && value !== null && 'value' in value)
    return { ...value, value: negated(value.value) };
  return value;
}
