/**
 * Takes up what a closed page had not stored any more.
 *
 * In: an open database and the journals found. Out: the stored projects gone on with; where one has gone another way
 * meanwhile, a project of its own and a sentence about it.
 */
import type { History } from '../state/history.ts';
import { openHistory } from '../state/history.ts';
import type { Database } from './database.ts';
import type { Journal } from './journal.ts';
import { dropJournal, resumed } from './journal.ts';
import { nameOf, renamed } from './project-name.ts';
import type { StoredEntry } from './records.ts';
import { readStored, storeNew, writeProject } from './shelf.ts';

interface Writer {
  readonly writer: string;
  /** ms since 1970 */
  readonly now: number;
}

/** Stores the journal's edits; returns what the builder should know of, if anything. */
export async function takeUp(
  database: Database,
  journal: Journal,
  entries: readonly StoredEntry[],
  by: Writer,
): Promise<string | undefined> {
  const goneOn = await goOn(database, journal, entries, by);
  if (!goneOn) {
    const history = alone(journal, entries);
    await storeNew(database, { history, ...by });
    dropJournal(journal.writer);
    if (journal.project === undefined) return undefined;
    return `Edits of a tab that was closed did not fit what another tab had stored: they are kept as "${nameOf(history)}".`;
  }
  dropJournal(journal.writer);
  return undefined;
}

/** Appends to the stored project, if nobody else has written since; true if so. */
async function goOn(
  database: Database,
  journal: Journal,
  entries: readonly StoredEntry[],
  by: Writer,
): Promise<boolean> {
  const head = entries.find((entry) => entry.id === journal.project)?.head;
  if (head === undefined || head.asideAt !== undefined) return false;
  // The write under way when the page closed may have come through: the journal holds all of it, and more.
  const isNext = head.revision === journal.revision + 1 && head.writer === journal.writer;
  if (head.revision !== journal.revision && !isNext) return false;
  const stored = await readStored(database, head.id);
  if (stored === undefined || !('history' in stored.read)) return false;
  const history = resumed(stored.read.history, journal);
  if (history === undefined) return false;
  const on = { ...stored.read.history, id: head.id, revision: head.revision };
  return (await writeProject(database, { history, on, ...by })).kind === 'saved';
}

function alone(journal: Journal, entries: readonly StoredEntry[]): History {
  const whole = journal.project === undefined ? resumed({ steps: [], at: 0 }, journal) : undefined;
  return whole ?? renamed(openHistory(journal.document), (name) => `${name}, from a closed tab`, entries);
}
