/** A browser's storage in memory, fresh for each test: database, small storages, tabs that share them. */
import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { afterEach, beforeEach, vi } from 'vitest';
import type { Command, History } from '../../../../ui/web/state/history.ts';
import { applied, openHistory } from '../../../../ui/web/state/history.ts';
import type { Store } from '../../../../ui/web/store/kept-projects.ts';
import { openStore } from '../../../../ui/web/store/store.ts';

/** Sets up fresh storage around each test; returns how to open tabs on it. */
export function useBrowserStorage(): { readonly openTab: (writer?: string) => Promise<Store> } {
  const opened: Store[] = [];
  let time = 1_000_000;
  beforeEach(() => {
    vi.stubGlobal('indexedDB', new IDBFactory());
    vi.stubGlobal('localStorage', smallStorage());
    vi.stubGlobal('sessionStorage', smallStorage());
  });
  afterEach(() => {
    for (const store of opened.splice(0)) store.close();
    vi.unstubAllGlobals();
    vi.restoreAllMocks();
  });
  return {
    async openTab(writer) {
      const store = await openStore({
        now: () => {
          time += 1000;
          return time;
        },
        ...(writer === undefined ? {} : { writer }),
      });
      opened.push(store);
      return store;
    },
  };
}

/** A new tab knows nothing of what another tab's session storage holds. */
export function asNewTab(): void {
  vi.stubGlobal('sessionStorage', smallStorage());
}

export function set(key: string, value: unknown): Command {
  return { label: `${key} ${JSON.stringify(value)}`, apply: (d) => ({ ...d, [key]: value }) };
}

/** A document with `n` set to 1, 2, ... in as many steps. */
export function counted(steps: number, name = 'Clodlet'): History {
  let history = openHistory({ kartwright: 1, name, n: 0, karts: { clodlet: { rear: 48 } } });
  for (let n = 1; n <= steps; n++) history = applied(history, set('n', n));
  return history;
}

function smallStorage(): Storage {
  const held = new Map<string, string>();
  const storage = Object.create(null) as Record<string, string>;
  return new Proxy(storage, {
    get(_target, key) {
      if (key === 'getItem') return (k: string) => held.get(k) ?? null;
      if (key === 'setItem') return (k: string, v: string) => void held.set(k, String(v));
      if (key === 'removeItem') return (k: string) => void held.delete(k);
      if (key === 'length') return held.size;
      return held.get(String(key));
    },
    ownKeys: () => [...held.keys()],
    getOwnPropertyDescriptor: (_target, key) => ({
      value: held.get(String(key)),
      enumerable: true,
      configurable: true,
    }),
  }) as unknown as Storage;
}
