/**
 * What makes one project of another, for a worker that holds the other: the entries that are not the same objects.
 *
 * In: two projects. Out: the change, or the other way round the project it makes. A caller that edits by copy shares
 * most of a project between two states, and the worker keeps what it has derived from the rest.
 */
import type { Project } from '../sim/index.ts';

export interface ProjectChange {
  /** Parts in place of the old ones. */
  readonly parts: Readonly<Record<string, unknown>>;
  /** Entries in place of the old ones, by part. */
  readonly entries: Readonly<Record<string, Readonly<Record<string, unknown>>>>;
}

type Parts = Readonly<Record<string, unknown>>;

/** Undefined where the two have not the same parts: then the whole is to be sent. */
export function changeBetween(from: Project, to: Project): ProjectChange | undefined {
  const [old, next] = [from as unknown as Parts, to as unknown as Parts];
  if (!sameKeys(old, next)) return undefined;
  const parts: Record<string, unknown> = {};
  const entries: Record<string, Parts> = {};
  for (const [key, part] of Object.entries(next)) {
    const was = old[key];
    if (part === was) continue;
    if (isGroup(part) && isGroup(was) && sameKeys(was, part))
      entries[key] = Object.fromEntries(Object.entries(part).filter(([id, entry]) => entry !== was[id]));
    else parts[key] = part;
  }
  return { parts, entries };
}

export function changed(project: Project, { parts, entries }: ProjectChange): Project {
  const next: Record<string, unknown> = { ...project, ...parts };
  for (const [key, those] of Object.entries(entries)) next[key] = { ...(next[key] as Parts), ...those };
  return next as unknown as Project;
}

/** In the same order: it is the order of the answers. */
function sameKeys(a: Parts, b: Parts): boolean {
  const [one, other] = [Object.keys(a), Object.keys(b)];
  return one.length === other.length && one.every((key, i) => key === other[i]);
}

function isGroup(value: unknown): value is Parts {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
