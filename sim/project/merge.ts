/**
 * Puts several files together into one project, by id.
 *
 * In: parsed JSON of each file, with its name; a file may hold only tracks, or only donors. Out: one
 * value in the present format, not yet validated (read.ts does that), and the clashes: the same id, or
 * the same field, with different content.
 */
import { COLLECTIONS } from './consistency/references.ts';
import { migrate } from './migrate.ts';
import { childPath, isGroup } from './paths.ts';
import type { Problem } from './problem.ts';
import { problem } from './problem.ts';
import { FORMAT_VERSION } from './schema.ts';

export interface ProjectFile {
  readonly name: string;
  readonly raw: unknown;
}

export interface Merged {
  readonly raw: Record<string, unknown>;
  readonly problems: readonly Problem[];
}

/** Merges files in order. Name and note of the first file stand; an entry given twice must be the same. */
export function mergeProjects(files: readonly ProjectFile[]): Merged {
  const raw: Record<string, unknown> = { kartwright: FORMAT_VERSION };
  const problems: Problem[] = [];
  const from = new Map<string, string>();
  for (const file of files) {
    const migrated = migrate(file.raw);
    for (const p of migrated.problems) problems.push({ ...p, message: `in ${file.name}: ${p.message}` });
    for (const [key, value] of Object.entries(migrated.value ?? {})) {
      if (key === 'kartwright') continue;
      const collection = (COLLECTIONS as readonly string[]).includes(key);
      if (collection && isGroup(value)) {
        const entries = isGroup(raw[key]) ? raw[key] : {};
        define(raw, key, entries);
        for (const [id, entry] of Object.entries(value))
          place(entries, id, entry, childPath(key, id), file.name);
      } else if (key === 'name' || key === 'note' || key === '$schema') {
        if (!Object.hasOwn(raw, key)) define(raw, key, value);
      } else place(raw, key, value, childPath('', key), file.name);
    }
  }
  return { raw, problems };

  function place(
    into: Record<string, unknown>,
    key: string,
    value: unknown,
    path: string,
    file: string,
  ): void {
    if (!Object.hasOwn(into, key)) {
      define(into, key, value);
      from.set(path, file);
    } else if (!sameJson(into[key], value)) {
      problems.push(
        problem('clash', path, `differs between ${from.get(path) ?? 'two files'} and ${file}`, {
          remedy: 'rename one of the two, or make them equal',
        }),
      );
    }
  }
}

/** Sets an own property whatever its name, so that '__proto__' stays plain data. */
function define(into: Record<string, unknown>, key: string, value: unknown): void {
  Object.defineProperty(into, key, { value, enumerable: true, writable: true, configurable: true });
}

/** Equal as JSON, whatever the order of keys. */
function sameJson(a: unknown, b: unknown): boolean {
  if (Array.isArray(a) && Array.isArray(b))
    return a.length === b.length && a.every((item, i) => sameJson(item, b[i]));
  if (isGroup(a) && isGroup(b)) {
    const keys = Object.keys(a);
    return (
      keys.length === Object.keys(b).length &&
      keys.every((key) => Object.hasOwn(b, key) && sameJson(a[key], b[key]))
    );
  }
  return Object.is(a, b);
}
