/**
 * Reading one course file beside the page: a worker for as long as the file is looked at.
 *
 * In: questions to a course reader. Out: its answers, or - where the worker could not start or came to an end - a problem.
 * `end` stops it wherever it is; what was still asked is then never answered.
 */
import * as Comlink from 'comlink';
import type { Problem } from '../../../../sim/index.ts';
import { problem } from '../../../../sim/index.ts';
import type { ToldPlaces } from './course-file.ts';
import type { CourseReader, FactsAnswer, FileAnswer, ShapeAnswer } from './course-reader.ts';
import type { PlaceColumns } from './read-csv.ts';
import type { Decisions } from './shape-course.ts';

export interface CourseReading {
  read(file: File, told: ToldPlaces): Promise<FileAnswer>;
  readAgain(columns: PlaceColumns | undefined): Promise<FileAnswer>;
  lookOver(line: number): Promise<FactsAnswer>;
  shape(line: number, decisions: Decisions, surfaces: readonly string[]): Promise<ShapeAnswer>;
  end(): void;
}

export function beginReading(): CourseReading {
  const worker = new Worker(new URL('./course-worker.ts', import.meta.url), {
    type: 'module',
    name: 'kartwright course file',
  });
  const reader = Comlink.wrap<CourseReader>(worker);
  const lost = new Promise<never>((_, reject) => {
    worker.addEventListener('error', ({ message }) =>
      reject(new Error(message || 'its program did not load')),
    );
    worker.addEventListener('messageerror', () => reject(new Error('its answer could not be read')));
  });
  // Heard by whatever is asked; by itself it is no complaint of the page.
  lost.catch(() => {});
  const ask = async <T>(asked: Promise<T>): Promise<T | { readonly problems: readonly Problem[] }> => {
    try {
      return await Promise.race([asked, lost]);
    } catch (error) {
      return { problems: [lostProblem(error)] };
    }
  };
  return {
    read: (file, told) => ask(reader.read(file, Comlink.proxy(told))),
    readAgain: (columns) => ask(reader.readAgain(columns)),
    lookOver: (line) => ask(reader.lookOver(line)),
    shape: (line, decisions, surfaces) => ask(reader.shape(line, decisions, surfaces)),
    end: () => worker.terminate(),
  };
}

function lostProblem(error: unknown): Problem {
  return problem('reading-ended', '', 'reading the file came to an end before it was done', {
    value: (error instanceof Error ? error.message : String(error)).slice(0, 120),
    remedy: 'choose the file again; if it ends again, cut the recording down to the laps you want',
  });
}
