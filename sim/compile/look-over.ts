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
  const { count, length, closed, x, y, left, right, distance } = track;
  let widest = 0;
  for (let i = 0; i < count; i++) widest = Math.max(widest, left[i]! + right[i]!);
  const apart = Math.max(length / MOST_PLACES, Math.min(2, widest / 4));
  const places: number[] = [];
  for (let i = 0; i < count; i++)
    if (places.length === 0 || distance[i]! - distance[places.at(-1)!]! >= apart) places.push(i);
  const cell = Math.max(widest, apart);
  const grid = new Map<number, number[]>();
  const key = (cx: number, cy: number) => cx * 2_000_003 + cy;
  const cellOf = (v: number) => Math.floor(v / cell);
  const partner = new Map<number, number>();
  for (const [p, i] of places.entries()) {
    const cx = cellOf(x[i]!);
    const cy = cellOf(y[i]!);
    for (let dx = -1; dx <= 1; dx++)
      for (let dy = -1; dy <= 1; dy++)
        for (const q of grid.get(key(cx + dx, cy + dy)) ?? []) {
          const j = places[q]!;
          if (partner.has(p) || !sharesGround(track, i, j, closed ? length : Number.POSITIVE_INFINITY))
            continue;
          partner.set(p, q);
        }
    const here = grid.get(key(cx, cy));
    if (here === undefined) grid.set(key(cx, cy), [p]);
    else here.push(p);
  }
  // Runs of neighbouring places; one that contains a crossing is a crossing.
  const where: number[] = [];
  let run: number[] = [];
  const close = (): void => {
    const crosses = run.some((p) => {
      const angle = Math.abs(wrapped(track.heading[places[p]!]! - track.heading[places[partner.get(p)!]!]!));
      return Math.min(angle, Math.PI - angle) > CROSSING;
    });
    if (run.length > 0 && !crosses) where.push(places[run[run.length >> 1]!]!);
    run = [];
  };
  for (let p = 0; p < places.length; p++) {
    if (partner.has(p)) run.push(p);
    else close();
  }
  close();
  const other = new Map([...partner].map(([p, q]) => [places[p]!, places[q]!]));
  return told('overlap', path, where, (i) => {
    const j = other.get(i)!;
    return {
      message: `two parts of the track lie on the same ground ${place(track, i)} and ${place(track, j)}`,
      value: `${Math.hypot(x[i]! - x[j]!, y[i]! - y[j]!).toFixed(1)} m apart`,
      remedy: 'move them apart, or make the track narrower there',
    };
  });
}

function sharesGround(track: Columns, i: number, j: number, round: number): boolean {
  const { x, y, left, right, distance, height, heading } = track;
  const dx = x[j]! - x[i]!;
  const dy = y[j]! - y[i]!;
  const far = Math.hypot(dx, dy);
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
