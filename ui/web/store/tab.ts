/**
 * What one tab is called, which project it works on and what it looked at last; lives as long as the tab, through
 * reloads.
 *
 * The small storages may be refused: then the tab forgets at a reload, and nothing else happens.
 */

import type { Session } from './records.ts';

const PROJECT = 'kartwright.project';
const LOOKED_AT = 'kartwright.looked-at';

export function newId(): string {
  const random = globalThis.crypto?.getRandomValues?.(new Uint32Array(3)) ?? [Math.random() * 2 ** 32];
  return [...random].map((part) => Math.floor(part).toString(36)).join('');
}

export function projectOfTab(): string | undefined {
  return quietly(() => sessionStorage.getItem(PROJECT)) ?? undefined;
}

export function rememberProject(id: string | undefined): void {
  quietly(() =>
    id === undefined ? sessionStorage.removeItem(PROJECT) : sessionStorage.setItem(PROJECT, id),
  );
}

/** Written as the page goes, for a write to the database may be cut short then. */
export function rememberSession(project: string | undefined, session: Session): void {
  quietly(() => sessionStorage.setItem(LOOKED_AT, JSON.stringify({ project: project ?? '', session })));
}

/** What this tab looked at when it was left, once; undefined where that was another project. */
export function takeSession(project: string | undefined): Session | undefined {
  return quietly(() => {
    const { project: of, session } = JSON.parse(sessionStorage.getItem(LOOKED_AT) ?? '{}');
    sessionStorage.removeItem(LOOKED_AT);
    // A project may have got its id from what the closing page left unstored.
    const isOf = of === '' || of === project;
    return isOf && typeof session === 'object' && session !== null ? (session as Session) : undefined;
  });
}

/** What `action` returns; undefined where the browser refuses it. */
export function quietly<T>(action: () => T): T | undefined {
  try {
    return action();
  } catch {
    return undefined;
  }
}
