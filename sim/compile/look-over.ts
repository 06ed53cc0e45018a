/**
 * What a drawn track should be looked at for: kinks, inner edges that fold over, stretches on the same ground.
 *
 * In: a compiled track. Out: warnings with place (distance, x, y); a track may cross itself. Knows nothing of karts.
 */
import type { Problem } from '../project/problem.ts';
import { warning } from '../project/problem.ts';

interface Columns {
  readonly count: number;
  readonly length: number;
  readonly closed: boolean;
  readonly distance: Float64Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly height: Float64Array;
  readonly heading: Float64Array;
  readonly curvature: Float64Array;
  readonly left: Float64Array;
  readonly right: Float64Array;
}

/** A turn of more than this within `KINK_WITHIN` metres is a kink, rad: no kart follows a radius under 1.3 m. */
const KINK = (45 * Math.PI) / 180;
const KINK_WITHIN = 1;
/** Parts that cross at less than this lie along one another, rad. */
const CROSSING = (25 * Math.PI) / 180;
/** Parts this far above one another are a bridge, m. */
const BRIDGE = 2.5;
/** Places of one kind that are told; the rest are counted. */
const MOST_TOLD = 5;
/** Places looked at for overlap, at most: a 10 km track every 2 m. */
const MOST_PLACES = 5000;
/** Cells along a side of the grid in which places are looked up, at most. */
const MOST_CELLS = 64;

export function lookOver(track: Columns, path: string): Problem[] {
  return [...kinks(track, path), ...foldedEdges(track, path), ...overlaps(track, path)];
}

function place(track: Columns, i: number): string {
  return `${track.distance[i]!.toFixed(0)} m from the start (x ${track.x[i]!.toFixed(1)}, y ${track.y[i]!.toFixed(1)})`;
}

/** The stations at which runs of stations that satisfy `holds` are worst. */
function worstOfRuns(track: Columns, badness: (i: number) => number): number[] {
  const found: number[] = [];
  let worst = -1;
  for (let i = 0; i < track.count; i++) {
    if (badness(i) > 0) {
      if (worst < 0 || badness(i) > badness(worst)) worst = i;
    } else if (worst >= 0) {
      found.push(worst);
      worst = -1;
    }
  }
  if (worst >= 0) found.push(worst);
  return found;
}

function told(
  code: string,
  path: string,
  where: readonly number[],
  say: (i: number) => { readonly message: string; readonly value: string; readonly remedy: string },
): Problem[] {
  const rest = where.length - MOST_TOLD;
  return where.slice(0, MOST_TOLD).map((i, k) => {
    const { message, value, remedy } = say(i);
    const more = k === MOST_TOLD - 1 && rest > 0 ? `; ${rest} more such places` : '';
    return warning(code, path, `${message}${more}`, { value, remedy });
  });
}

function kinks(track: Columns, path: string): Problem[] {
  const { count, distance, heading } = track;
  const turned = new Float64Array(count);
  let j = 0;
  for (let i = 0; i < count; i++) {
    while (j + 1 < count && distance[j + 1]! - distance[i]! <= KINK_WITHIN) j++;
    turned[i] = Math.abs(wrapped(heading[j]! - heading[i]!));
  }
  const where = worstOfRuns(track, (i) => turned[i]! - KINK);
  return told('kink', path, where, (i) => ({
    message: `the line has a kink ${place(track, i)}`,
    value: `${((turned[i]! * 180) / Math.PI).toFixed(0)}° within ${KINK_WITHIN} m`,
    remedy: 'move the points there apart, or smooth them',
  }));
}

function foldedEdges(track: Columns, path: string): Problem[] {
  const { curvature, left, right } = track;
  const inner = (i: number) => (curvature[i]! > 0 ? left[i]! : right[i]!);
  const where = worstOfRuns(track, (i) => Math.abs(curvature[i]!) * inner(i) - 1);
  return told('inner-edge-folds', path, where, (i) => ({
    message: `the bend is tighter than its inner edge allows ${place(track, i)}`,
    value: `radius ${(1 / Math.abs(curvature[i]!)).toFixed(2)} m, inner edge ${inner(i).toFixed(2)} m from the line`,
    remedy: 'widen the bend, or make the inner side narrower there',
  }));
}

