/**
 * The control points of a track as the drawing handles them: where each is, and whatever else is written on it.
 *
 * In: the track in the document and as read. Out: points in metres (x east, y north), and back to what the file holds.
 * Pure; a point keeps its height, width, surface and bank as they were written.
 */
import type { Project } from '../../../sim/index.ts';

export interface DrawnPoint {
  /** m */
  readonly x: number;
  readonly y: number;
  /** Height, width, surface, bank: as written in the file. */
  readonly laid: Readonly<Record<string, unknown>>;
}

type TrackRead = Project['tracks'][string];

/** The points of a track; undefined for one made of stretches. */
export function drawnPoints(
  written: unknown,
  read: TrackRead | undefined,
): readonly DrawnPoint[] | undefined {
  const raw =
    typeof written === 'object' && written !== null
      ? (written as Record<string, unknown>)['points']
      : undefined;
  const points = read?.points;
  if (!Array.isArray(raw) || points === undefined || raw.length !== points.length) return undefined;
  return raw.map((entry, i) => {
    const { x: _x, y: _y, ...laid } = entry as Record<string, unknown>;
    return { x: points[i]!.x, y: points[i]!.y, laid };
  });
}

/**
 * Decimals of a metre: nobody draws finer than a centimetre, but of points two metres apart a centimetre makes bends that
 * are not there - a lap of a minute then takes 0.3 to 0.8 s longer, of millimetres a hundredth.
 */
const DECIMALS = 3;

export function writtenPoint({ x, y, laid }: DrawnPoint): Record<string, unknown> {
  return { x: rounded(x), y: rounded(y), ...laid };
}

function rounded(value: number): number {
  return Number(value.toFixed(DECIMALS)) + 0;
}
