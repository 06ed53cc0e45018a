/**
 * The answers of the page: asks the solver for the slots of a view, newest state first, and keeps the last answer.
 *
 * In: a runner, a basis (document state and choice) and the slots wanted. Out: one signal per slot. While a batch
 * runs, newer bases wait for its first answer, then the newest replaces it: the answer follows the hand and is never
 * starved. Knows nothing of the DOM or of what a document holds.
 */
import type { ReadonlySignal, Signal } from '@preact/signals';
import { batch, signal } from '@preact/signals';
import type { Outcome, Problem, Project } from '../../../sim/index.ts';
import type { Runner } from '../../../workers/protocol.ts';
import type { Choice } from './choice.ts';
import type { Slot, SlotResults } from './requests.ts';
import { requestFor, SLOTS } from './requests.ts';

/** What an answer was worked out from, for dating it once it is old. */
export interface Basis {
  readonly revision: number;
  readonly choice: Choice;
  readonly project: Project;
  /** ms since 1970 */
  readonly at: number;
}

/** One answer on the page. After a failure the last result stays, with its basis. */
export interface Shown<R> {
  readonly result?: R;
  readonly basis?: Basis;
  /** Problems of the newest run, warnings of the one the result is of. */
  readonly problems: readonly Problem[];
  readonly freshness: 'none' | 'fresh' | 'updating' | 'failed';
}

export type Answers = { readonly [S in Slot]: ReadonlySignal<Shown<SlotResults[S]>> };

export interface AnswersOptions {
  readonly runner: Runner;
  /** Called as the first answer of a batch goes into the signals, and when all of them are there. */
  readonly onShown: (part: 'first' | 'all', askedAt: number) => void;
}

interface Wanted {
  readonly basis: Basis;
  readonly slots: readonly Slot[];
  /** ms on the clock of events. */
  readonly askedAt: number;
}

export interface AnswerEngine {
  readonly answers: Answers;
  /** Has the slots worked out for a basis: now, or as soon as the first answer in hand is there. */
  ask(wanted: Wanted): void;
  /** The document cannot be answered: everything shown is the last there was. */
  fail(): void;
  settled(): Promise<void>;
}

export function createAnswers({ runner, onShown }: AnswersOptions): AnswerEngine {
  const shown = Object.fromEntries(
    SLOTS.map((slot) => [slot, signal<Shown<unknown>>({ problems: [], freshness: 'none' })]),
  ) as Record<Slot, Signal<Shown<unknown>>>;
  let newest: Wanted | undefined;
  let failed = false;
  /** The batch in hand; `firstShown` says that a newer one may take its place. */
  let current: { firstShown: boolean } | undefined;
  let waiting = false;
  const settledListeners: (() => void)[] = [];

  const mark = (slots: readonly Slot[], freshness: 'updating' | 'failed'): void => {
    for (const slot of slots) {
      const old = shown[slot].peek();
      if (old.freshness !== freshness) shown[slot].value = { ...old, freshness };
    }
  };

  const work = async (): Promise<void> => {
    waiting = false;
    if (newest === undefined) return;
    const wanted = newest;
    const { basis, slots, askedAt } = wanted;
    const mine = { firstShown: false };
    current = mine;
    const taken = new Set<Slot>();
    const freshness = (): 'fresh' | 'updating' | 'failed' => {
      if (failed) return 'failed';
      return wanted === newest ? 'fresh' : 'updating';
    };
    const take = (first: number, answers: readonly (Outcome<unknown> | undefined)[]): void => {
      const isFirst = !mine.firstShown && first === 0 && answers[0] !== undefined;
      // Ahead of what follows the signals: its clock stops before they have their turn.
      if (isFirst) onShown('first', askedAt);
      batch(() => {
        for (const [offset, answer] of answers.entries()) {
          const slot = slots[first + offset];
          if (slot === undefined || answer === undefined || taken.has(slot)) continue;
          taken.add(slot);
          const now = shownOf(shown[slot].peek(), answer, basis);
          const fresh = freshness();
          shown[slot].value = fresh === 'fresh' ? now : { ...now, freshness: fresh };
        }
      });
      if (!isFirst) return;
      mine.firstShown = true;
      if (waiting) void work();
    };
    const outcome = await runner.run(
      {
        project: basis.project,
        revision: basis.revision,
        requests: slots.map((slot) => requestFor(slot, basis.choice, basis.project)),
      },
      {
        channel: 'page',
        onProgress: (progress) => current === mine && take(progress.first, progress.answers),
      },
    );
    if (current !== mine) return;
    if (outcome.status !== 'superseded' && outcome.status !== 'cancelled') {
      take(
        0,
        outcome.answers.map((answer) => answer ?? lost(outcome.problems)),
      );
      if (current !== mine) return;
      onShown('all', askedAt);
    }
    current = undefined;
    if (waiting) return void work();
    for (const listener of settledListeners.splice(0)) listener();
  };

  return {
    answers: shown as unknown as Answers,
    ask(wanted) {
      newest = wanted;
      failed = false;
      if (wanted.slots.length === 0) return;
      mark(wanted.slots, 'updating');
      if (current === undefined || current.firstShown) void work();
      else waiting = true;
    },
    fail() {
      failed = true;
      mark(SLOTS, 'failed');
    },
    settled() {
      if (current === undefined && !waiting) return Promise.resolve();
      return new Promise((resolve) => settledListeners.push(resolve));
    },
  };
}

/** An answer in place of an older one: where it brings no result, the older result stays. */
export function shownOf(old: Shown<unknown>, answer: Outcome<unknown>, basis: Basis): Shown<unknown> {
  const { problems, result } = answer;
  if (result === undefined) {
    const stopped = problems.filter(({ severity }) => severity === 'problem');
    const kept = old.problems.filter(({ severity }) => severity === 'warning');
    return { ...old, problems: [...stopped, ...kept], freshness: 'failed' };
  }
  return { result, basis, problems, freshness: 'fresh' };
}

function lost(problems: readonly Problem[]): Outcome<never> {
  return { status: 'failed', problems, diagnostics: {} };
}