/** Two parts closer than their widths allow that neither cross nor pass above one another. */
function overlaps(track: Columns, path: string): Problem[] {
  const { count, length, closed, x, y, left, right } = track;
  let widest = 0;
  for (let i = 0; i < count; i++) widest = Math.max(widest, left[i]! + right[i]!);
  const apart = Math.max(length / MOST_PLACES, Math.min(2, widest / 4));
  const places = placesApart(track, apart);
  const cells = cellsOf(track, places, Math.max(widest, apart));
  /** Of each place the first on the same ground, or -1. */
  const partner = new Int32Array(places.length).fill(-1);
  const round = closed ? length : Number.POSITIVE_INFINITY;
  for (let p = 0; p < places.length; p++) {
    const here = cells.cell[p]!;
    for (let across = -1; across <= 1 && partner[p]! < 0; across++)
      for (let up = -1; up <= 1 && partner[p]! < 0; up++) {
        let q = cells.first[here + across * cells.tall + up]!;
        while (q >= 0 && q < p && !sharesGround(track, places[p]!, places[q]!, round)) q = cells.next[q]!;
        if (q >= 0 && q < p) partner[p] = q;
      }
  }
  // Runs of neighbouring places; one is a crossing where the parts cross at most of it, not where they part at its end.
  const where: number[] = [];
  let run: number[] = [];
  const close = (): void => {
    const crossing = run.filter((p) => {
      const angle = Math.abs(wrapped(track.heading[places[p]!]! - track.heading[places[partner[p]!]!]!));
      return Math.min(angle, Math.PI - angle) > CROSSING;
    });
    if (run.length > 2 * crossing.length) where.push(places[run[run.length >> 1]!]!);
    run = [];
  };
  for (let p = 0; p < places.length; p++) {
    if (partner[p]! >= 0) run.push(p);
    else close();
  }
  close();
  return told('overlap', path, where, (i) => {
    const j = places[partner[places.indexOf(i)]!]!;
    return {
      message: `two parts of the track lie on the same ground ${place(track, i)} and ${place(track, j)}`,
      value: `${Math.hypot(x[i]! - x[j]!, y[i]! - y[j]!).toFixed(1)} m apart`,
      remedy: 'move them apart, or make the track narrower there',
    };
  });
}

/** Stations about this far apart, m, along the road. */
function placesApart({ count, distance }: Columns, apart: number): Int32Array {
  const places = new Int32Array(count);
  let n = 0;
  for (let i = 0; i < count; i++)
    if (n === 0 || distance[i]! - distance[places[n - 1]!]! >= apart) places[n++] = i;
  return places.subarray(0, n);
}

/** Places by the cell of a square grid they lie in, with an empty row of cells all round. */
interface Cells {
  /** Cells in a column of the grid: the next column is this many on. */
  readonly tall: number;
  /** Of each place. */
  readonly cell: Int32Array;
  /** Of each cell the first place in it, and of each place the next in its cell; -1 at the end. */
  readonly first: Int32Array;
  readonly next: Int32Array;
}

function cellsOf({ x, y }: Columns, places: Int32Array, least: number): Cells {
  const { POSITIVE_INFINITY, NEGATIVE_INFINITY } = Number;
  let [west, east] = [POSITIVE_INFINITY, NEGATIVE_INFINITY];
  let [south, north] = [POSITIVE_INFINITY, NEGATIVE_INFINITY];
  for (const i of places) {
    west = Math.min(west, x[i]!);
    east = Math.max(east, x[i]!);
    south = Math.min(south, y[i]!);
    north = Math.max(north, y[i]!);
  }
  const side = Math.max(least, (east - west) / MOST_CELLS, (north - south) / MOST_CELLS);
  const tall = Math.floor((north - south) / side) + 3;
  const wide = Math.floor((east - west) / side) + 3;
  const first = new Int32Array(tall * wide).fill(-1);
  const last = new Int32Array(tall * wide);
  const cell = new Int32Array(places.length);
  const next = new Int32Array(places.length).fill(-1);
  for (let p = 0; p < places.length; p++) {
    const i = places[p]!;
    const c = (Math.floor((x[i]! - west) / side) + 1) * tall + Math.floor((y[i]! - south) / side) + 1;
    cell[p] = c;
    if (first[c]! < 0) first[c] = p;
    else next[last[c]!] = p;
    last[c] = p;
  }
  return { tall, cell, first, next };
}

function sharesGround(track: Columns, i: number, j: number, round: number): boolean {
  const { x, y, left, right, distance, height, heading } = track;
  const dx = x[j]! - x[i]!;
  const dy = y[j]! - y[i]!;
  const far = Math.sqrt(dx * dx + dy * dy);
  const widths = Math.max(left[i]!, right[i]!) + Math.max(left[j]!, right[j]!);
  if (far >= widths || Math.abs(height[i]! - height[j]!) > BRIDGE) return false;
  // Which edges face one another.
  const facing = (at: number, ax: number, ay: number) =>
    Math.cos(heading[at]!) * ay - Math.sin(heading[at]!) * ax > 0 ? left[at]! : right[at]!;
  if (far >= facing(i, dx, dy) + facing(j, -dx, -dy)) return false;
  // Neighbours along the road are no overlap: half a turn on the tightest road of this width is pi widths long.
  const along = Math.abs(distance[i]! - distance[j]!);
  return Math.min(along, round - along) > Math.PI * widths;
}

function wrapped(angle: number): number {
  return angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI));
}
