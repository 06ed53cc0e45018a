/**
 * Reads a project file.
 *
 * In: its text, or its parsed JSON. Out: the project in SI numbers, every problem, warning and repair,
 * and a note of where each number comes from. Never throws. A project is returned exactly when no
 * problem blocks. Knows nothing of disks, forms or physics.
 */
import * as v from 'valibot';
import type { Ids } from './consistency/references.ts';
import { COLLECTIONS } from './consistency/references.ts';
import { checkConsistency, idsOf } from './consistency.ts';
import type { ShapeProblem } from './issues.ts';
import { shapeProblems } from './issues.ts';
import { readJson } from './json-text.ts';
import { migrate } from './migrate.ts';
import type { InputNote } from './origins.ts';
import { collectOrigins } from './origins.ts';
import { isGroup } from './paths.ts';
import type { Problem } from './problem.ts';
import { isBlocking, problem } from './problem.ts';
import type { Project, ProjectInput } from './schema.ts';
import { projectSchema } from './schema.ts';

export interface ProjectRead {
  /** Absent where a problem blocks. */
  readonly project?: Project;
  /** The file as written, in the present format; what a form edits and a save writes. */
  readonly input?: ProjectInput;
  readonly problems: readonly Problem[];
  /** Origin and spread of every quantity, defaults taken included. Empty where a problem blocks. */
  readonly notes: readonly InputNote[];
}

/** More than this is a file of another kind; the rest is counted. */
export const LISTED = 1000;

/** Reads the text of a project file. */
export function readProject(text: string): ProjectRead {
  const { value, problems } = readJson(text);
  if (value === undefined) return { problems, notes: [] };
  const read = readProjectValue(value);
  if (isBlocking(problems)) return { problems: limited([...problems, ...read.problems]), notes: [] };
  return { ...read, problems: [...problems, ...read.problems] };
}

/** Reads a project from parsed JSON, which is not changed. */
export function readProjectValue(raw: unknown): ProjectRead {
  const migrated = migrate(raw);
  if (migrated.value === undefined) return { problems: migrated.problems, notes: [] };
  const input = migrated.value;
  const parsed = v.safeParse(projectSchema, input);
  const found = shapeProblems(input, parsed.issues ?? []);
  if (!parsed.success && found.length === 0) {
    // Nothing known leads here; were the translation to lose an issue, the file must still be refused in words.
    found.push({
      keys: [],
      problem: problem('unreadable', '', `cannot be read: ${parsed.issues[0].message}`),
    });
  }
  if (!parsed.success || found.length > 0) {
    const rest = checkRest(input, found);
    return { problems: limited([...migrated.problems, ...found.map((f) => f.problem), ...rest]), notes: [] };
  }
  const notes = collectOrigins(input);
  const problems = limited([
    ...migrated.problems,
    ...checkConsistency(parsed.output, idsOf(parsed.output), notes),
  ]);
  if (isBlocking(problems)) return { problems, notes: [] };
  return { project: parsed.output, input: input as unknown as ProjectInput, problems, notes };
}

/** Checks the entries that are right by themselves, so that all problems are told at once. */
function checkRest(input: Record<string, unknown>, found: readonly ShapeProblem[]): Problem[] {
  const spoilt = new Set(found.map(({ keys }) => JSON.stringify(keys.slice(0, 2))));
  const rest: Record<string, unknown> = { kartwright: input['kartwright'] };
  for (const kind of COLLECTIONS) {
    const entries = Object.hasOwn(input, kind) ? input[kind] : undefined;
    if (!isGroup(entries) || spoilt.has(JSON.stringify([kind]))) continue;
    rest[kind] = Object.fromEntries(
      Object.entries(entries).filter(([id]) => !spoilt.has(JSON.stringify([kind, id]))),
    );
  }
  const parsed = v.safeParse(projectSchema, rest);
  return parsed.success ? checkConsistency(parsed.output, writtenIds(input), collectOrigins(rest)) : [];
}

function writtenIds(input: Record<string, unknown>): Ids {
  const ids = COLLECTIONS.map((kind) => {
    const entries = Object.hasOwn(input, kind) ? input[kind] : undefined;
    return [kind, isGroup(entries) ? Object.keys(entries) : []];
  });
  return Object.fromEntries(ids) as Ids;
}

function limited(problems: readonly Problem[]): Problem[] {
  if (problems.length <= LISTED) return [...problems];
  const more = problem('more', '', `there are ${problems.length - LISTED} more problems`, {
    remedy: 'mend these first, then read the file again',
  });
  return [...problems.slice(0, LISTED), more];
}
