/**
 * The projects kept in this browser, and the one this tab works on.
 *
 * In: histories and sessions to keep. Out: signals saying what is kept, what stands in the way and which projects
 * there are. Two tabs never overwrite each other: who comes second is told and chooses. Whatever the storage does,
 * nothing here throws. Knows nothing of views.
 */
import { signal } from '@preact/signals';
import type { Problem } from '../../../sim/index.ts';
import { problem } from '../../../sim/index.ts';
import type { History } from '../state/history.ts';
import type { Database } from './database.ts';
import { cannotKeep, everythingStored, openDatabase } from './database.ts';
import { dropJournal, foundJournals, journalOf, writeJournal } from './journal.ts';
import type { Loaded, Store, Storing } from './kept-projects.ts';
import { renamed } from './project-name.ts';
import type { Session, StoredEntry } from './records.ts';
import { messageOf } from './records.ts';
import type { Saved } from './shelf.ts';
import {
  discardStored,
  lastVisited,
  listStored,
  rawRecords,
  readSession,
  readStored,
  setAside,
  storeNew,
  writeProject,
  writeVisit,
} from './shelf.ts';
import { newId, projectOfTab, rememberProject, rememberSession, takeSession } from './tab.ts';
import { takeUp } from './take-up.ts';

export interface StoreOptions {
  readonly now?: () => number;
  /** The name this tab signs with. */
  readonly writer?: string;
  readonly patience?: number;
}

