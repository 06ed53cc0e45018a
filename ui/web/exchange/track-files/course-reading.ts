/** Reading one course file beside the page: its places stay in a worker, the page asks for what it shows. */
import * as Comlink from 'comlink';
import { besidePage } from '../beside-page.ts';
import type { ToldPlaces } from './course-file.ts';
import type { CourseReader, FactsAnswer, FileAnswer, ShapeAnswer } from './course-reader.ts';
import type { PlaceColumns } from './read-csv.ts';
import type { Decisions } from './shape-course.ts';

export interface CourseReading {
  read(file: File, told: ToldPlaces): Promise<FileAnswer>;
  readAgain(columns: PlaceColumns | undefined): Promise<FileAnswer>;
  lookOver(line: number): Promise<FactsAnswer>;
  shape(line: number, decisions: Decisions, surfaces: readonly string[]): Promise<ShapeAnswer>;
  /** Stops it wherever it is; what was still asked is then never answered. */
  end(): void;
}

export function beginReading(): CourseReading {
  const worker = new Worker(new URL('./course-worker.ts', import.meta.url), {
    type: 'module',
    name: 'kartwright course file',
  });
  const { service, ask, end } = besidePage<CourseReader>(worker);
  return {
    read: (file, told) => ask(service.read(file, Comlink.proxy(told))),
    readAgain: (columns) => ask(service.readAgain(columns)),
    lookOver: (line) => ask(service.lookOver(line)),
    shape: (line, decisions, surfaces) => ask(service.shape(line, decisions, surfaces)),
    end,
  };
}
