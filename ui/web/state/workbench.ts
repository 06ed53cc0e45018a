/**
 * The state of the page: document with history, choice, answers, cursor; and what may be done to it.
 *
 * In: a document, a runner (workers/client.ts) and a clock. Out: signals for views to read and actions for them to
 * call. Persists: nothing yet. Session: history, choice, cursor. Derived, never stored: the project as read.
 * While a batch runs, newer edits wait for its lap, then the newest replaces it: the lap follows the hand and is
 * never starved. Knows nothing of the DOM.
 */
import type { ReadonlySignal, Signal } from '@preact/signals';
import { batch, computed, signal } from '@preact/signals';
import type { Outcome, Problem, Project, ProjectRead } from '../../../sim/index.ts';
import { readProjectValue } from '../../../sim/index.ts';
import type { Runner } from '../../../workers/protocol.ts';
import type { Choice } from './choice.ts';
import { firstChoice, groundOf, otherGroundOf } from './choice.ts';
import type { ProjectDocument } from './document.ts';
import type { Command, History } from './history.ts';
import { applied, currentDocument, openHistory, redone, undone } from './history.ts';
import type { Slot, SlotResults } from './requests.ts';
import { requestsFor, SLOTS } from './requests.ts';

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
  /** Of the newest run. */
  readonly problems: readonly Problem[];
  readonly freshness: 'none' | 'fresh' | 'updating' | 'failed';
}

export type Answers = { readonly [S in Slot]: ReadonlySignal<Shown<SlotResults[S]>> };

/** The lap before the last step, to say what the step did. */
export interface Before {
  readonly label: string;
  readonly time: number;
}

export interface WorkbenchOptions {
  readonly document: ProjectDocument;
  readonly runner: Runner;
  readonly now: () => number;
  /** Called when answers have been put into the signals; `part` says which were awaited. */
  readonly onShown?: (part: 'lap' | 'all', changedAt: number) => void;
  /** ms on the clock of events. */
  readonly clock?: () => number;
}

export interface Workbench {
  readonly history: ReadonlySignal<History>;
  readonly document: ReadonlySignal<ProjectDocument>;
  readonly read: ReadonlySignal<ProjectRead>;
  /** The newest project without blocking problems: what answers rest on. */
  readonly project: ReadonlySignal<Project>;
  readonly choice: ReadonlySignal<Choice>;
  readonly ground: ReadonlySignal<string>;
  readonly otherGround: ReadonlySignal<string>;
  readonly answers: Answers;
  readonly before: ReadonlySignal<Before | undefined>;
  /** m from the start of the lap; undefined until the reader has pointed somewhere. */
  readonly cursor: Signal<number | undefined>;
  readonly speedUnit: ReadonlySignal<string>;
  edit(command: Command, gesture?: string): void;
  undo(): void;
  redo(): void;
  choose(part: Partial<Choice>): void;
  /** Resolves when nothing is being worked out. */
  settled(): Promise<void>;
}

