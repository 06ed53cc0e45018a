/**
 * The places of one course in metres, ready to be worked on.
 *
 * In: a course as a file has it. Out: places in metres - round its first place where the file gives degrees or a grid
 * far off -, without those that repeat the one before; or the problem that stops it. Pure.
 */
import type { Problem } from '../../../../sim/index.ts';
import { problem } from '../../../../sim/index.ts';
import type { FileCourse, FilePlace } from './course-file.ts';
import { FARTHEST } from './course-file.ts';
import type { Origin } from './local-metres.ts';
import { toMetres } from './local-metres.ts';

export interface GroundPlaces {
  readonly places: readonly FilePlace[];
  /** Where on earth x = y = 0 lies, if the file says. */
  readonly origin?: Origin;
  /** What was taken off a grid far from its own nought, m. */
  readonly shift?: { readonly x: number; readonly y: number };
  /** Places that repeated the one before. */
  readonly repeated: number;
  /** Metres between neighbours that are typical. */
  readonly apart: number;
}

/** m; closer together two places are one. */
const SAME = 0.001;
/** m from its nought that a grid may lie; farther off it is brought back. */
const NEAR_GRID = 20_000;

export function groundPlaces(course: FileCourse): { ground?: GroundPlaces; problems: readonly Problem[] } {
  const [first] = course.places;
  if (first === undefined) return { problems: [problem('no-course', '', 'there is no place in it')] };
  const origin =
    course.frame === 'geographic' ? { latitude: first.y, longitude: wrapped(first.x) } : undefined;
  const isFar = Math.max(Math.abs(first.x), Math.abs(first.y)) > NEAR_GRID;
  const shift = origin === undefined && isFar ? { x: first.x, y: first.y } : undefined;
  const places: FilePlace[] = [];
  for (const [i, place] of course.places.entries()) {
    const { x, y } =
      origin === undefined
        ? { x: place.x - (shift?.x ?? 0), y: place.y - (shift?.y ?? 0) }
        : toMetres(origin, place.y, place.x);
    if (!(Math.abs(x) <= FARTHEST && Math.abs(y) <= FARTHEST))
      return {
        problems: [
          problem('too-far', `place ${i + 1} of ${course.from}`, 'it lies too far from the first place', {
            value: `${(Math.hypot(x, y) / 1000).toFixed(0)} km`,
            limit: `${FARTHEST / 1000} km`,
            remedy: 'delete the stray place, or check the unit of the coordinates',
          }),
        ],
      };
    const before = places.at(-1);
    if (before === undefined || Math.hypot(x - before.x, y - before.y) > SAME)
      places.push({ ...place, x, y });
  }
  const repeated = course.places.length - places.length;
  if (places.length < 2)
    return {
      problems: [
        problem('one-place', course.from, 'all its places are one and the same', {
          value: `${course.places.length} places`,
          remedy: 'choose another line or file',
        }),
      ],
    };
  return {
    ground: {
      places,
      repeated,
      apart: typical(places),
      ...(origin === undefined ? {} : { origin }),
      ...(shift === undefined ? {} : { shift }),
    },
    problems: [],
  };
}

/** Way from the first place to each, along the chords, m. */
export function waysAlong(places: readonly FilePlace[]): Float64Array {
  const ways = new Float64Array(places.length);
  for (let i = 1; i < places.length; i++) {
    const [a, b] = [places[i - 1]!, places[i]!];
    ways[i] = ways[i - 1]! + Math.hypot(b.x - a.x, b.y - a.y);
  }
  return ways;
}

/** The median way from one place to the next. */
function typical(places: readonly FilePlace[]): number {
  const steps = places.slice(1).map((b, i) => Math.hypot(b.x - places[i]!.x, b.y - places[i]!.y));
  return steps.sort((a, b) => a - b)[steps.length >> 1] ?? 0;
}

function wrapped(longitude: number): number {
  return longitude - 360 * Math.round(longitude / 360);
}
