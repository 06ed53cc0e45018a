/**
 * A course of a file laid through its places by what the builder decided.
 *
 * In: a course as the file has it; the decisions, the grounds the project has. Out: what is known of it before anything
 * is decided; and the shaped course: control points, how far it moved, a sketch of it. Pure. What goes to the page holds
 * no more places than a picture needs: a file may have hundreds of thousands.
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

/** What is known of a course before anything is decided. */
export interface CourseFacts {
  readonly laps: readonly Pick<Lap, 'length' | 'time'>[];
  /** Times on its places: somebody drove or walked it with a receiver. */
  readonly recorded: boolean;
  readonly heights: boolean;
  /** The file gives places on earth. */
  readonly onEarth: boolean;
  /** What was taken off a grid far from its own nought, m. */
  readonly shift?: { readonly x: number; readonly y: number };
  /** Places that repeated the one before. */
  readonly repeated: number;
}

/** A course looked over once: what does not hang on decisions. */
export interface LookedOver {
  readonly ground: GroundPlaces;
  readonly laps: readonly Lap[];
  readonly ring: boolean;
  readonly facts: CourseFacts;
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
  /** Places of the file that are used, before closing and leaving out. */
  readonly count: number;
  /** Some of them, in metres, in their order: enough for a picture. */
  readonly sketch: readonly { readonly x: number; readonly y: number }[];
  /** Where on earth the course starts, if the file says. */
  readonly start?: Origin;
  readonly ends: EndsGuess & { readonly used: Ends };
  readonly fitted: Fitted;
  readonly closed: boolean;
  /** Grounds named in the file that the project does not have. */
  readonly unknownSurfaces: readonly string[];
  readonly heightRange?: { readonly least: number; readonly most: number };
}

/** How far a drawn or exported course may move, m: unseen. */
export const EXACT = 0.005;
/** Of a recording, m: less than the error of its places. */
export const OF_A_RECORDING = 1;
/** Places of a sketch, at the most. */
const MOST_SKETCHED = 4000;

export function lookOver(course: FileCourse): { looked?: LookedOver; problems: readonly Problem[] } {
  const { ground, problems } = groundPlaces(course);
  if (ground === undefined) return { problems };
  const { places, origin, shift, repeated } = ground;
  const timed = places.filter(({ time }) => time !== undefined).length;
  const laps = course.ring ? [] : lapsIn(places);
  return {
    looked: {
      ground,
      laps,
      ring: course.ring,
      facts: {
        laps: laps.map(({ length, time }) => ({ length, ...(time === undefined ? {} : { time }) })),
        recorded: timed > places.length / 2,
        heights: places.some(({ height }) => height !== undefined),
        onEarth: origin !== undefined,
        ...(shift === undefined ? {} : { shift }),
        repeated,
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
      count: places.length,
      sketch: sketched(places),
      ...(ground.origin === undefined
        ? {}
        : { start: toDegrees(ground.origin, fitted.points[0]!.x, fitted.points[0]!.y) }),
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

function sketched(places: readonly FilePlace[]): { x: number; y: number }[] {
  const stride = Math.ceil(places.length / MOST_SKETCHED);
  return places.filter((_, i) => i % stride === 0 || i === places.length - 1).map(({ x, y }) => ({ x, y }));
}
