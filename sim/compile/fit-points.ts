/**
 * Control points for a line drawn by hand, such that the course through them follows the hand and not its tremble.
 *
 * In: places in the order drawn, whether they close, how far the course may stray, the shortest span. Out: control
 * points. The spline of the course (chord length, natural or periodic ends) is fitted, not laid through places: every
 * span weighs the hand's mean misses at its ends to nothing,
 *   sum over places of hat_j(w) (stroke(w) - spline(w)) = 0 for every free point j, w the way along the stroke,
 * so that a tremble quicker than a span cancels. Spans begin long and are halved where the miss, averaged over the time
 * of a tremble, is beyond the tolerance; no span is more than twice the one beside it, for a spline through a long gap
 * next to short ones bows out of it. Knows nothing of width or surfaces.
 */
import type { CubicSpline, SplinePoint } from '../numerics/cubic-spline.ts';
import { chordLengths, cubicSpline, evaluateSpline } from '../numerics/cubic-spline.ts';

interface Place {
  readonly x: number;
  readonly y: number;
}

export interface FitPointsOptions {
  readonly closed: boolean;
  /** m, of the mean of neighbouring places from the course */
  readonly tolerance: number;
  /** m; no span is cut shorter: what is shorter is tremble */
  readonly shortest: number;
}

/** Spans at first: a closed course needs three, and no spline guesses well across a quarter of it. */
const FIRST_CLOSED = 6;
const FIRST_OPEN = 2;
/** Places looked at to each shortest span, and at most. */
const PLACES_PER_SHORTEST = 4;
const MOST_PLACES = 4000;
/** Corrections of the points for one choice of spans: each leaves at most 0.6 of the miss (of an alternating one). */
const CORRECTIONS = 8;
/** Shortest spans to each side over which a miss is averaged: about five readings of a slow pointer. */
const AVERAGED = 1.5;
/** Readings of the pointer to each side over which a miss is averaged, at the least. */
const READINGS = 1.5;
/** Of a tremble, what its average over some readings may still be, at the farthest of a hundred places. */
const TREMBLE_LEFT = 1.4;
/** Of the tolerance, what one place may miss; the rest is what the comparison by shares of a span does not see. */
const LEFT = 0.9;
/** Trembles that one place may be off beside it. */
const FARTHEST_TREMBLE = 3;
/** Spans shorter than this many trembles would bend after each. */
const TREMBLES_PER_SPAN = 14;
/** rad: a cubic over more of a bend comes out tighter in its middle than it was drawn. */
const MOST_TURN = 1;
/** Halvings of the first spans at most. */
const LEVELS = 9;

/** Places evenly along the stroke, with the way along it, m. */
interface Stroke {
  readonly way: Float64Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly length: number;
  readonly closed: boolean;
}

/** Fewer than three places, or four that close, are returned as they are. */
export function fitPoints(places: readonly Place[], options: FitPointsOptions): Place[] {
  const { closed, tolerance, shortest } = options;
  if (places.length < (closed ? 4 : 3)) return [...places];
  const stroke = evenly(places, closed, shortest);
  const { length } = stroke;
  const reach = Math.max(AVERAGED * shortest, (READINGS * length) / places.length);
  // Spans as (start, level): halves of halves of the first, so that neighbours are 1, 2 or half as long.
  const first = closed ? FIRST_CLOSED : FIRST_OPEN;
  let levels: number[] = Array.from({ length: first }, () => 0);
  for (;;) {
    const knots = knotsOf(levels, length, first);
    const points = fitted(stroke, knots);
    const { averaged, single, tremble } = calmed(stroke, missesOf(stroke, knots, points), reach);
    const limit = tolerance / 2 + TREMBLE_LEFT * tremble;
    const farthest = LEFT * tolerance + FARTHEST_TREMBLE * tremble;
    const isOff = levels.map((_, i) => turnOver(points, i, closed) > MOST_TURN);
    let span = 0;
    for (let i = 0; i < stroke.way.length; i++) {
      while (span + 1 < levels.length && stroke.way[i]! >= knots[span + 1]!) span++;
      if (averaged[i]! > limit || single[i]! > farthest) isOff[span] = true;
    }
    const least = Math.max(shortest, TREMBLES_PER_SPAN * tremble);
    const next = halved(levels, isOff, closed, (level) => length / first / 2 ** (level + 1) >= least);
    if (next.length === levels.length) return closed ? points.slice(0, -1) : points;
    levels = next;
  }
}

/** Levels of halving after the spans that are off are halved, and those beside them that would be more than twice as long. */
function halved(
  levels: readonly number[],
  isOff: readonly boolean[],
  closed: boolean,
  may: (level: number) => boolean,
): number[] {
  const split = (level: number, is: boolean): number[] =>
    is && level < LEVELS && may(level) ? [level + 1, level + 1] : [level];
  let now = levels.flatMap((level, i) => split(level, isOff[i]!));
  for (;;) {
    const n = now.length;
    const next = now.flatMap((level, i) => {
      const beside = closed ? [now[(i - 1 + n) % n]!, now[(i + 1) % n]!] : [now[i - 1] ?? 0, now[i + 1] ?? 0];
      return split(level, Math.max(...beside) > level + 1);
    });
    if (next.length === n) return now;
    now = next;
  }
}

function knotsOf(levels: readonly number[], length: number, first: number): number[] {
  const knots = [0];
  for (const level of levels) knots.push(knots.at(-1)! + length / first / 2 ** level);
  knots[knots.length - 1] = length;
  return knots;
}

