/**
 * What a file says of courses: lines of places, with names, before anything is made of them.
 *
 * Out: the types every reader fills, the limits every reader keeps to, and how a reader refuses. Pure data: names are
 * text, never markup. Knows nothing of the project.
 */
import type { Problem } from '../../../../sim/index.ts';
import { problem } from '../../../../sim/index.ts';

export interface FilePlace {
  /** m east, or degrees of longitude where the frame is geographic. */
  readonly x: number;
  /** m north, or degrees of latitude. */
  readonly y: number;
  /** m */
  readonly height?: number;
  /** m, edge to edge; or from the line to each edge */
  readonly width?: number;
  readonly left?: number;
  readonly right?: number;
  /** °, left edge higher positive */
  readonly bank?: number;
  /** As written in the file */
  readonly surface?: string;
  /** s, from any moment */
  readonly time?: number;
}

export interface FileCourse {
  readonly name: string;
  /** For people: `track 2, segment 1` */
  readonly from: string;
  readonly frame: 'geographic' | 'metres';
  readonly places: readonly FilePlace[];
  /** Said to be closed by the file: a ring. */
  readonly ring: boolean;
}

export interface CourseFile {
  /** `GPX`, `GeoJSON`, `KML`, `CSV` */
  readonly kind: string;
  readonly courses: readonly FileCourse[];
  /** What was understood or passed over, for people. */
  readonly remarks: readonly string[];
}

export interface CourseFileRead {
  /** Absent where it was refused. */
  readonly file?: CourseFile;
  readonly problems: readonly Problem[];
}

/** Largest file read, bytes: a day of a recording ten times a second does not fill it. Read beside the page. */
export const MAX_BYTES = 50_000_000;
/** Places in one file: sixteen hours at ten a second. */
export const MAX_PLACES = 600_000;
/** Places between one word of how far the reading is and the next. */
const TOLD_EVERY = 5000;
/** Lines in one file that are offered. */
export const MAX_COURSES = 200;
/** Nesting of elements or brackets; the formats need under ten. */
export const MAX_DEPTH = 32;
/** m from the start: what the project can hold. */
export const FARTHEST = 100_000;
/** Characters of a name that are kept. */
const LONGEST_NAME = 100;

/** Thrown inside readers only; `readCourseFile` turns it into data. */
export class Refusal extends Error {
  readonly problem: Problem;
  constructor(found: Problem) {
    super(found.message);
    this.problem = found;
  }
}

export function refuse(
  code: string,
  place: string,
  message: string,
  details: { value?: string; limit?: string; remedy?: string } = {},
): never {
  throw new Refusal(problem(code, place, message, details));
}

/** A name as plain text on one line; '' where the file has none. */
export function plainName(text: string): string {
  return text
    .slice(0, 10 * LONGEST_NAME)
    .replace(/[\p{C}\s]+/gu, ' ')
    .trim()
    .slice(0, LONGEST_NAME)
    .replace(/[\ud800-\udbff]$/, '');
}

const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;

/** A number in a text, undefined where it is none: `NaN`, `Infinity` and words are none. */
export function numberIn(text: string): number | undefined {
  const bare = text.trim();
  if (bare.length > 40 || !NUMBER.test(bare)) return undefined;
  const number = Number(bare);
  return Number.isFinite(number) ? number : undefined;
}

/** Refuses what lies nowhere on earth. */
export function onEarth(latitude: number, longitude: number, place: string): void {
  if (!Number.isFinite(latitude) || Math.abs(latitude) > 90)
    refuse('out-of-range', place, 'there is no such latitude', {
      value: shown(latitude),
      limit: '-90 to 90°',
      remedy:
        Math.abs(longitude) <= 90
          ? 'latitude and longitude may have changed places'
          : 'correct the file, or record it again',
    });
  if (!Number.isFinite(longitude) || Math.abs(longitude) > 360)
    refuse('out-of-range', place, 'there is no such longitude', {
      value: shown(longitude),
      limit: '-180 to 180°',
      remedy: 'correct the file, or record it again',
    });
}

/** A height as it may stand in a project; undefined for what cannot be one. */
export function heightIn(value: number | undefined): number | undefined {
  return value !== undefined && value >= -1000 && value <= 11_000 ? value : undefined;
}

export function shown(value: number): string {
  return Number.isFinite(value) ? String(Number(value.toPrecision(9))) : 'no number';
}

/** Hears how many places have been read so far. */
export type ToldPlaces = (places: number) => void;

/** Counts places as they come, tells how many, and stops where there are too many. */
export function placeCounter(told?: ToldPlaces): (place: () => string) => void {
  let count = 0;
  return (place) => {
    count += 1;
    if (count % TOLD_EVERY === 0) told?.(count);
    if (count > MAX_PLACES)
      refuse('too-many', place(), 'the file holds too many places', {
        value: `more than ${MAX_PLACES}`,
        limit: `${MAX_PLACES}`,
        remedy: 'cut the recording down to the laps you want',
      });
  };
}
