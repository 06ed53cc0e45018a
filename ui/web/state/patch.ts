/**
 * What changed between two documents, as a small list, and how to put it into a document again.
 *
 * In: two JSON values, or a value and a patch. Out: a patch; or a copy with it applied that shares every part the
 * patch does not touch. Parts that are the same object are not looked into, so the cost is that of the change.
 * Knows nothing of what the values mean.
 */
import type { Place } from './document.ts';

/** One change. `to` absent: the key is removed. `cut`: in the list at `at`, that many items from `from` on make way. */
export type Change =
  | { readonly at: Place; readonly to?: unknown }
  | { readonly at: Place; readonly from: number; readonly cut: number; readonly put: readonly unknown[] };

export type Patch = readonly Change[];

type Group = Readonly<Record<string, unknown>>;

export function patchBetween(before: unknown, after: unknown): Patch {
  const changes: Change[] = [];
  compare([], before, after, changes);
  return changes;
}

/** Throws where the patch leads to a place the value does not have: it belongs to another value. */
export function patched<T>(value: T, patch: Patch): T {
  return patch.reduce<unknown>((here, change) => changed(here, change.at, change), value) as T;
}

function compare(at: Place, before: unknown, after: unknown, changes: Change[]): void {
  if (Object.is(before, after)) return;
  if (Array.isArray(before) && Array.isArray(after)) compareLists(at, before, after, changes);
  else if (isGroup(before) && isGroup(after) && sameOrder(before, after))
    compareGroups(at, before, after, changes);
  else changes.push({ at, to: after });
}

function compareGroups(at: Place, before: Group, after: Group, changes: Change[]): void {
  for (const key of Object.keys(before)) {
    if (!Object.hasOwn(after, key)) changes.push({ at: [...at, key] });
  }
  for (const [key, item] of Object.entries(after)) {
    if (Object.hasOwn(before, key)) compare([...at, key], before[key], item, changes);
    else changes.push({ at: [...at, key], to: item });
  }
}

/** Equal items at both ends stay; as many as make way are compared one by one where the length stays. */
function compareLists(
  at: Place,
  before: readonly unknown[],
  after: readonly unknown[],
  changes: Change[],
): void {
  if (before.length === after.length) {
    for (const [i, item] of after.entries()) compare([...at, i], before[i], item, changes);
    return;
  }
  const most = Math.min(before.length, after.length);
  let head = 0;
  while (head < most && sameValue(before[head], after[head])) head++;
  let tail = 0;
  while (tail < most - head && sameValue(before.at(-1 - tail), after.at(-1 - tail))) tail++;
  const put = after.slice(head, after.length - tail);
  changes.push({ at, from: head, cut: before.length - tail - head, put });
}

function sameValue(a: unknown, b: unknown): boolean {
  return Object.is(a, b) || patchBetween(a, b).length === 0;
}

/** Whether removing and appending keys leads from one order to the other: lists of choices follow the order. */
function sameOrder(before: Group, after: Group): boolean {
  const kept = Object.keys(before).filter((key) => Object.hasOwn(after, key));
  const keys = Object.keys(after);
  return kept.every((key, i) => keys[i] === key);
}

function changed(here: unknown, place: Place, change: Change): unknown {
  const [key, ...rest] = place;
  if (key === undefined) return 'put' in change ? spliced(here, change) : change.to;
  if (Array.isArray(here)) {
    if (typeof key !== 'number' || !(key in here)) throw lost(change);
    const copy: unknown[] = [...here];
    copy[key] = changed(here[key], rest, change);
    return copy;
  }
  if (!isGroup(here)) throw lost(change);
  if (rest.length > 0 && !Object.hasOwn(here, key)) throw lost(change);
  if (rest.length === 0 && !('to' in change) && !('put' in change)) {
    return Object.fromEntries(Object.entries(here).filter(([k]) => k !== String(key)));
  }
  return { ...here, [key]: changed(here[key], rest, change) };
}

function spliced(here: unknown, change: Extract<Change, { put: unknown }>): readonly unknown[] {
  if (!Array.isArray(here) || change.from + change.cut > here.length) throw lost(change);
  return [...here.slice(0, change.from), ...change.put, ...here.slice(change.from + change.cut)];
}

function isGroup(value: unknown): value is Group {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function lost(change: Change): Error {
  return new Error(`patched: there is no place ${change.at.join('.')} in this value`);
}
