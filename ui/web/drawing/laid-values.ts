/**
 * What is laid at control points - height, edges, bank -, set at one point or on a range of them.
 *
 * In: points, where, and the ground as it is at each of them. Out: new points. A value not given at a point is read
 * between those that give it, all round the course: so the points next to the range are given what they have now, and the
 * rest of the course stays as it was (heights, which a smooth curve joins, but for its ripples). Pure.
 */
import type { CompiledTrack, Project } from '../../../sim/index.ts';
import type { DrawnPoint } from './drawn-points.ts';
import type { Place, PointRange } from './point-edits.ts';
import { stationsAt } from './stretches-of.ts';

/** The ground at a control point as it is driven, whatever of it is written there. */
export interface GroundHere {
  /** m */
  readonly height: number;
  /** From the line to each edge, m */
  readonly left: number;
  readonly right: number;
  /** rad, left edge higher positive */
  readonly bank: number;
}

/** What is set together: an edge moves by itself, but both are written. */
export type Laid = 'height' | 'edges' | 'bank';

const KEYS: Readonly<Record<Laid, readonly string[]>> = {
  height: ['height'],
  edges: ['width', 'widthLeft', 'widthRight'],
  bank: ['bank'],
};

export function groundsAt(track: CompiledTrack, places: readonly Place[]): GroundHere[] {
  return stationsAt(track, places).map((station) => groundAt(track, station));
}

export function groundAt({ height, left, right, bank }: CompiledTrack, station: number): GroundHere {
  return {
    height: height[station]!,
    left: left[station]!,
    right: right[station]!,
    bank: bank[station]!,
  };
}

/** Where the course cannot be laid out: by what is written of each point alone. */
export function writtenGrounds(spec: Project['tracks'][string]): GroundHere[] {
  return (spec.points ?? []).map(({ height = 0, width = spec.width, widthLeft, widthRight, bank = 0 }) => ({
    height,
    left: widthLeft ?? width / 2,
    right: widthRight ?? width / 2,
    bank,
  }));
}

/** What is written of a point that is given `ground`, of one kind. */
export function writtenGround(what: Laid, { height, left, right, bank }: GroundHere): Record<string, string> {
  switch (what) {
    case 'height':
      return { height: metres(height) };
    case 'bank':
      return { bank: degrees(bank) };
    case 'edges':
      return Math.abs(left - right) < LIKE ? evenEdges({ left, right }) : edgesApart({ left, right });
    default:
      return what;
  }
}

/** One width, its edges as far from the line on both sides; as wide as it was. */
export function evenEdges({ left, right }: Pick<GroundHere, 'left' | 'right'>): Record<string, string> {
  return { width: metres(left + right) };
}

/** Each edge by itself, where it was. */
export function edgesApart({ left, right }: Pick<GroundHere, 'left' | 'right'>): Record<string, string> {
  return { widthLeft: metres(left), widthRight: metres(right) };
}

/** m; edges nearer alike than this are one width. */
const LIKE = 5e-4;

/** Lays what `put` says at every point of the range; the points next to it keep what they have. */
export function laidOn(
  points: readonly DrawnPoint[],
  { from, to }: PointRange,
  closed: boolean,
  what: Laid,
  grounds: readonly GroundHere[],
  put: (ground: GroundHere, point: DrawnPoint) => Readonly<Record<string, string>>,
): DrawnPoint[] {
  const n = points.length;
  const inside = (i: number): boolean => (from <= to ? i >= from && i <= to : i >= from || i <= to);
  const next = (i: number): boolean =>
    !inside(i) && [i - 1, i + 1].some((j) => (closed ? inside((j + n) % n) : j >= 0 && j < n && inside(j)));
  return points.map((point, i) => {
    const ground = grounds[i];
    if (ground === undefined) return point;
    if (inside(i)) return { ...point, laid: { ...without(point, what), ...put(ground, point) } };
    if (!next(i) || says(point, what)) return point;
    return { ...point, laid: { ...point.laid, ...writtenGround(what, ground) } };
  });
}

/** One edge set by itself; the other is written where it now lies. */
export function edgeSet(side: 'left' | 'right', text: string) {
  return (ground: GroundHere, { laid }: DrawnPoint): Record<string, string> => {
    const kept = (key: string, value: number): string => {
      const stated = laid[key];
      return typeof stated === 'string' ? stated : metres(value);
    };
    return side === 'left'
      ? { widthLeft: text, widthRight: kept('widthRight', ground.right) }
      : { widthLeft: kept('widthLeft', ground.left), widthRight: text };
  };
}

/** Does a point say something of this kind itself? */
export function says({ laid }: DrawnPoint, what: Laid): boolean {
  return KEYS[what].some((key) => laid[key] !== undefined);
}

/** Do the edges of a point lie apart from one another by what is written? */
export function hasOwnEdges(
  points: readonly DrawnPoint[],
  at: number,
  spec: Project['tracks'][string],
): boolean {
  const { laid } = points[at]!;
  if (says(points[at]!, 'edges')) return laid['widthLeft'] !== undefined || laid['widthRight'] !== undefined;
  return spec.widthLeft !== undefined || spec.widthRight !== undefined;
}

function without({ laid }: DrawnPoint, what: Laid): Record<string, unknown> {
  return Object.fromEntries(Object.entries(laid).filter(([key]) => !KEYS[what].includes(key)));
}

function metres(value: number): string {
  return `${Number(value.toFixed(3)) + 0} m`;
}

function degrees(radians: number): string {
  return `${Number(((radians * 180) / Math.PI).toFixed(2)) + 0}°`;
}
