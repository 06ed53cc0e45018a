/**
 * The browser's storage, opened: which tables there are, and what to make of it when it cannot be had.
 *
 * Out: an open database, or the reason in words. Storage may be refused, missing, locked by another tab, of a newer
 * program, or never answer; the page starts all the same.
 */
import type { DBSchema, IDBPDatabase } from 'idb';
import { openDB } from 'idb';
import type { Problem } from '../../../sim/index.ts';
import { problem } from '../../../sim/index.ts';
import { messageOf, type StepRecord, type Visit } from './records.ts';

const NAME = 'kartwright';
const LAYOUT = 1;
/** ms. Opening takes 5 to 50; a page that waits longer than this would seem dead. */
const PATIENCE = 3000;

interface Tables extends DBSchema {
  /** What is found there is checked before it counts as a `Head`. */
  heads: { key: string; value: { readonly id: string } };
  steps: { key: [string, number]; value: StepRecord };
  visits: { key: string; value: Visit };
}

export type Database = IDBPDatabase<Tables>;

export interface DatabaseOptions {
  /** Another tab or program asks for the database in a newer layout: this one has let go of it. */
  readonly onTakenOver: () => void;
  /** The browser closed it, as when site data is cleared. */
  readonly onLost: () => void;
  readonly patience?: number;
}

export type Opened = { readonly database: Database } | { readonly problem: Problem };

export async function openDatabase({
  onTakenOver,
  onLost,
  patience = PATIENCE,
}: DatabaseOptions): Promise<Opened> {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const tooLate = new Promise<Opened>((resolve) => {
    timer = setTimeout(() => resolve({ problem: cannotKeep('storage-silent', 'did not answer') }), patience);
  });
  try {
    return await Promise.race([open(onTakenOver, onLost), tooLate]);
  } catch (error) {
    return { problem: openingTrouble(error) };
  } finally {
    clearTimeout(timer);
  }
}

async function open(onTakenOver: () => void, onLost: () => void): Promise<Opened> {
  if (typeof indexedDB === 'undefined')
    return { problem: cannotKeep('storage-missing', 'is not there in this browser or mode') };
  const database = await openDB<Tables>(NAME, LAYOUT, {
    upgrade(fresh) {
      fresh.createObjectStore('heads', { keyPath: 'id' });
      fresh.createObjectStore('steps', { keyPath: ['project', 'index'] });
      fresh.createObjectStore('visits', { keyPath: 'id' });
    },
    blocking(_current, _wanted, event) {
      (event.target as IDBDatabase).close();
      onTakenOver();
    },
    terminated: onLost,
  });
  return { database };
}

/** Everything that is stored, whatever the layout, for a raw download. */
export async function everythingStored(): Promise<Record<string, unknown>> {
  const database = await openDB(NAME);
  try {
    const tables: Record<string, unknown> = {};
    for (const name of database.objectStoreNames) tables[name] = await database.getAll(name);
    return { database: NAME, layout: database.version, tables };
  } finally {
    database.close();
  }
}

function openingTrouble(error: unknown): Problem {
  const name = error instanceof Error ? error.name : '';
  if (name === 'VersionError') {
    return problem('newer-version', '', 'projects were stored by a newer Kartwright; they were not touched', {
      limit: String(LAYOUT),
      remedy: 'reload the page to have the newer one; until then save your work as a file',
    });
  }
  return cannotKeep('storage-refused', `was refused (${messageOf(error).slice(0, 120)})`);
}

export function cannotKeep(code: string, what: string): Problem {
  return problem(code, '', `edits will not be kept: the browser's storage ${what}`, {
    remedy: 'save your work as a file before you close the page, or leave private mode',
  });
}
