/**
 * A course from a file, as shaped, to a track of the project as it would be written; nothing is applied here.
 *
 * In: the shaped course, what the builder named and chose. Out: the track, every length rounded to a millimetre. Pure.
 */
import type { Origin } from './local-metres.ts';
import { placeNote } from './place-note.ts';
import type { ShapedCourse } from './shape-course.ts';

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
