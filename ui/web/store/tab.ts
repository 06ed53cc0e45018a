/**
 * What one tab is called and which project it works on; lives as long as the tab, through reloads.
 *
 * The small storages may be refused: then the tab forgets at a reload, and nothing else happens.
 */

const PROJECT = 'kartwright.project';

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

/** What `action` returns; undefined where the browser refuses it. */
export function quietly<T>(action: () => T): T | undefined {
  try {
    return action();
  } catch {
    return undefined;
  }
}
