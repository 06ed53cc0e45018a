/**
 * One file of courses held open where it was read: in a worker, so that a large one does not hold the page.
 *
 * In: a file; then which of its lines, and what the builder decided. Out: what the page shows - names, counts, facts, the
 * shaped course. The places of the file stay here. Refusals are data; nothing throws but for a programmer's mistake.
 */
import type { Problem } from '../../../../sim/index.ts';
import type { CourseFileRead, FileCourse, ToldPlaces } from './course-file.ts';
import type { FileLike } from './read-course-file.ts';
import { readCourseFile, readText } from './read-course-file.ts';
import type { PlaceColumns } from './read-csv.ts';
import type { CourseFacts, Decisions, LookedOver, ShapedCourse } from './shape-course.ts';
import { lookOver, shapeCourse } from './shape-course.ts';

/** A file as the page knows it. */
export interface FileContents {
  /** `GPX`, `GeoJSON`, `KML`, `CSV` */
  readonly kind: string;
  readonly lines: readonly (Pick<FileCourse, 'name' | 'from'> & { readonly count: number })[];
  readonly remarks: readonly string[];
}

export interface FileAnswer {
  /** Absent where it was refused. */
  readonly contents?: FileContents;
  readonly problems: readonly Problem[];
}

export interface FactsAnswer {
  readonly facts?: CourseFacts;
  readonly problems: readonly Problem[];
}

export interface ShapeAnswer {
  readonly shaped?: ShapedCourse;
  readonly problems: readonly Problem[];
}

export interface CourseReader {
  /** `told` hears how many places have been read, now and then. */
  read(file: FileLike, told?: ToldPlaces): Promise<FileAnswer>;
  /** The same table once more, by what the builder says of its columns. */
  readAgain(columns: PlaceColumns | undefined): FileAnswer;
  lookOver(line: number): FactsAnswer;
  shape(line: number, decisions: Decisions, surfaces: readonly string[]): ShapeAnswer;
}

export function createCourseReader(): CourseReader {
  /** Kept of a table alone: nothing else is read twice. */
  let table = '';
  let courses: readonly FileCourse[] = [];
  let looked: { readonly line: number; readonly over: LookedOver } | undefined;

  const answered = ({ file, problems }: CourseFileRead): FileAnswer => {
    courses = file?.courses ?? [];
    looked = undefined;
    if (file === undefined) return { problems };
    const lines = file.courses.map(({ name, from, places }) => ({ name, from, count: places.length }));
    return { contents: { kind: file.kind, lines, remarks: file.remarks }, problems };
  };
  const courseOf = (line: number): FileCourse => {
    const course = courses[line];
    if (course === undefined) throw new RangeError(`course reader: there is no line ${line}`);
    return course;
  };

  return {
    async read(file, told) {
      const { text, problems } = await readText(file);
      if (text === undefined) return { problems };
      const found = readCourseFile(text, undefined, told);
      table = found.file?.kind === 'CSV' ? text : '';
      return answered(found);
    },
    readAgain: (columns) => answered(readCourseFile(table, columns)),
    lookOver(line) {
      const { looked: over, problems } = lookOver(courseOf(line));
      looked = over === undefined ? undefined : { line, over };
      return { ...(over === undefined ? {} : { facts: over.facts }), problems };
    },
    shape(line, decisions, surfaces) {
      const over = looked?.line === line ? looked.over : lookOver(courseOf(line)).looked;
      return over === undefined ? { problems: [] } : shapeCourse(over, decisions, surfaces);
    },
  };
}
