/**
 * A study on the page: many runs over all cores, with a count, partial results and Stop; the answer before stays, dated.
 *
 * In: a pool of workers and, per study, its requests, round by round, and how to combine their answers. Out: one signal. The newest
 * question wins; answers of an older one are dropped.
 */
import type { ReadonlySignal } from '@preact/signals';
import { signal } from '@preact/signals';
import type { Answer, Project, Request, Study } from '../../../sim/index.ts';
import { MOST_ROUNDS } from '../../../sim/index.ts';
import type { Runner } from '../../../workers/protocol.ts';

export interface StudyPlan<R> {
  readonly project: Project;
  readonly revision: string;
  readonly study: Study<R>;
}

export interface ShownStudy<R> {
  readonly result?: R;
  /** Key of the question `result` answers. */
  readonly key?: string;
  /** ms since 1970, of `result`. */
  readonly at?: number;
  /** True while `result` is of an older question. */
  readonly isOld: boolean;
  readonly done: number;
  readonly total: number;
  readonly state: 'none' | 'working' | 'done' | 'stopped' | 'failed';
  readonly problems: readonly string[];
}

export interface StudyOnPage<R> {
  readonly value: ReadonlySignal<ShownStudy<R>>;
  /** Works out a plan, unless the same one (by key) is at hand or on its way. */
  start(key: string, plan: () => StudyPlan<R>): void;
  stop(): void;
}

/** ms between two looks at partial results. */
const SHOW_EVERY = 250;

export function createStudy<R>(channel: string, runner: () => Runner, now: () => number): StudyOnPage<R> {
  const value = signal<ShownStudy<R>>({ isOld: false, done: 0, total: 0, state: 'none', problems: [] });
  let abort: AbortController | undefined;
  let known = '';

  const stop = (): void => {
    if (value.peek().state !== 'working') return;
    abort?.abort();
    abort = undefined;
    known = '';
    value.value = { ...value.peek(), state: 'stopped' };
  };

  const work = async (
    key: string,
    { project, revision, study }: StudyPlan<R>,
    mine: AbortController,
  ): Promise<void> => {
    const answers: (Answer | undefined)[] = [];
    let total = 0;
    let done = 0;
    let shownAt = now();
    const show = (state: ShownStudy<R>['state'], problems: readonly string[] = []): void => {
      const result = study.combine(answers);
      value.value = {
        ...value.peek(),
        ...(result === undefined ? {} : { result, key, at: now(), isOld: false }),
        done,
        total,
        state,
        problems,
      };
    };
    /** Asks one round; false where it did not come to its end. */
    const ask = async (requests: readonly Request[]): Promise<boolean> => {
      const first = answers.length;
      for (let i = 0; i < requests.length; i++) answers.push(undefined);
      total += requests.length;
      const before = done;
      const outcome = await runner().run(
        { project, revision, requests },
        {
          channel,
          signal: mine.signal,
          onProgress: (progress) => {
            for (const [i, answer] of progress.answers.entries())
              answers[first + progress.first + i] = answer;
            done = before + progress.done;
            if (abort !== mine || now() - shownAt < SHOW_EVERY) return;
            shownAt = now();
            show('working');
          },
        },
      );
      if (abort !== mine) return false;
      for (const [i, answer] of outcome.answers.entries()) answers[first + i] ??= answer;
      if (outcome.status !== 'done') {
        show(
          'failed',
          outcome.problems.map((p) => p.message),
        );
        return false;
      }
      done = before + requests.length;
      return true;
    };
    let round = study.requests;
    for (let rounds = 1; round.length > 0 && rounds <= MOST_ROUNDS; rounds++) {
      if (!(await ask(round))) return;
      round = study.more?.(answers) ?? [];
    }
    show('done');
  };

  return {
    value,
    stop,
    start(key, plan) {
      if (key === known) return;
      abort?.abort();
      known = key;
      const mine = new AbortController();
      abort = mine;
      const before = value.peek();
      value.value = {
        ...before,
        isOld: before.result !== undefined,
        done: 0,
        total: 0,
        state: 'working',
        problems: [],
      };
      void work(key, plan(), mine);
    },
  };
}
