/**
 * What merging another project into this one would do, entry by entry, before it is done.
 *
 * In: both documents and what was decided about entries they both have. Out: the list of what is added, replaced,
 * renamed or left, the merged document, and what the reader says of it. Where both have an entry with different
 * content, mine stands until decided otherwise. Pure; neither document is changed.
 */
import type { ProjectRead } from '../../../sim/index.ts';
import { mergeProjects, readProjectValue } from '../../../sim/index.ts';
import type { ProjectDocument } from '../state/document.ts';
import { patchBetween } from '../state/patch.ts';
import type { Collection } from './references.ts';
import { COLLECTIONS, entriesOf, freeId, withNewId } from './references.ts';

export type Decision = 'mine' | 'theirs' | 'both';
export type Fate = 'added' | 'replaced' | 'renamed' | 'left' | 'same';

export interface MergeLine {
  /** `karts.clodlet`, or `units` for a part without ids. */
  readonly path: string;
  readonly collection: Collection | 'project';
  readonly name: string;
  readonly fate: Fate;
  /** What may be chosen; empty where there is nothing to choose. */
  readonly choices: readonly Decision[];
  /** Where it is renamed. */
  readonly newId?: string;
}

export interface MergePreview {
  readonly lines: readonly MergeLine[];
  readonly document: ProjectDocument;
  readonly read: ProjectRead;
}

/** By the path of a line. */
export type Decisions = ReadonlyMap<string, Decision>;

/** Of the file as a whole, not of the karts: mine stand. */
const OF_THE_FILE = ['$schema', 'kartwright', 'name', 'note'];

export function previewMerge(
  mine: ProjectDocument,
  theirs: ProjectDocument,
  decisions: Decisions = new Map(),
): MergePreview {
  const lines: MergeLine[] = [];
  let [ours, incoming] = [mine, theirs];
  for (const collection of COLLECTIONS) {
    const [old, fresh] = [entriesOf(mine, collection), entriesOf(theirs, collection)];
    for (const [id, entry] of Object.entries(fresh)) {
      const path = `${collection}.${id}`;
      const clashes = Object.hasOwn(old, id) && !isSame(old[id], entry);
      const decision = clashes ? (decisions.get(path) ?? 'mine') : 'mine';
      const newId = decision === 'both' ? freeId(id, [old, fresh]) : undefined;
      if (newId !== undefined) incoming = withNewId(incoming, collection, id, newId);
      else if (decision === 'theirs') ours = withEntry(ours, collection, id, entry);
      lines.push({
        path,
        collection,
        name: nameOf(entry, id),
        fate: clashes ? FATES[decision] : Object.hasOwn(old, id) ? 'same' : 'added',
        choices: clashes ? ['mine', 'theirs', 'both'] : [],
        ...(newId === undefined ? {} : { newId }),
      });
    }
  }
  for (const [key, value] of Object.entries(theirs)) {
    if (OF_THE_FILE.includes(key) || isCollection(key)) continue;
    const clashes = Object.hasOwn(mine, key) && !isSame(mine[key], value);
    const decision = clashes && decisions.get(key) === 'theirs' ? 'theirs' : 'mine';
    if (decision === 'theirs') ours = { ...ours, [key]: value };
    lines.push({
      path: key,
      collection: 'project',
      name: key,
      fate: clashes ? FATES[decision] : Object.hasOwn(mine, key) ? 'same' : 'added',
      choices: clashes ? ['mine', 'theirs'] : [],
    });
  }
  const document = mergeProjects([
    { name: 'this project', raw: ours },
    { name: 'the other one', raw: withoutSettled(incoming, ours) },
  ]).raw;
  return { lines, document, read: readProjectValue(document) };
}

const FATES: Readonly<Record<Decision, Fate>> = { mine: 'left', theirs: 'replaced', both: 'renamed' };

/** What is left of theirs to be added: whatever mine has by now is settled. */
function withoutSettled(theirs: ProjectDocument, ours: ProjectDocument): ProjectDocument {
  const rest = Object.entries(theirs).flatMap(([key, value]): [string, unknown][] => {
    if (key === 'kartwright') return [[key, value]];
    if (!isCollection(key)) return Object.hasOwn(ours, key) ? [] : [[key, value]];
    const settled = entriesOf(ours, key);
    const open = Object.entries(entriesOf(theirs, key)).filter(([id]) => !Object.hasOwn(settled, id));
    return [[key, Object.fromEntries(open)]];
  });
  return Object.fromEntries(rest);
}

function withEntry(
  document: ProjectDocument,
  collection: string,
  id: string,
  entry: unknown,
): ProjectDocument {
  return { ...document, [collection]: { ...entriesOf(document, collection), [id]: entry } };
}

function isCollection(key: string): key is Collection {
  return (COLLECTIONS as readonly string[]).includes(key);
}

/** Equal as JSON; a matter of content, so the order of keys counts for nothing. */
function isSame(a: unknown, b: unknown): boolean {
  return patchBetween(inOrder(a), inOrder(b)).length === 0;
}

function inOrder(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(inOrder);
  if (typeof value !== 'object' || value === null) return value;
  const entries = Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1));
  return Object.fromEntries(entries.map(([key, item]) => [key, inOrder(item)]));
}

function nameOf(entry: unknown, id: string): string {
  const name = typeof entry === 'object' && entry !== null ? (entry as { name?: unknown }).name : undefined;
  return typeof name === 'string' && name !== '' ? name.slice(0, 120) : id;
}
