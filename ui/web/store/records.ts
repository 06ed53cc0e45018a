/**
 * What is written in the browser's storage, and how a history is put together from it.
 *
 * In: records of any content, for storage outlives programs and is damaged at times. Out: a history, or what is wrong
 * with the records and how far they can be read. A project is a head and its steps: the first step holds the document
 * as opened, each other one what it changed. Knows nothing of databases.
 */
import * as v from 'valibot';
import type { Problem } from '../../../sim/index.ts';
import { FORMAT_VERSION, mergeProjects, problem } from '../../../sim/index.ts';
import type { ProjectDocument } from '../state/document.ts';
import type { History, Step } from '../state/history.ts';
import type { Patch } from '../state/patch.ts';
import { patchBetween, patched } from '../state/patch.ts';

/** The layout of the records; those of a newer one are left alone. */
export const RECORD_FORMAT = 1;

export interface Head {
  readonly id: string;
  readonly format: number;
  /** Of the project, for lists. */
  readonly name: string;
  /** Index of the step shown, and how many there are. */
  readonly at: number;
  readonly steps: number;
  /** Goes up by one with each write; a writer that knows another one has missed something. */
  readonly revision: number;
  /** The tab that wrote last. */
  readonly writer: string;
  /** ms since 1970 */
  readonly savedAt: number;
  /** ms since 1970: put aside then, to be had back or discarded for good. */
  readonly asideAt?: number;
}

export interface StepRecord {
  readonly project: string;
  readonly index: number;
  readonly label: string;
  /** Of the first step. */
  readonly document?: ProjectDocument;
  /** Of every other step. */
  readonly patch?: Patch;
}

/** What the page looked at, as the workbench gave it. */
export type Session = Readonly<Record<string, unknown>>;

export interface Visit {
  /** Of the project; '' before there is one. */
  readonly id: string;
  readonly session: Session;
  /** ms since 1970 */
  readonly openedAt: number;
}

export type HistoryRead =
  | { readonly history: History }
  /** `salvage`: the steps before the damage. */
  | { readonly problem: Problem; readonly salvage?: History };

const whole = v.pipe(v.number(), v.integer(), v.minValue(0));
const group = v.record(v.string(), v.unknown());
const place = v.array(v.union([v.string(), whole]));

const headSchema = v.object({
  id: v.string(),
  format: whole,
  name: v.string(),
  at: whole,
  steps: v.pipe(whole, v.minValue(1)),
  revision: whole,
  writer: v.string(),
  savedAt: v.number(),
  asideAt: v.exactOptional(v.number()),
});
const changeSchema = v.union([
  v.object({ at: place, from: whole, cut: whole, put: v.array(v.unknown()) }),
  v.object({ at: place, to: v.exactOptional(v.unknown()) }),
]);
const stepSchema = v.object({
  index: whole,
  label: v.string(),
  document: v.exactOptional(group),
  patch: v.exactOptional(v.array(changeSchema)),
});

export function isHead(raw: unknown): raw is Head {
  return v.is(headSchema, raw);
}

export function stepRecords(project: string, steps: readonly Step[], from: number): readonly StepRecord[] {
  return steps.slice(from).map(({ label, document }, offset) => {
    const index = from + offset;
    const before = steps[index - 1];
    if (before === undefined) return { project, index, label, document };
    return { project, index, label, patch: patchBetween(before.document, document) };
  });
}

/** Puts a history together from a head and the steps found beside it. */
export function historyOf(head: unknown, records: readonly unknown[]): HistoryRead {
  const newer = newerFormat(head);
  if (newer !== undefined) return { problem: newer };
  const steps: Step[] = [];
  const damage = addSteps(steps, records);
  const at = isHead(head) ? head.at : steps.length - 1;
  if (isHead(head) && damage === undefined && steps.length >= head.steps && at < steps.length)
    return { history: inPresentFormat({ steps: steps.slice(0, head.steps), at }) };
  const found = damage ?? problem('unreadable', '', headTrouble(head, steps.length), { remedy: REMEDY });
  if (steps.length === 0) return { problem: found };
  return {
    problem: found,
    salvage: inPresentFormat({ steps, at: Math.min(Math.max(at, 0), steps.length - 1) }),
  };
}

const REMEDY = 'save what is stored as a file before anything else';

/** Adds the steps up to the first that cannot be read, and says which that was. */
function addSteps(steps: Step[], records: readonly unknown[]): Problem | undefined {
  for (const [index, raw] of records.entries()) {
    const step = v.safeParse(stepSchema, raw);
    const before = steps.at(-1)?.document;
    try {
      if (!step.success) throw new Error('it cannot be read');
      const { label, document, patch } = step.output;
      if (step.output.index !== index) throw new Error(`step ${index} is missing`);
      const next = before === undefined ? document : patch && patched(before, patch as Patch);
      if (next === undefined) throw new Error('it holds no change');
      steps.push({ label, gesture: undefined, document: next });
    } catch (error) {
      return problem(
        'damaged-step',
        '',
        `step ${index + 1} of ${records.length} of the stored project is damaged: ${messageOf(error)}`,
        { remedy: REMEDY },
      );
    }
  }
  return undefined;
}

function headTrouble(head: unknown, found: number): string {
  if (!isHead(head)) return 'the record of the stored project is damaged';
  return `the stored project should have ${head.steps} steps, ${found} were found`;
}

function newerFormat(head: unknown): Problem | undefined {
  const format = v.is(v.object({ format: whole }), head) ? head.format : 0;
  if (format <= RECORD_FORMAT) return undefined;
  return problem('newer-version', '', 'the project was stored by a newer Kartwright; it was not touched', {
    value: String(format),
    limit: String(RECORD_FORMAT),
    remedy: 'reload the page to have the newer one',
  });
}

/** Documents of an older format of the project file are brought to the present one, step by step. */
function inPresentFormat(history: History): History {
  const isOld = ({ document }: Step): boolean => {
    const version = document['kartwright'];
    return typeof version === 'number' && version < FORMAT_VERSION;
  };
  if (!history.steps.some(isOld)) return history;
  const steps = history.steps.map((step) =>
    isOld(step) ? { ...step, document: mergeProjects([{ name: '', raw: step.document }]).raw } : step,
  );
  return { ...history, steps };
}

export function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

/** A project on the shelf. */
export interface StoredEntry {
  readonly id: string;
  /** Absent where the record is damaged. */
  readonly head?: Head;
}