export async function openStore(options: StoreOptions = {}): Promise<Store> {
  const now = options.now ?? Date.now;
  const writer = options.writer ?? newId();
  const storing = signal<Storing>({ kind: 'nothing' });
  const projects = signal<readonly StoredEntry[]>([]);
  const current = signal<string | undefined>(undefined);
  const remarks = signal<readonly string[]>([]);

  let database: Database | undefined;
  let saved: Saved | undefined;
  /** As written last: sessions with pins are large, and change less often than the document. */
  let visit: { readonly id: string; readonly session: Session } | undefined;
  let queue: Promise<unknown> = Promise.resolve();

  const opened = await openDatabase({
    onTakenOver() {
      database = undefined;
      storing.value = {
        kind: 'not-kept',
        problem: cannotKeep('storage-taken', 'is in use by a newer Kartwright in another tab'),
      };
    },
    onLost() {
      database = undefined;
      storing.value = {
        kind: 'not-kept',
        problem: cannotKeep('storage-lost', 'was closed, perhaps because site data were cleared'),
      };
    },
    ...(options.patience === undefined ? {} : { patience: options.patience }),
  });
  if ('database' in opened) database = opened.database;
  else storing.value = { kind: 'not-kept', problem: opened.problem };

  const channel =
    typeof BroadcastChannel === 'undefined' || database === undefined
      ? undefined
      : new BroadcastChannel('kartwright');
  const tell = (): void => channel?.postMessage('changed');
  if (channel !== undefined) channel.onmessage = () => void refresh();

  /** One thing after the other, so that a look at the list never meets a half-done write. Never rejects. */
  const inTurn = <T>(action: (db: Database) => Promise<T>): Promise<T | undefined> => {
    const turn = queue.then(async () => {
      if (database === undefined) return undefined;
      try {
        return await action(database);
      } catch (error) {
        storing.value = { kind: 'failed', problem: writeTrouble(error) };
        return undefined;
      }
    });
    queue = turn;
    return turn;
  };

  const look = async (db: Database): Promise<void> => {
    projects.value = await listStored(db);
    if (saved === undefined || saved.revision === 0) return;
    const mine = projects.value.find((entry) => entry.id === saved?.id)?.head;
    if (mine?.revision === saved.revision && mine.asideAt === undefined) return;
    storing.value = conflict(mine);
  };
  const refresh = async (): Promise<void> => void (await inTurn(look));

  const conflict = (head: { savedAt: number; asideAt?: number } | undefined): Storing =>
    head === undefined || head.asideAt !== undefined
      ? { kind: 'conflict' }
      : { kind: 'conflict', at: head.savedAt };

  const become = (id: string | undefined, known: Saved | undefined): void => {
    saved = known;
    current.value = id;
    if (id !== visit?.id) visit = undefined;
    rememberProject(id);
  };

  const isKept = (history: History): boolean =>
    saved === undefined
      ? current.peek() === undefined && history.steps.length === 1
      : saved.steps === history.steps && saved.at === history.at;

  const addNew = (db: Database, history: History): Promise<Saved | undefined> =>
    storeNew(db, { history, writer, now: now() });

  const load = async (id?: string): Promise<Loaded> => {
    let known: string | undefined;
    if (database === undefined) return { kind: 'none', session: takeSession(undefined) ?? {} };
    const nothing: Loaded = { kind: 'none', session: {} };
    const turn = queue.then(async (): Promise<Loaded> => {
      const db = database;
      if (db === undefined) return nothing;
      try {
        projects.value = await listStored(db);
        if (id === undefined) {
          const journals = foundJournals();
          for (const journal of journals) {
            const remark = await takeUp(db, journal, projects.peek(), { writer, now: now() });
            if (remark !== undefined) remarks.value = [...remarks.peek(), remark];
          }
          if (journals.length > 0) {
            projects.value = await listStored(db);
            tell();
          }
        }
        const isOpen = (wanted: string | undefined): boolean =>
          projects.peek().some((entry) => entry.id === wanted && entry.head?.asideAt === undefined);
        const ofTab = projectOfTab();
        known = id ?? (isOpen(ofTab) ? ofTab : await lastVisited(db));
        const session = takeSession(known) ?? (await readSession(db, known ?? '').catch(() => ({})));
        if (known === undefined) {
          become(undefined, undefined);
          storing.value = { kind: 'nothing' };
          return { kind: 'none', session };
        }
        const stored = await readStored(db, known);
        if (stored === undefined || !('history' in stored.read)) {
          const trouble = stored?.read ?? {
            problem: problem('missing', '', 'the stored project is not there any more'),
          };
          become(undefined, undefined);
          return { kind: 'unreadable', id: known, ...(trouble as { problem: Problem; salvage?: History }) };
        }
        const { history } = stored.read;
        const head = projects.peek().find((entry) => entry.id === known)?.head;
        become(known, { ...history, id: known, revision: head?.revision ?? 0 });
        storing.value = { kind: 'kept', at: head?.savedAt ?? now() };
        return { kind: 'document', id: known, history, session };
      } catch (error) {
        become(undefined, undefined);
        const trouble = problem('unreadable', '', `what is stored cannot be read: ${messageOf(error)}`, {
          remedy: 'save what is stored as a file before anything else',
        });
        return { kind: 'unreadable', problem: trouble, ...(known === undefined ? {} : { id: known }) };
      }
    });
    queue = turn;
    return turn;
  };

  const write = async (db: Database, history: History): Promise<void> => {
    if (storing.peek().kind === 'conflict' || isKept(history)) return;
    storing.value = { kind: 'saving' };
    const on = saved ?? { id: current.peek() ?? newId() };
    const written = await writeProject(db, { history, on, writer, now: now() });
    if (written.kind === 'conflict') {
      storing.value = conflict(written.head);
      return;
    }
    become(written.saved.id, written.saved);
    storing.value = { kind: 'kept', at: written.head.savedAt };
    projects.value = [
      { id: on.id, head: written.head },
      ...projects.peek().filter((entry) => entry.id !== on.id),
    ];
    dropJournal(writer);
    tell();
  };

  const changeList = async (action: (db: Database) => Promise<unknown>): Promise<void> => {
    await inTurn(async (db) => {
      await action(db);
      await look(db);
      tell();
    });
  };

  /** Appends a step to a stored project, or stores the result as a new one. */
  const rewrite = (id: string, name: (old: string) => string, asNew: boolean): Promise<void> =>
    changeList(async (db) => {
      const stored = await readStored(db, id);
      if (stored === undefined || !('history' in stored.read)) return;
      const history = renamed(stored.read.history, name, asNew ? projects.peek() : []);
      const head = projects.peek().find((entry) => entry.id === id)?.head;
      if (asNew) await addNew(db, history);
      else if (head !== undefined) {
        const on = { ...stored.read.history, id, revision: head.revision };
        await writeProject(db, { history, on, writer, now: now() });
      }
    });

  return {
    storing,
    projects,
    current,
    remarks,
    load,
    isKept,
    async save(history, session) {
      await inTurn(async (db) => {
        await write(db, history);
        const id = current.peek() ?? '';
        if (storing.peek().kind === 'conflict' || (visit?.id === id && visit.session === session)) return;
        visit = { id, session };
        await writeVisit(db, { id, session, openedAt: now() });
      });
    },
    async add(history) {
      if (database === undefined)
        return cannotKeep('storage-missing', 'is not there, so there is one project at a time');
      const added = await inTurn((db) => addNew(db, history));
      await refresh();
      tell();
      const state = storing.peek();
      return added?.id ?? (state.kind === 'failed' ? state.problem : writeTrouble(undefined));
    },
    branch() {
      become(newId(), undefined);
      storing.value = { kind: 'saving' };
    },
    async yieldToOther(history) {
      if (isKept(history)) return;
      await changeList((db) =>
        storeNew(db, {
          history: renamed(history, (name) => `${name}, set aside`, projects.peek()),
          writer,
          now: now(),
          asideAt: now(),
        }),
      );
    },
    leaveCurrent() {
      become(undefined, undefined);
      if (storing.peek().kind !== 'not-kept') storing.value = { kind: 'nothing' };
    },
    read: (id) => inTurn(async (db) => (await readStored(db, id))?.read),
    rename: (id, name) => rewrite(id, () => name, false),
    duplicate: (id) => rewrite(id, (name) => `${name}, copy`, true),
    putAside: (id) => changeList((db) => setAside(db, id, now(), writer)),
    takeBack: (id) => changeList((db) => setAside(db, id, undefined, writer)),
    discard: (id) => changeList((db) => discardStored(db, id)),
    async raw(id) {
      if (id === undefined || database === undefined) return everythingStored();
      return rawRecords(database, id);
    },
    refresh,
    leave(history, session) {
      rememberSession(current.peek(), session);
      if (isKept(history)) return true;
      return writeJournal(journalOf(history, saved, writer, now()));
    },
    close() {
      channel?.close();
      database?.close();
      database = undefined;
    },
  };
}

function writeTrouble(error: unknown): Problem {
  if (error instanceof Error && error.name === 'QuotaExceededError') {
    return problem('storage-full', '', "the last edits are not kept: the browser's storage is full", {
      remedy: 'save the project as a file, then discard projects you no longer need',
    });
  }
  return problem('storage-failed', '', `the last edits are not kept: ${messageOf(error).slice(0, 160)}`, {
    remedy: 'save the project as a file; the next edit tries again',
  });
}
