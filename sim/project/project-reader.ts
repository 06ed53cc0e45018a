/**
 * Reads one project again and again while it is being edited, reading only the entries that changed.
 *
 * In: parsed JSON whose unchanged entries are the same objects as the time before (a document edited by copy). Out: what
 * `readProjectValue` gives for it, always; a change it cannot follow is read whole. Entries that did not change keep
 * their identity in the project, so that what is derived from them need not be made anew. Keeps its own memory; two
 * readers know nothing of each other.
 */
import * as v from 'valibot';
import type { Collection } from './consistency/references.ts';
import { COLLECTIONS } from './consistency/references.ts';
import { checkConsistency, type EntryChecks, entryChecks, idsOf } from './consistency.ts';
import { shapeProblems } from './issues.ts';
import type { InputNote } from './origins.ts';
import { collectOrigins } from './origins.ts';
import { isGroup } from './paths.ts';
import { isBlocking } from './problem.ts';
import type { ProjectRead } from './read.ts';
import { LISTED, readProjectValue } from './read.ts';
import type { Project, ProjectInput } from './schema.ts';
import { FORMAT_VERSION, projectSchema } from './schema.ts';

export interface ProjectReader {
  read(raw: unknown): ProjectRead;
}

interface Entry {
  readonly raw: unknown;
  readonly read: unknown;
  readonly notes: readonly InputNote[];
}

interface Memory {
  readonly raw: Readonly<Record<string, unknown>>;
  readonly project: Project;
  readonly entries: Readonly<Record<Collection, ReadonlyMap<string, Entry>>>;
  /** Of everything that is no entry of a collection. */
  readonly restNotes: readonly InputNote[];
}

export function createProjectReader(): ProjectReader {
  let memory: Memory | undefined;
  const checks = entryChecks();
  return {
    read(raw) {
      const next = memory === undefined ? undefined : follow(memory, raw, checks);
      if (next !== undefined) {
        memory = next.memory;
        return next.read;
      }
      const read = readProjectValue(raw);
      // Kept through states that cannot be read: the next one is likely to differ from the last good one by little.
      if (read.project !== undefined && isPresent(raw)) memory = memoryOf(raw, read.project);
      return read;
    },
  };
}

/** In the present format: nothing was migrated, so that `raw` is what was read. */
function isPresent(raw: unknown): raw is Record<string, unknown> {
  return isGroup(raw) && raw['kartwright'] === FORMAT_VERSION;
}

function memoryOf(raw: Record<string, unknown>, project: Project): Memory {
  const entries = Object.fromEntries(
    COLLECTIONS.map((kind) => {
      const group = raw[kind];
      const list = isGroup(group) ? Object.entries(group) : [];
      return [
        kind,
        new Map(
          list.map(([id, entry]): [string, Entry] => [
            id,
            { raw: entry, read: project[kind][id], notes: collectOrigins({ [kind]: { [id]: entry } }) },
          ]),
        ),
      ];
    }),
  ) as unknown as Memory['entries'];
  return { raw, project, entries, restNotes: collectOrigins(restOf(raw)) };
}

/** The new state where it differs from the old in whole, sound entries only; undefined where it must be read whole. */
function follow(
  memory: Memory,
  raw: unknown,
  checks: EntryChecks,
): { read: ProjectRead; memory: Memory } | undefined {
  if (!isPresent(raw) || !sameRest(memory.raw, raw)) return undefined;
  const changed: Record<string, Record<string, unknown>> = {};
  for (const kind of COLLECTIONS) {
    const group = raw[kind];
    if (group === memory.raw[kind]) continue;
    if (!isGroup(group)) return undefined;
    for (const [id, entry] of Object.entries(group)) {
      if (memory.entries[kind].get(id)?.raw === entry) continue;
      changed[kind] ??= {};
      changed[kind][id] = entry;
    }
  }
  const part = { kartwright: FORMAT_VERSION, ...changed };
  const parsed = v.safeParse(projectSchema, part);
  if (!parsed.success || shapeProblems(part, []).length > 0) return undefined;

  const entries: Record<string, ReadonlyMap<string, Entry>> = {};
  const groups: Record<string, Record<string, unknown>> = {};
  for (const kind of COLLECTIONS) {
    const group = raw[kind];
    if (group === memory.raw[kind]) {
      entries[kind] = memory.entries[kind];
      groups[kind] = memory.project[kind];
      continue;
    }
    const now = new Map<string, Entry>();
    for (const [id, entry] of Object.entries(group as Record<string, unknown>)) {
      const old = memory.entries[kind].get(id);
      now.set(
        id,
        old !== undefined && old.raw === entry
          ? old
          : {
              raw: entry,
              read: parsed.output[kind][id],
              notes: collectOrigins({ [kind]: { [id]: entry } }),
            },
      );
    }
    if (now.size > MOST_ENTRIES) return undefined;
    entries[kind] = now;
    groups[kind] = Object.fromEntries([...now].map(([id, { read }]) => [id, read]));
  }
  const project = { ...memory.project, ...groups } as Project;
  const next: Memory = {
    raw,
    project,
    entries: entries as Memory['entries'],
    restNotes: memory.restNotes,
  };
  const notes = notesOf(next);
  const problems = checkConsistency(project, idsOf(project), notes, checks);
  if (problems.length > LISTED) return undefined;
  if (isBlocking(problems)) return { read: { problems, notes: [] }, memory: next };
  return { read: { project, input: raw as unknown as ProjectInput, problems, notes }, memory: next };
}

/** As many entries of a kind as the schema allows; more is read whole and refused there. */
const MOST_ENTRIES = 200;

/** In the order the whole file would give them: collections as the schema lists them, then the rest. */
function notesOf({ entries, restNotes }: Memory): InputNote[] {
  return [
    ...COLLECTIONS.flatMap((kind) => [...entries[kind].values()].flatMap((e) => e.notes)),
    ...restNotes,
  ];
}

function restOf(raw: Readonly<Record<string, unknown>>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(raw).filter(([key]) => !isCollection(key)));
}

function sameRest(a: Readonly<Record<string, unknown>>, b: Readonly<Record<string, unknown>>): boolean {
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]);
  for (const key of keys) {
    // A collection that comes or goes as a whole is read whole: its order among the others may matter to a reader.
    if (Object.hasOwn(a, key) !== Object.hasOwn(b, key)) return false;
    if (!isCollection(key) && a[key] !== b[key]) return false;
  }
  return true;
}

function isCollection(key: string): boolean {
  return (COLLECTIONS as readonly string[]).includes(key);
}
