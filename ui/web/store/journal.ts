/**
 * What a page had not yet stored when it was closed: written at once, and taken up at the next start.
 *
 * A write to the database may be cut short by the closing of its page; one to the small storage is not. In: unsaved
 * steps and the document they lead to. Out: journals of pages that are gone. Where the stored project has gone
 * another way since, the document becomes a project of its own.
 */
import * as v from 'valibot';
import type { ProjectDocument } from '../state/document.ts';
import type { History } from '../state/history.ts';
import type { StepRecord } from './records.ts';
import { historyOf, RECORD_FORMAT, stepRecords } from './records.ts';
import type { Saved } from './shelf.ts';
import { quietly } from './tab.ts';

const PREFIX = 'kartwright.unsaved.';

const journalSchema = v.object({
  format: v.literal(RECORD_FORMAT),
  writer: v.string(),
  writtenAt: v.number(),
  /** Absent: it had never been stored. */
  project: v.exactOptional(v.string()),
  revision: v.number(),
  at: v.number(),
  from: v.number(),
  steps: v.array(v.looseObject({})),
  document: v.record(v.string(), v.unknown()),
});

export interface Journal {
  readonly format: typeof RECORD_FORMAT;
  readonly writer: string;
  /** ms since 1970 */
  readonly writtenAt: number;
  readonly project?: string;
  /** The stored state the steps build on. */
  readonly revision: number;
  readonly at: number;
  /** Index of the first of the steps. */
  readonly from: number;
  readonly steps: readonly StepRecord[];
  /** What they lead to. */
  readonly document: ProjectDocument;
}

export function journalOf(
  history: History,
  saved: Saved | undefined,
  writer: string,
  writtenAt: number,
): Journal {
  const known = saved?.steps ?? [];
  let from = 0;
  while (from < known.length && known[from] === history.steps[from]) from++;
  return {
    format: RECORD_FORMAT,
    writer,
    writtenAt,
    ...(saved === undefined ? {} : { project: saved.id }),
    revision: saved?.revision ?? 0,
    at: history.at,
    from,
    steps: stepRecords(saved?.id ?? '', history.steps, from),
    document: history.steps[history.at]!.document,
  };
}

/** False where the browser would not take it. */
export function writeJournal(journal: Journal): boolean {
  return (
    quietly(() => {
      localStorage.setItem(PREFIX + journal.writer, JSON.stringify(journal));
      return true;
    }) ?? false
  );
}

export function dropJournal(writer: string): void {
  quietly(() => localStorage.removeItem(PREFIX + writer));
}

/** Journals left behind, the oldest first; those that cannot be read stay where they are. */
export function foundJournals(): readonly Journal[] {
  const keys = quietly(() => Object.keys(localStorage)) ?? [];
  const found = keys
    .filter((key) => key.startsWith(PREFIX))
    .map((key) =>
      quietly(
        () => v.parse(journalSchema, JSON.parse(localStorage.getItem(key) ?? '')) as unknown as Journal,
      ),
    )
    .filter((journal) => journal !== undefined);
  return found.sort((a, b) => a.writtenAt - b.writtenAt);
}

/** The stored history with the journal's steps in place of its own from there on; undefined where they do not fit. */
export function resumed(stored: History, journal: Journal): History | undefined {
  if (journal.from > stored.steps.length) return undefined;
  const kept = stepRecords('', stored.steps.slice(0, journal.from), 0);
  const records = [...kept, ...journal.steps];
  const read = historyOf(undefined, records);
  const history = 'history' in read ? read.history : read.salvage;
  if (history === undefined || history.steps.length !== records.length) return undefined;
  if (journal.at < 0 || journal.at >= records.length) return undefined;
  // The steps that are stored already stay the same objects, so that they are not written again.
  const steps = history.steps.map((step, i) => (i < journal.from ? (stored.steps[i] ?? step) : step));
  return { steps, at: journal.at };
}
