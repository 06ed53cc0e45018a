/**
 * The state of the workbench: document with history, view, choice, answers, pins, cursor; and what may be done to it.
 *
 * In: a document or a kept history, runners (workers/client.ts) and a clock. Out: signals for views to read and
 * actions for them to call. Persists (by store/): `history` and `session`. Session only: cursor. Derived, never
 * stored: the project as read, the answers. Knows nothing of the DOM.
 */
import type { ReadonlySignal, Signal } from '@preact/signals';
import { batch, computed, signal } from '@preact/signals';
import type { Project, ProjectRead } from '../../../sim/index.ts';
import { createProjectReader, figuresOf, readProjectValue } from '../../../sim/index.ts';
import type { Runner } from '../../../workers/protocol.ts';
import type { Answers, AnswersOptions, Basis } from './answers.ts';
import { createAnswers } from './answers.ts';
import type { Choice } from './choice.ts';
import { groundOf, keptChoice, otherGroundOf } from './choice.ts';
import type { ProjectDocument } from './document.ts';
import type { Command, History } from './history.ts';
import { applied, currentDocument, openHistory, redone, undone } from './history.ts';
import type { LineSearch } from './line-search.ts';
import { createLineSearch } from './line-search.ts';
import type { LogMatch } from './log-match.ts';
import { createLogMatch } from './log-match.ts';
import { MAIN_FIGURES, mainFigure } from './main-figure.ts';
import type { KeptPin, Pins } from './pins.ts';
import { createPins } from './pins.ts';
import { requestFor, SLOTS_OF } from './requests.ts';
import type { RestsOn } from './rests-on.ts';
import { createRestsOn } from './rests-on.ts';
import type { Studies } from './studies.ts';
import { createStudies } from './studies.ts';
import type { Question, View } from './views.ts';
import { isQuestion } from './views.ts';

/** The main figure before the last step, to say what the step did. */
export interface Before {
  readonly question: Question;
  readonly label: string;
  readonly figure: number;
}

/** What is kept beside the document: plain JSON. */
export interface Session {
  readonly [key: string]: unknown;
  readonly choice: Choice;
  readonly view: View;
  readonly theme: Theme;
  readonly pins: readonly KeptPin[];
  /** The note of the first run has been read. */
  readonly noteRead: boolean;
}

/** 'sunlight': black on white, heavier lines. */
export type Theme = 'paper' | 'sunlight';

export interface WorkbenchOptions {
  readonly document?: ProjectDocument;
  /** Kept from an earlier visit; takes the place of `document`. */
  readonly history?: History;
  readonly session?: Readonly<Record<string, unknown>>;
  readonly view?: View;
  readonly runner: Runner;
  /** For work that may wait: what answers rest on, pins. The same as `runner` where absent. */
  readonly background?: Runner;
  /** All cores, for studies; made when the first one starts. `background` where absent. */
  readonly pool?: () => Runner;
  readonly now: () => number;
  readonly onShown?: AnswersOptions['onShown'];
  /** ms on the clock of events. */
  readonly clock?: () => number;
}

