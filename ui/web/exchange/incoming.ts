/**
 * A project that comes from outside, by file or link, before anything is done with it.
 *
 * In: text of any origin, or a file. Out: its document in the present format, what the reader says of it, every
 * problem. Large files are refused by their size, unread. What is said of a file is data; nothing of it is markup.
 */
import type { Problem, ProjectRead } from '../../../sim/index.ts';
import {
  isBlocking,
  MAX_FILE_LENGTH,
  mergeProjects,
  problem,
  readJson,
  readProjectValue,
} from '../../../sim/index.ts';
import type { ProjectDocument } from '../state/document.ts';

export interface Incoming {
  /** For people: the file's name, or where else it came from. */
  readonly from: string;
  /** Absent where it is no project file at all. */
  readonly document?: ProjectDocument;
  /** By itself. A file of a few tracks may be refused alone and still be fit for merging. */
  readonly alone: ProjectRead;
  readonly problems: readonly Problem[];
}

/** What is read of a `File`. */
export interface FileLike {
  readonly name: string;
  readonly size: number;
  text(): Promise<string>;
}

export async function readFile(file: FileLike): Promise<Incoming> {
  const from = file.name.slice(0, 120);
  if (file.size > MAX_FILE_LENGTH) {
    const megabytes = (n: number): string => `${Math.ceil(n / 1e6)} MB`;
    return refused(from, [
      problem('too-large', '', 'the file is too large and was not read', {
        value: megabytes(file.size),
        limit: megabytes(MAX_FILE_LENGTH),
        remedy:
          'choose a project file (*.kartwright.json); a large one is split, one file for each few tracks',
      }),
    ]);
  }
  try {
    return readIncoming(await file.text(), from);
  } catch {
    return refused(from, [
      problem('file-gone', '', 'the file could not be read', {
        remedy: 'it may have been moved or changed meanwhile: choose it again',
      }),
    ]);
  }
}

export function readIncoming(text: string, from: string): Incoming {
  const json = readJson(text);
  if (json.value === undefined || isBlocking(json.problems)) return refused(from, json.problems);
  const alone = readProjectValue(json.value);
  const problems = [...json.problems, ...alone.problems];
  const migrated = mergeProjects([{ name: from, raw: json.value }]);
  if (isBlocking(migrated.problems)) return refused(from, problems);
  return { from, document: migrated.raw, alone, problems };
}

export function refused(from: string, problems: readonly Problem[]): Incoming {
  return { from, alone: { problems, notes: [] }, problems };
}
