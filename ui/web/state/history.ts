/**
 * Undo and redo: every state of the document, with the name of the step that led to it.
 *
 * In: commands. Out: a new history. Commands of one gesture (one drag, one stay in a field) become one step; a command
 * that changes nothing is none. Each document shares every part with the one before that the step left alone, so a
 * long history weighs little. Pure; knows nothing of what a document holds.
 */
import type { ProjectDocument } from './document.ts';
import { patchBetween, patched } from './patch.ts';

export interface Command {
  /** Names the step: "rear sprocket 48". */
  readonly label: string;
  readonly apply: (document: ProjectDocument) => ProjectDocument;
}

export interface Step {
  readonly label: string;
  readonly gesture: string | undefined;
  readonly document: ProjectDocument;
}

export interface History {
  /** The first entry is the document as opened. */
  readonly steps: readonly Step[];
  /** Index of the step shown. */
  readonly at: number;
}

export function openHistory(document: ProjectDocument): History {
  return { steps: [{ label: '', gesture: undefined, document }], at: 0 };
}

export function currentDocument(history: History): ProjectDocument {
  return history.steps[history.at]!.document;
}

/** Applies a command; what had been undone is gone then. */
export function applied(history: History, command: Command, gesture?: string): History {
  const current = history.steps[history.at]!;
  const patch = patchBetween(current.document, command.apply(current.document));
  if (patch.length === 0) return history;
  const document = patched(current.document, patch);
  const kept = history.steps.slice(0, history.at + 1);
  const step = { label: command.label, gesture, document };
  const goesOn = gesture !== undefined && gesture === current.gesture;
  if (goesOn) return { steps: [...kept.slice(0, -1), step], at: history.at };
  return { steps: [...kept, step], at: history.at + 1 };
}

export function undone(history: History): History {
  return history.at === 0 ? history : { ...history, at: history.at - 1 };
}

export function redone(history: History): History {
  return history.at + 1 >= history.steps.length ? history : { ...history, at: history.at + 1 };
}

/** The step Undo would take back; undefined where there is none. */
export function undoLabel(history: History): string | undefined {
  return history.at === 0 ? undefined : history.steps[history.at]!.label;
}

export function redoLabel(history: History): string | undefined {
  return history.steps[history.at + 1]?.label;
}