export interface Workbench {
  readonly history: ReadonlySignal<History>;
  readonly document: ReadonlySignal<ProjectDocument>;
  readonly session: ReadonlySignal<Session>;
  readonly read: ReadonlySignal<ProjectRead>;
  /** The newest project without blocking problems: what answers rest on. */
  readonly project: ReadonlySignal<Project>;
  readonly view: ReadonlySignal<View>;
  readonly choice: ReadonlySignal<Choice>;
  readonly ground: ReadonlySignal<string>;
  readonly otherGround: ReadonlySignal<string>;
  readonly answers: Answers;
  readonly restsOn: RestsOn;
  readonly pins: Pins;
  readonly studies: Studies;
  readonly lines: LineSearch;
  readonly match: LogMatch;
  /** A hand is dragging something: only the first answer of the view is worked out, and the rest once it lets go. */
  readonly inHand: ReadonlySignal<boolean>;
  takeInHand(): void;
  letGo(): void;
  /** Counts the states of the document: names one to workers and studies. */
  readonly revision: () => number;
  readonly before: ReadonlySignal<Before | undefined>;
  /** m from the start of the lap; undefined until the reader has pointed somewhere. */
  readonly cursor: Signal<number | undefined>;
  readonly speedUnit: ReadonlySignal<string>;
  readonly theme: Signal<Theme>;
  readonly noteRead: Signal<boolean>;
  edit(command: Command, gesture?: string): void;
  /** Takes back all that a gesture under way has done, as if it had never begun: neither undo nor redo holds it. */
  withdraw(gesture: string): void;
  undo(): void;
  redo(): void;
  choose(part: Partial<Choice>): void;
  show(view: View): void;
  /** Freezes the answer of the question in view. */
  pin(): void;
  /** Another project in place of this one, with its history and session. */
  reopen(history: History, session?: Readonly<Record<string, unknown>>): void;
  /** Resolves when nothing is being worked out for the view. */
  settled(): Promise<void>;
}

