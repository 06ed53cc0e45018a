/**
 * A file with courses, of any origin, before anything is done with it: GPX, GeoJSON, KML or a table.
 *
 * In: a file or its text. Out: the courses in it, or why it is refused: place, reason, remedy. What a file is shows by
 * how it begins, not by its name. Large files are refused by their size, unread. Never throws.
 */
import type { Problem } from '../../../../sim/index.ts';
import { problem } from '../../../../sim/index.ts';
import type { CourseFile, CourseFileRead, ToldPlaces } from './course-file.ts';
import { MAX_BYTES, MAX_COURSES, Refusal, refuse } from './course-file.ts';
import type { PlaceColumns } from './read-csv.ts';
import { readCsv } from './read-csv.ts';
import { readGeoJson } from './read-geojson.ts';
import { readGpx } from './read-gpx.ts';
import { readKml } from './read-kml.ts';

/** What is read of a `File`. */
export interface FileLike {
  readonly name: string;
  readonly size: number;
  arrayBuffer(): Promise<ArrayBuffer>;
}

/** The text of a file, or why it was not read. */
export async function readText(file: FileLike): Promise<{ text?: string; problems: readonly Problem[] }> {
  if (file.size > MAX_BYTES) return { problems: [tooLarge(file.size)] };
  try {
    return { text: decoded(new Uint8Array(await file.arrayBuffer())), problems: [] };
  } catch {
    return {
      problems: [
        problem('file-gone', '', 'the file could not be read', {
          remedy: 'it may have been moved or changed meanwhile: choose it again',
        }),
      ],
    };
  }
}

/** `columns`: what the builder says of the first two columns of a table; `told` hears how far the reading is. */
export function readCourseFile(text: string, columns?: PlaceColumns, told?: ToldPlaces): CourseFileRead {
  try {
    if (text.length > MAX_BYTES) return { problems: [tooLarge(text.length)] };
    const file = offered(byKind(text, columns, told));
    return { file, problems: [] };
  } catch (error) {
    if (error instanceof Refusal) return { problems: [error.problem] };
    const unforeseen = problem('unreadable', '', 'the file could not be read', {
      value: String(error).slice(0, 120),
      remedy: 'export it again, or in another format',
    });
    return { problems: [unforeseen] };
  }
}

function byKind(text: string, columns: PlaceColumns | undefined, told: ToldPlaces | undefined): CourseFile {
  const start = text.slice(0, 1000).replace(/^[\ufeff\s]+/, '');
  if (start === '')
    return refuse('empty', '', 'the file is empty', { remedy: 'choose another, or export it again' });
  if (start.startsWith('PK'))
    return refuse('packed', '', 'the file is packed (ZIP, as a KMZ is)', {
      remedy: 'unpack it first, then choose the .kml inside',
    });
  if (text.slice(0, 4000).includes('\0'))
    return refuse('not-text', '', 'the file is no text', {
      remedy: 'export the course as GPX, GeoJSON, KML or CSV',
    });
  if (start.startsWith('<')) {
    const root = /<(?:[\w.-]+:)?(gpx|kml)[\s>]/i.exec(text.slice(0, 20_000))?.[1]?.toLowerCase();
    return root === 'kml' ? readKml(text, told) : readGpx(text, told);
  }
  return /^[{[]/.test(start) ? readGeoJson(text, told) : readCsv(text, columns, told);
}

/** What is left once lines of a single place are put aside. */
function offered(file: CourseFile): CourseFile {
  const courses = file.courses.filter(({ places }) => isLine(places));
  if (courses.length === 0) {
    const single = file.courses.length > 0;
    return refuse(
      'no-course',
      '',
      single ? 'no line in it has two different places' : 'there is no line in it',
      {
        remedy:
          'a course is a track or route (GPX), a LineString or Polygon (GeoJSON), a line, ring or track (KML), a table of places (CSV)',
      },
    );
  }
  if (courses.length <= MAX_COURSES) return { ...file, courses };
  const remark = `Of ${courses.length} lines the ${MAX_COURSES} with the most places are offered.`;
  const longest = [...courses].sort((a, b) => b.places.length - a.places.length).slice(0, MAX_COURSES);
  return { ...file, courses: longest, remarks: [...file.remarks, remark] };
}

function isLine(places: CourseFile['courses'][number]['places']): boolean {
  const [first] = places;
  return first !== undefined && places.some(({ x, y }) => x !== first.x || y !== first.y);
}

function tooLarge(size: number): Problem {
  const megabytes = (n: number): string => `${Math.ceil(n / 1e6)} MB`;
  return problem('too-large', '', 'the file is too large and was not read', {
    value: megabytes(size),
    limit: megabytes(MAX_BYTES),
    remedy: 'cut the recording down to the laps you want, or export fewer places a second',
  });
}

/** UTF-8 or UTF-16 by its mark; else what older programs write. */
function decoded(bytes: Uint8Array): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder('utf-16be').decode(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}
