/**
 * From a course in a file to a track of the project, by what the builder decided; nothing is applied here.
 *
 * In: a course, the decisions, the grounds the project has. Out: what the preview shows and the track as it would be
 * written, with every length rounded to a millimetre. Pure.
 */
import type { Problem } from '../../../../sim/index.ts';
import { problem } from '../../../../sim/index.ts';
import type { Ends, EndsGuess } from './course-ends.ts';
import { guessEnds, withEnds } from './course-ends.ts';
import type { FileCourse, FilePlace } from './course-file.ts';
import type { Fitted } from './fit-course.ts';
import { fitCourse, MOST_POINTS } from './fit-course.ts';
import type { GroundPlaces } from './ground-places.ts';
import { groundPlaces } from './ground-places.ts';
import type { Lap } from './laps.ts';
import { lapsIn } from './laps.ts';
import type { Origin } from './local-metres.ts';
import { toDegrees } from './local-metres.ts';
import { placeNote } from './place-note.ts';

/** A course looked over once: what does not hang on decisions. */
export interface LookedOver {
  readonly ground: GroundPlaces;
  readonly laps: readonly Lap[];
  /** Times on its places: somebody drove or walked it with a receiver. */
  readonly recorded: boolean;
  readonly ring: boolean;
  /** Where on earth a place in metres lies, if the file says. */
  placeOf(place: FilePlace): Origin | undefined;
  readonly has: { readonly heights: boolean; readonly widths: boolean; readonly surfaces: boolean };
}

export interface Decisions {
  /** Index of the lap cut out; undefined takes all of it. */
  readonly lap: number | undefined;
  /** undefined: as guessed */
  readonly ends: Ends | undefined;
  /** m */
  readonly tolerance: number;
  readonly calm: boolean;
  readonly heights: boolean;
}

export interface ShapedCourse {
  /** Places of the file that are used, in metres, before closing and leaving out. */
  readonly places: readonly FilePlace[];
  readonly ends: EndsGuess & { readonly used: Ends };
  readonly fitted: Fitted;
  readonly closed: boolean;
  /** Grounds named in the file that the project does not have. */
  readonly unknownSurfaces: readonly string[];
  readonly heightRange?: { readonly least: number; readonly most: number };
}

/** How far a drawn or exported course may move, m: unseen, and within the centimetre a project keeps. */
export const EXACT = 0.005;
/** Of a recording, m: less than the error of its places. */
export const OF_A_RECORDING = 1;

export function lookOver(course: FileCourse): { looked?: LookedOver; problems: readonly Problem[] } {
  const { ground, problems } = groundPlaces(course);
  if (ground === undefined) return { problems };
  const { places } = ground;
  const timed = places.filter(({ time }) => time !== undefined).length;
  return {
    looked: {
      ground,
      laps: course.ring ? [] : lapsIn(places),
      recorded: timed > places.length / 2,
      ring: course.ring,
      placeOf: ({ x, y }) => (ground.origin === undefined ? undefined : toDegrees(ground.origin, x, y)),
      has: {
        heights: places.some(({ height }) => height !== undefined),
        widths: places.some(({ width, left, right }) => (width ?? left ?? right) !== undefined),
        surfaces: places.some(({ surface }) => surface !== undefined),
      },
    },
    problems: [],
  };
}

export function shapeCourse(
  { ground, laps, ring }: LookedOver,
  { lap, ends, tolerance, calm, heights }: Decisions,
  surfaces: readonly string[],
): { shaped?: ShapedCourse; problems: readonly Problem[] } {
  const places = (lap === undefined ? undefined : laps[lap]?.places) ?? ground.places;
  const guessed = guessEnds(places, ground.apart, ring);
  // The ends of a lap that was cut lie on one line: whatever is between them is error.
  const guess = lap !== undefined && guessed.gap > 0.01 ? 'spread' : guessed.guess;
  const used = places.length < 4 ? 'open' : (ends ?? guess);
  const closed = used !== 'open';
  const fitted = fitCourse(withEnds(places, used), { closed, tolerance, calm, heights });
  if (fitted === undefined)
    return {
      problems: [
        problem('no-curve', '', 'no course can be laid through these places', {
          remedy: closed ? 'leave it open, or choose another line' : 'choose another line',
        }),
      ],
    };
  if (fitted.points.length > MOST_POINTS)
    return {
      problems: [
        problem('too-many', '', 'too many control points are left', {
          value: String(fitted.points.length),
          limit: String(MOST_POINTS),
          remedy: 'let the course move a little more',
        }),
      ],
    };
  const levels = places.flatMap(({ height }) => (height === undefined ? [] : [height]));
  const named = new Set(places.flatMap(({ surface }) => (surface === undefined ? [] : [surface])));
  return {
    shaped: {
      places,
      ends: { gap: guessed.gap, guess, used },
      fitted,
      closed,
      unknownSurfaces: [...named].filter((name) => !surfaces.includes(name)).slice(0, 20),
      ...(levels.length === 0
        ? {}
        : {
            heightRange: {
              least: levels.reduce((a, b) => Math.min(a, b)),
              most: levels.reduce((a, b) => Math.max(a, b)),
            },
          }),
    },
    problems: [],
  };
}

export interface TrackWords {
  readonly name: string;
  readonly surface: string;
  /** As typed: "6 m" */
  readonly width: string;
  readonly fileName: string;
  /** Written into the note where given. */
  readonly origin?: Origin | undefined;
}

/** The track as the project file has it. */
export function trackOf(
  { fitted, closed }: ShapedCourse,
  heights: boolean,
  surfaces: readonly string[],
  { name, surface, width, fileName, origin }: TrackWords,
): Record<string, unknown> {
  let under = surface;
  const points = fitted.points.map((place) => {
    const { x, y, height, width: wide, left, right, bank } = place;
    const lies = place.surface !== undefined && surfaces.includes(place.surface) ? place.surface : under;
    const changes = lies !== under;
    under = lies;
    return {
      x: millimetres(x),
      y: millimetres(y),
      ...(heights && height !== undefined ? { height: millimetres(height) } : {}),
      ...(wide === undefined ? {} : { width: `${millimetres(wide)} m` }),
      ...(left === undefined ? {} : { widthLeft: `${millimetres(left)} m` }),
      ...(right === undefined ? {} : { widthRight: `${millimetres(right)} m` }),
      ...(bank === undefined ? {} : { bank: `${Number(bank.toFixed(2))}°` }),
      ...(changes ? { surface: lies } : {}),
    };
  });
  const note = [`From the file ${fileName}.`, ...(origin === undefined ? [] : [placeNote(origin)])].join(' ');
  return { name, note, closed, surface, width, points };
}

function millimetres(value: number): number {
  return Number(value.toFixed(3)) + 0;
}