export function createWorkbench(options: WorkbenchOptions): Workbench {
  const { runner, now } = options;
  const background = options.background ?? runner;
  const clock = options.clock ?? (() => performance.now());
  const firstHistory = options.history ?? openHistory(options.document ?? {});
  const reader = createProjectReader();
  const opened = reader.read(currentDocument(firstHistory));
  const kept = options.session ?? {};

  const history = signal(firstHistory);
  const document = computed(() => currentDocument(history.value));
  const read = signal<ProjectRead>(opened);
  const project = signal<Project>(opened.project ?? EMPTY_PROJECT);
  const view = signal<View>(options.view ?? 'how-quick');
  const choice = signal(keptChoice(kept['choice'], project.peek()));
  const theme = signal<Theme>(kept['theme'] === 'sunlight' ? 'sunlight' : 'paper');
  const noteRead = signal(kept['noteRead'] === true);
  const before = signal<Before | undefined>(undefined);
  const cursor = signal<number | undefined>(undefined);
  const inHand = signal(false);

  let revision = 0;
  let changedAt = 0;
  /** The newest gesture that did anything, and the history it began on. */
  let begun: { readonly gesture: string; readonly on: History } | undefined;
  const engine = createAnswers({
    runner,
    onShown: (part, askedAt) => {
      options.onShown?.(part, askedAt);
      if (part === 'all') restsOn.follow(view.peek(), newestBasis(), read.peek().notes);
    },
  });
  const pins = createPins({ runner: background, now, kept: kept['pins'] });
  const restsOn = createRestsOn(background);

  let basis: Basis | undefined;
  const newestBasis = (): Basis => {
    const same =
      basis?.revision === revision && basis.choice === choice.peek() && basis.project === project.peek();
    if (basis === undefined || !same)
      basis = { revision, choice: choice.peek(), project: project.peek(), at: now() };
    return basis;
  };

  const ask = (): void => {
    if (read.peek().project === undefined) engine.fail();
    else {
      const slots = SLOTS_OF[view.peek()];
      const now = inHand.peek() ? slots.slice(0, 1) : slots;
      engine.ask({ basis: newestBasis(), slots: now, askedAt: changedAt });
    }
  };

  const readAgain = (): void => {
    revision += 1;
    const found = reader.read(document.peek());
    read.value = found;
    if (found.project !== undefined) {
      project.value = found.project;
      // What was chosen may have gone with an edit or come back with an undo.
      choice.value = sameChoice(choice.peek(), keptChoice(choice.peek(), found.project));
    }
    restsOn.stop();
    ask();
  };

  const changeHistory = (next: History): void => {
    if (next === history.peek()) return;
    changedAt = clock();
    batch(() => {
      const documentChanged = currentDocument(next) !== currentDocument(history.peek());
      history.value = next;
      if (documentChanged) readAgain();
    });
  };

  /** The main figure of the question in view as last shown. */
  const figureNow = (): { question: Question; figure: number } | undefined => {
    const question = view.peek();
    if (!isQuestion(question)) return undefined;
    const { slot } = MAIN_FIGURES[question];
    const { result, basis: from } = engine.answers[slot].peek();
    if (result === undefined || from === undefined) return undefined;
    const { verb } = requestFor(slot, from.choice, from.project);
    const figure = mainFigure(question, figuresOf(verb, result as never));
    return figure === undefined ? undefined : { question, figure };
  };

  if (opened.project === undefined) engine.fail();
  else ask();

  return {
    history,
    document,
    session: computed(() => ({
      choice: choice.value,
      view: view.value,
      theme: theme.value,
      pins: pins.kept.value,
      noteRead: noteRead.value,
    })),
    read,
    project,
    view,
    choice,
    ground: computed(() => groundOf(choice.value, project.value)),
    otherGround: computed(() => otherGroundOf(choice.value, project.value)),
    answers: engine.answers,
    restsOn,
    pins,
    studies: createStudies(options.pool ?? (() => background), now),
    lines: createLineSearch(background),
    match: createLogMatch(background),
    inHand,
    takeInHand() {
      inHand.value = true;
    },
    letGo() {
      if (!inHand.peek()) return;
      changedAt = clock();
      batch(() => {
        inHand.value = false;
        ask();
      });
    },
    revision: () => revision,
    before,
    cursor,
    speedUnit: computed(() => project.value.units['speed'] ?? 'km/h'),
    theme,
    noteRead,
    edit(command, gesture) {
      const next = applied(history.peek(), command, gesture);
      const isNewStep = next.at !== history.peek().at;
      if (isNewStep) begun = gesture === undefined ? undefined : { gesture, on: history.peek() };
      const shown = figureNow();
      const old = before.peek();
      // Presses that follow each other at once are one change to whoever makes them.
      const goesOn = clock() - changedAt < ONE_CHANGE && old !== undefined;
      if (shown !== undefined && ((isNewStep && !goesOn) || old?.question !== shown.question))
        before.value = { label: command.label, ...shown };
      else if (old !== undefined) before.value = { ...old, label: command.label };
      changeHistory(next);
    },
    withdraw(gesture) {
      const { steps, at } = history.peek();
      if (begun?.gesture !== gesture || steps[at]?.gesture !== gesture) return;
      before.value = undefined;
      changeHistory(begun.on);
      begun = undefined;
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
        before.value = undefined;
        if ('track' in part) cursor.value = undefined;
        restsOn.stop();
        ask();
      });
    },
    show(next) {
      if (next === view.peek()) return;
      changedAt = clock();
      batch(() => {
        view.value = next;
        before.value = undefined;
        restsOn.stop();
        ask();
      });
    },
    pin() {
      const question = view.peek();
      if (!isQuestion(question) || read.peek().project === undefined) return;
      pins.add(question, document.peek(), newestBasis(), engine.answers);
    },
    reopen(next, session = {}) {
      changedAt = clock();
      batch(() => {
        history.value = next;
        before.value = undefined;
        cursor.value = undefined;
        pins.replace(session['pins']);
        const found = reader.read(currentDocument(next));
        if (found.project !== undefined) choice.value = keptChoice(session['choice'], found.project);
        readAgain();
      });
    },
    settled: engine.settled,
  };
}

/** ms between presses of one change. */
const ONE_CHANGE = 1200;

/** The old object where nothing differs, so that nobody takes it for a new choice. */
function sameChoice(old: Choice, next: Choice): Choice {
  return (Object.keys(next) as (keyof Choice)[]).every((key) => old[key] === next[key]) ? old : next;
}

/** What stands in for a project while none could be read: nothing in it. */
const EMPTY_PROJECT: Project = (() => {
  const { project } = readProjectValue({ kartwright: 1 });
  if (project === undefined) throw new Error('workbench: an empty project cannot be read');
  return project;
})();
