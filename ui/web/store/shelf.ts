/**
 * Stored projects: reading, writing, listing, putting aside and discarding them, each in one transaction.
 *
 * In: an open database. Out: plain data. A write names the revision it builds on; where the stored one is another,
 * nothing is written and the writer is told. Only steps that are new are written. Knows nothing of pages.
 */
import type { History, Step } from '../state/history.ts';
import type { Database } from './database.ts';
import { nameOf } from './project-name.ts';
import type { Head, HistoryRead, Session, StoredEntry, Visit } from './records.ts';
import { historyOf, isHead, RECORD_FORMAT, stepRecords } from './records.ts';
import { newId } from './tab.ts';

/** What is known to be stored of a project. */
export interface Saved {
  readonly id: string;
  readonly revision: number;
  readonly steps: readonly Step[];
  readonly at: number;
}

export type Written =
  | { readonly kind: 'saved'; readonly saved: Saved; readonly head: Head }
  /** Somebody else has written since. `head`: what is there now; absent where the project is gone. */
  | { readonly kind: 'conflict'; readonly head?: Head };

export interface WriteOrder {
  readonly history: History;
  /** What this builds on; only the id where the project is new. */
  readonly on: Saved | { readonly id: string };
  readonly writer: string;
  /** ms since 1970 */
  readonly now: number;
}

export async function writeProject(
  database: Database,
  { history, on, writer, now }: WriteOrder,
): Promise<Written> {
  const known = 'revision' in on ? on : { ...on, revision: 0, steps: [], at: 0 };
  const tx = database.transaction(['heads', 'steps'], 'readwrite');
  const [heads, steps] = [tx.objectStore('heads'), tx.objectStore('steps')];
  const found = await heads.get(on.id);
  const revision = isHead(found) ? found.revision : 0;
  if (revision !== known.revision || (found !== undefined && !isHead(found))) {
    await tx.done;
    return { kind: 'conflict', ...(isHead(found) ? { head: found } : {}) };
  }
  const head: Head = {
    id: on.id,
    format: RECORD_FORMAT,
    name: nameOf(history),
    at: history.at,
    steps: history.steps.length,
    revision: known.revision + 1,
    writer,
    savedAt: now,
  };
  const from = firstDifference(known.steps, history.steps);
  const writes: Promise<unknown>[] = stepRecords(on.id, history.steps, from).map((step) => steps.put(step));
  if (known.steps.length > history.steps.length)
    writes.push(steps.delete(stepRange(on.id, history.steps.length)));
  writes.push(heads.put(head));
  await Promise.all([...writes, tx.done]);
  return { kind: 'saved', head, saved: { ...history, id: on.id, revision: head.revision } };
}

/** Stores a history as a new project, put aside at once where so wanted; undefined where it was refused. */
export async function storeNew(
  database: Database,
  { asideAt, ...order }: Omit<WriteOrder, 'on'> & { readonly asideAt?: number },
): Promise<Saved | undefined> {
  const written = await writeProject(database, { ...order, on: { id: newId() } });
  if (written.kind !== 'saved') return undefined;
  if (asideAt !== undefined) await setAside(database, written.saved.id, asideAt, order.writer);
  return written.saved;
}

/** The history of a stored project; undefined where there is none of that id. */
export async function readStored(
  database: Database,
  id: string,
): Promise<{ readonly head: unknown; readonly read: HistoryRead } | undefined> {
  const tx = database.transaction(['heads', 'steps']);
  const [head, steps] = await Promise.all([
    tx.objectStore('heads').get(id) as Promise<unknown>,
    tx.objectStore('steps').getAll(stepRange(id, 0)) as Promise<readonly unknown[]>,
    tx.done,
  ]);
  if (head === undefined && steps.length === 0) return undefined;
  return { head, read: historyOf(head, steps) };
}

/** Every stored project, the one saved last first. */
export async function listStored(database: Database): Promise<readonly StoredEntry[]> {
  const found = await database.getAll('heads');
  const entries = found.map((raw) => (isHead(raw) ? { id: raw.id, head: raw } : { id: raw.id }));
  return entries.sort((a, b) => (b.head?.savedAt ?? 0) - (a.head?.savedAt ?? 0));
}

/** Puts a project aside, or takes it back with `asideAt` undefined. Other tabs that have it open will notice. */
export async function setAside(
  database: Database,
  id: string,
  asideAt: number | undefined,
  writer: string,
): Promise<void> {
  const tx = database.transaction('heads', 'readwrite');
  const found = await tx.store.get(id);
  if (isHead(found)) {
    const { asideAt: _, ...head } = found;
    const next: Head = { ...head, revision: head.revision + 1, writer };
    await tx.store.put(asideAt === undefined ? next : ({ ...next, asideAt } satisfies Head));
  }
  await tx.done;
}

export async function discardStored(database: Database, id: string): Promise<void> {
  const tx = database.transaction(['heads', 'steps', 'visits'], 'readwrite');
  await Promise.all([
    tx.objectStore('heads').delete(id),
    tx.objectStore('steps').delete(stepRange(id, 0)),
    tx.objectStore('visits').delete(id),
    tx.done,
  ]);
}

/** The records of one project as they are, damaged or not. */
export async function rawRecords(database: Database, id: string): Promise<Record<string, unknown>> {
  const tx = database.transaction(['heads', 'steps', 'visits']);
  const [head, steps, visit] = await Promise.all([
    tx.objectStore('heads').get(id),
    tx.objectStore('steps').getAll(stepRange(id, 0)),
    tx.objectStore('visits').get(id),
    tx.done,
  ]);
  return { head, steps, visit };
}

export async function writeVisit(database: Database, visit: Visit): Promise<void> {
  await database.put('visits', visit);
}

export async function readSession(database: Database, id: string): Promise<Session> {
  const session: unknown = (await database.get('visits', id))?.session;
  return typeof session === 'object' && session !== null ? (session as Session) : {};
}

/** The project looked at last, of those that are stored and not put aside. */
export async function lastVisited(database: Database): Promise<string | undefined> {
  const [visits, heads] = await Promise.all([database.getAll('visits'), listStored(database)]);
  const open = heads.filter(({ head }) => head?.asideAt === undefined);
  const openedAt = new Map(visits.map((visit) => [visit.id, visit.openedAt]));
  const latest = (entry: StoredEntry): number =>
    Math.max(openedAt.get(entry.id) ?? 0, entry.head?.savedAt ?? 0);
  return [...open].sort((a, b) => latest(b) - latest(a))[0]?.id;
}

function firstDifference(a: readonly Step[], b: readonly Step[]): number {
  let same = 0;
  while (same < a.length && same < b.length && a[same] === b[same]) same++;
  return same;
}

function stepRange(id: string, from: number): IDBKeyRange {
  return IDBKeyRange.bound([id, from], [id, Number.MAX_SAFE_INTEGER]);
}
