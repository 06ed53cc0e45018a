/**
 * What the answer in view rests on: every input in use moved by its own spread, in the background, once the answer
 * itself stands.
 *
 * In: view, basis, the reader's notes, a runner for work that may wait. Out: one signal with inputs by effect and the
 * answer's spread, with a count while it grows; Stop keeps what is there.
 */
import type { ReadonlySignal } from '@preact/signals';
import { signal } from '@preact/signals';
import type { FirstOrder, InputNote } from '../../../sim/index.ts';
import type { Runner } from '../../../workers/protocol.ts';
import type { Basis } from './answers.ts';
import type { FirstOrderState } from './first-order-run.ts';
import { runFirstOrder } from './first-order-run.ts';
import type { Question, View } from './views.ts';
import { isQuestion } from './views.ts';

export interface Resting {
  readonly question: Question;
  readonly basis: Basis;
  /** Of this basis where `state` is 'done', else of the one before: rows that swap places cannot be read or edited. */
  readonly found?: FirstOrder;
  readonly done: number;
  readonly total: number;
  readonly state: 'working' | 'done' | 'stopped' | 'failed';
}

export interface RestsOn {
  readonly value: ReadonlySignal<Resting | undefined>;
  /** Works out what the answer of a view rests on, unless that is known already. */
  follow(view: View, basis: Basis, notes: readonly InputNote[]): void;
  stop(): void;
}

/** ms of rest before the work begins: while the hand moves, every answer is out of date before it could be of use. */
const REST_BEFORE = 300;
/** Progress is shown this often, ms: often enough to see it move, seldom enough not to slow the hand. */
const SHOW_EVERY = 200;

export function createRestsOn(runner: Runner): RestsOn {
  const value = signal<Resting | undefined>(undefined);
  let abort: AbortController | undefined;
  /** Shows what the work in hand has found so far as stopped. */
  let halt: (() => void) | undefined;
  let timer: ReturnType<typeof setTimeout> | undefined;

  const stop = (): void => {
    clearTimeout(timer);
    abort?.abort();
    abort = undefined;
    halt?.();
    halt = undefined;
  };

  return {
    value,
    stop,
    follow(view, basis, notes) {
      const known = value.peek();
      const question = questionOf(view);
      if (known?.basis === basis && known.question === question && known.state !== 'stopped') return;
      stop();
      if (question === undefined) return;
      timer = setTimeout(() => void work(question, basis, notes), REST_BEFORE);
    },
  };

  async function work(question: Question, basis: Basis, notes: readonly InputNote[]): Promise<void> {
    const mine = new AbortController();
    abort = mine;
    const before = value.peek();
    const last = before?.question === question ? before.found : undefined;
    let newest: FirstOrderState | undefined;
    const show = (state: Resting['state']): void => {
      const mineSoFar =
        state === 'working' || (state === 'stopped' && last !== undefined) ? last : newest?.found();
      value.value = {
        question,
        basis,
        ...(mineSoFar === undefined ? {} : { found: mineSoFar }),
        done: newest?.done ?? 0,
        total: newest?.total ?? 0,
        state,
      };
    };
    halt = () => show('stopped');
    show('working');
    let shownAt = performance.now();
    const whole = await runFirstOrder(runner, {
      question,
      basis,
      notes,
      revision: `rests-on ${basis.revision}`,
      channel: 'rests-on',
      signal: mine.signal,
      onProgress: (state) => {
        newest = state;
        if (abort !== mine || performance.now() - shownAt < SHOW_EVERY) return;
        shownAt = performance.now();
        show('working');
      },
    });
    if (abort !== mine) return;
    newest = whole;
    halt = undefined;
    show(whole.isWhole ? 'done' : 'failed');
  }
}

/** The answer a view is about; the sheet for the paddock is about the lap. */
function questionOf(view: View): Question | undefined {
  if (view === 'paper') return 'how-quick';
  return isQuestion(view) ? view : undefined;
}
