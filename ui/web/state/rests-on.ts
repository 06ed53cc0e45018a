/**
 * What the answer in view rests on: every input in use moved by its own spread, in the background, once the answer
 * itself stands.
 *
 * In: view, basis, the reader's notes, a runner for work that may wait. Out: one signal with inputs by effect and the
 * answer's spread; partial while it grows, with a count; Stop keeps what is there.
 */
import type { ReadonlySignal } from '@preact/signals';
import { signal } from '@preact/signals';
import type { FiguresRequest, FirstOrder, InputNote, Outcome } from '../../../sim/index.ts';
import { firstOrder, probesOf } from '../../../sim/index.ts';
import type { Runner } from '../../../workers/protocol.ts';
import type { Basis } from './answers.ts';
import { inputsInUse } from './inputs-in-use.ts';
import { MAIN_FIGURES } from './main-figure.ts';
import { requestFor } from './requests.ts';
import type { Question, View } from './views.ts';
import { isQuestion } from './views.ts';

export interface Resting {
  readonly question: Question;
  readonly basis: Basis;
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
/** Partial results are shown this often, ms: often enough to see it move, seldom enough not to slow the hand. */
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
      if (known?.basis === basis && known.question === view && known.state !== 'stopped') return;
      stop();
      if (!isQuestion(view)) return;
      timer = setTimeout(() => void work(view, basis, notes), REST_BEFORE);
    },
  };

  async function work(question: Question, basis: Basis, notes: readonly InputNote[]): Promise<void> {
    const mine = new AbortController();
    abort = mine;
    const { slot, name } = MAIN_FIGURES[question];
    const of = requestFor(slot, basis.choice, basis.project);
    const probes = probesOf(inputsInUse(notes, of, basis.project));
    const requests: FiguresRequest[] = [
      { verb: 'figures', of, changes: [] },
      ...probes.flatMap((probe): FiguresRequest[] => [
        { verb: 'figures', of, changes: [probe.less] },
        { verb: 'figures', of, changes: [probe.more] },
      ]),
    ];
    const answers: (number | null)[] = [];
    const figure = (answer: Outcome<{ figures: Readonly<Record<string, number | null>> }> | undefined) =>
      answer?.result?.figures[name] ?? null;
    // The list of the state before stays until the new one is whole: rows that swap places cannot be read or edited.
    const before = value.peek();
    const last = before?.question === question ? before.found : undefined;
    const show = (state: Resting['state']): void => {
      const base = answers[0];
      const whole = Math.floor((answers.length - 1) / 2);
      const found =
        state === 'working' || (state === 'stopped' && last !== undefined)
          ? last
          : base === undefined || base === null || whole < 1
            ? undefined
            : firstOrder(
                base,
                probes.slice(0, whole),
                probes.slice(0, whole).map((_, i) => ({
                  less: answers[1 + 2 * i] ?? null,
                  more: answers[2 + 2 * i] ?? null,
                })),
              );
      value.value = {
        question,
        basis,
        ...(found === undefined ? {} : { found }),
        done: Math.max(0, whole),
        total: probes.length,
        state,
      };
    };
    halt = () => show('stopped');
    show('working');
    let shownAt = performance.now();
    const outcome = await runner.run(
      { project: basis.project, revision: `rests-on ${basis.revision}`, requests },
      {
        channel: 'rests-on',
        signal: mine.signal,
        onProgress: (progress) => {
          for (const [i, answer] of progress.answers.entries())
            answers[progress.first + i] = figure(answer as never);
          if (abort !== mine || performance.now() - shownAt < SHOW_EVERY) return;
          shownAt = performance.now();
          show('working');
        },
      },
    );
    if (abort !== mine) return;
    halt = undefined;
    for (const [i, answer] of outcome.answers.entries()) answers[i] = figure(answer as never);
    show(outcome.status === 'done' ? 'done' : 'failed');
  }
}