/** Points at the knots, the first again at the end where closed. */
function fitted(stroke: Stroke, knots: readonly number[]): Place[] {
  const { way, x, y, closed } = stroke;
  const n = knots.length;
  let at = 0;
  const points = knots.map((knot) => {
    while (at + 1 < way.length && Math.abs(way[at + 1]! - knot) <= Math.abs(way[at]! - knot)) at++;
    return { x: x[at]!, y: y[at]! };
  });
  if (closed) points[n - 1] = points[0]!;
  for (let round = 0; round < CORRECTIONS; round++) {
    const misses = missesOf(stroke, knots, points);
    const sums = knots.map(() => ({ x: 0, y: 0, weight: 0 }));
    let span = 0;
    for (let i = 0; i < way.length; i++) {
      while (span + 2 < n && way[i]! >= knots[span + 1]!) span++;
      const share = (way[i]! - knots[span]!) / (knots[span + 1]! - knots[span]!);
      for (const [knot, weight] of [
        [span, 1 - share],
        [closed && span + 2 === n ? 0 : span + 1, share],
      ] as const) {
        const sum = sums[knot]!;
        sum.x += weight * misses.x[i]!;
        sum.y += weight * misses.y[i]!;
        sum.weight += weight;
      }
    }
    for (let j = 0; j < (closed ? n - 1 : n); j++) {
      const { weight, ...sum } = sums[j]!;
      if (weight > 0) points[j] = { x: points[j]!.x + sum.x / weight, y: points[j]!.y + sum.y / weight };
    }
    if (closed) points[n - 1] = points[0]!;
  }
  return points;
}

interface Misses {
  readonly x: Float64Array;
  readonly y: Float64Array;
}

/** From the course through the points to the stroke at the same share of each span, m. */
function missesOf(stroke: Stroke, knots: readonly number[], points: readonly Place[]): Misses {
  const { way, closed } = stroke;
  const count = way.length;
  const { chord, x, y } = curveThrough(points, closed);
  const misses = { x: new Float64Array(count), y: new Float64Array(count) };
  const here: SplinePoint = { value: 0, slope: 0, bend: 0, interval: 0 };
  let span = 0;
  for (let i = 0; i < count; i++) {
    while (span + 2 < knots.length && way[i]! >= knots[span + 1]!) span++;
    const share = (way[i]! - knots[span]!) / (knots[span + 1]! - knots[span]!);
    const u = chord[span]! + share * (chord[span + 1]! - chord[span]!);
    misses.x[i] = stroke.x[i]! - evaluateSpline(x, u, span, here).value;
    misses.y[i] = stroke.y[i]! - evaluateSpline(y, u, span, here).value;
  }
  return misses;
}

/** Lengths of the misses averaged over `reach` metres to each side, and the middle size of what averaging takes off. */
function calmed(
  { way, length, closed }: Stroke,
  misses: Misses,
  reach: number,
): { averaged: Float64Array; single: Float64Array; tremble: number } {
  const n = way.length;
  const each = Math.max(0, Math.min((n - 1) >> 1, Math.round((reach * n) / length)));
  const takenOff = new Float64Array(n);
  const averaged = Float64Array.from(way, (_, i) => {
    let [x, y, count] = [0, 0, 0];
    // At an open end as many places, of one side.
    const middle = closed ? i : Math.min(Math.max(i, each), n - 1 - each);
    for (let k = middle - each; k <= middle + each; k++) {
      const j = (k + n) % n;
      x += misses.x[j]!;
      y += misses.y[j]!;
      count += 1;
    }
    takenOff[i] = Math.hypot(misses.x[i]! - x / count, misses.y[i]! - y / count);
    return Math.hypot(x, y) / count;
  });
  const single = misses.x.map((x, i) => Math.hypot(x, misses.y[i]!));
  return { averaged, single, tremble: takenOff.sort()[n >> 1]! };
}

/** Mean of the turns at the ends of a span, rad: how far the course turns over it. */
function turnOver(points: readonly Place[], span: number, closed: boolean): number {
  const last = points.length - 1;
  const turnAt = (at: number): number => {
    if (!closed && (at <= 0 || at >= last)) return 0;
    const [before, here, after] = [
      points[(at - 1 + last) % last]!,
      points[at % last]!,
      points[(at % last) + 1]!,
    ];
    const [ax, ay, bx, by] = [here.x - before.x, here.y - before.y, after.x - here.x, after.y - here.y];
    return Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by));
  };
  return (turnAt(span) + turnAt(span + 1)) / 2;
}

/** As a course runs through its points; places on one spot are held apart. */
function curveThrough(places: readonly Place[], closed: boolean) {
  const chord = chordLengths(places, 1e-6);
  const over = (values: readonly number[]): CubicSpline => cubicSpline(chord, values, closed);
  return { chord, x: over(places.map((p) => p.x)), y: over(places.map((p) => p.y)) };
}

/** The stroke as a curve through its places, in even steps: a quick hand leaves its places far apart on a bend. */
function evenly(places: readonly Place[], closed: boolean, shortest: number): Stroke {
  const ring = closed ? [...places, places[0]!] : places;
  const { chord, x, y } = curveThrough(ring, closed);
  const length = chord.at(-1)!;
  const count = Math.max(16, Math.min(MOST_PLACES, Math.ceil((PLACES_PER_SHORTEST * length) / shortest)));
  const stroke = {
    way: new Float64Array(count),
    x: new Float64Array(count),
    y: new Float64Array(count),
    length,
    closed,
  };
  const here: SplinePoint = { value: 0, slope: 0, bend: 0, interval: 0 };
  for (let i = 0; i < count; i++) {
    const way = (length * i) / (closed ? count : count - 1);
    stroke.way[i] = way;
    stroke.x[i] = evaluateSpline(x, way, here.interval, here).value;
    stroke.y[i] = evaluateSpline(y, way, here.interval, here).value;
  }
  return stroke;
}