export function createWorkbench(options: WorkbenchOptions): Workbench {
  const { runner, now, onShown } = options;
  const clock = options.clock ?? (() => performance.now());
  const opened = readProjectValue(options.document);
  if (opened.project === undefined)
    throw new Error(`createWorkbench: the document cannot be read: ${opened.problems[0]?.message}`);

  const history = signal(openHistory(options.document));
  const document = computed(() => currentDocument(history.value));
  const read = signal<ProjectRead>(opened);
  const project = signal<Project>(opened.project);
  const choice = signal(firstChoice(opened.project));
  const before = signal<Before | undefined>(undefined);
  const cursor = signal<number | undefined>(undefined);
  const slots = Object.fromEntries(
    SLOTS.map((slot) => [slot, signal<Shown<unknown>>({ problems: [], freshness: 'none' })]),
  ) as Record<Slot, Signal<Shown<unknown>>>;

  let revision = 0;
  let changedAt = 0;
  /** The batch in hand; `lapShown` says that a newer one may take its place. */
  let current: { lapShown: boolean } | undefined;
  let waiting = false;
  const settledListeners: (() => void)[] = [];

  const changeHistory = (next: History): void => {
    if (next === history.value) return;
    changedAt = clock();
    batch(() => {
      const documentChanged = currentDocument(next) !== currentDocument(history.value);
      history.value = next;
      if (!documentChanged) return;
      revision += 1;
      const found = readProjectValue(currentDocument(next));
      read.value = found;
      if (found.project === undefined) {
        markAll('failed');
      } else {
        project.value = found.project;
        ask();
      }
    });
  };

  const markAll = (freshness: 'updating' | 'failed'): void => {
    for (const slot of SLOTS) {
      const shown = slots[slot].peek();
      if (shown.freshness !== freshness) slots[slot].value = { ...shown, freshness };
    }
  };

  const isNewest = (basis: Basis): boolean =>
    basis.revision === revision && basis.choice === choice.peek() && read.peek().project !== undefined;
  const staleness = (): 'updating' | 'failed' => (read.peek().project === undefined ? 'failed' : 'updating');

  /** Has the present state worked out: now, or as soon as the lap in hand is there. */
  const ask = (): void => {
    markAll('updating');
    if (current === undefined || current.lapShown) void work();
    else waiting = true;
  };

  const work = async (): Promise<void> => {
    waiting = false;
    const mine = { lapShown: false };
    current = mine;
    const askedAt = changedAt;
    const basis: Basis = { revision, choice: choice.peek(), project: project.peek(), at: now() };
    const requests = requestsFor(basis.choice, basis.project);
    const taken = new Set<Slot>();
    const take = (first: number, answers: readonly (Outcome<unknown> | undefined)[]): void => {
      batch(() => {
        for (const [offset, answer] of answers.entries()) {
          const slot = SLOTS[first + offset];
          if (slot === undefined || answer === undefined || taken.has(slot)) continue;
          taken.add(slot);
          const shown = shownOf(slots[slot].peek(), answer, basis);
          slots[slot].value = isNewest(basis) ? shown : { ...shown, freshness: staleness() };
        }
      });
      if (mine.lapShown || first > 0 || answers[0] === undefined) return;
      mine.lapShown = true;
      onShown?.('lap', askedAt);
      if (waiting) void work();
    };
    const outcome = await runner.run(
      { project: basis.project, revision: basis.revision, requests },
      {
        channel: 'page',
        onProgress: (progress) => current === mine && take(progress.first, progress.answers),
      },
    );
    if (current !== mine) return;
    const superseded = outcome.status === 'superseded' || outcome.status === 'cancelled';
    if (!superseded) {
      const missing = outcome.answers.map((answer) => answer ?? lost(outcome.problems));
      take(0, missing);
      if (current !== mine) return;
      onShown?.('all', askedAt);
    }
    current = undefined;
    if (waiting) return void work();
    for (const listener of settledListeners.splice(0)) listener();
  };

  ask();

  return {
    history,
    document,
    read,
    project,
    choice,
    ground: computed(() => groundOf(choice.value, project.value)),
    otherGround: computed(() => otherGroundOf(choice.value, project.value)),
    answers: slots as unknown as Answers,
    before,
    cursor,
    speedUnit: computed(() => project.value.units['speed'] ?? 'km/h'),
    edit(command, gesture) {
      const next = applied(history.peek(), command, gesture);
      const isNewStep = next.at !== history.peek().at;
      const lap = slots.lap.peek() as Shown<SlotResults['lap']>;
      const old = before.peek();
      if (lap.result !== undefined && (isNewStep || old === undefined))
        before.value = { label: command.label, time: lap.result.time };
      else if (old !== undefined) before.value = { ...old, label: command.label };
      changeHistory(next);
    },
    undo() {
      before.value = undefined;
      changeHistory(undone(history.peek()));
    },
    redo() {
      before.value = undefined;
      changeHistory(redone(history.peek()));
    },
    choose(part) {
      changedAt = clock();
      batch(() => {
        choice.value = { ...choice.peek(), ...part };
        if ('kart' in part || 'track' in part || 'day' in part) before.value = undefined;
        if ('track' in part) cursor.value = undefined;
        if (read.peek().project !== undefined) ask();
      });
    },
    settled() {
      if (current === undefined && !waiting) return Promise.resolve();
      return new Promise((resolve) => settledListeners.push(resolve));
    },
  };
}

/** An answer in place of an older one: where it brings no result, the older result stays. */
function shownOf(old: Shown<unknown>, answer: Outcome<unknown>, basis: Basis): Shown<unknown> {
  const { problems, result } = answer;
  if (result === undefined) return { ...old, problems, freshness: 'failed' };
  return { result, basis, problems, freshness: 'fresh' };
}

function lost(problems: readonly Problem[]): Outcome<never> {
  return { status: 'failed', problems, diagnostics: {} };
}
