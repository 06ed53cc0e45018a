/**
 * What every study is: requests to ask, more of them once those are answered, and what the answers so far say.
 *
 * In: nothing runs here. Out: plain data and pure functions, so that a page, a terminal and a test can each ask in
 * their own way, on any number of workers, with a count, partial results and a stop, and get the same bits.
 */
import type { InputChange } from '../project/changed-inputs.ts';
import type { Problem } from '../project/problem.ts';
import type { Figures, SweepResult } from '../run/named-figures.ts';
import type { Answer, Request, RunRequest, SweepRequest } from '../run/perform.ts';

/** Answers in the order asked; undefined: not there yet. */
export type Answers = readonly (Answer | undefined)[];

export interface Study<R> {
  readonly requests: readonly Request[];
  /**
   * What to ask next, given the answers to everything asked so far; their answers are appended to those. None: done.
   * At most MOST_ROUNDS times.
   */
  readonly more?: (answers: Answers) => readonly Request[];
  /** What the answers so far say; undefined where that is nothing yet. */
  readonly combine: (answers: Answers) => R | undefined;
}

/** A study, or why there is none. */
export interface Planned<R> {
  readonly study?: Study<R>;
  readonly problems: readonly Problem[];
}

export const MOST_ROUNDS = 4;

/** Runs a study here and now, request by request. */
export function performStudy<R>(study: Study<R>, ask: (request: Request) => Answer): R | undefined {
  const answers: Answer[] = [];
  let round = study.requests;
  for (let rounds = 1; round.length > 0 && rounds <= MOST_ROUNDS; rounds++) {
    for (const request of round) answers.push(ask(request));
    round = study.more?.(answers) ?? [];
  }
  return study.combine(answers);
}

/** Variants of one run, spread over sweeps that follow each other from request `first` on. */
export interface Series {
  readonly first: number;
  readonly perRequest: number;
  readonly count: number;
}

export interface SeriesWanted {
  readonly of: RunRequest;
  readonly variants: readonly (readonly InputChange[])[];
}

/** Runs per request: some 20 ms of work, so that a count moves and a stop is heard. */
const PER_REQUEST: Readonly<Partial<Record<RunRequest['verb'], number>>> = {
  lap: 12,
  brake: 12,
  accelerate: 4,
  topspeed: 8,
};
const OTHERS_PER_REQUEST = 20;

/** Sweeps for all that is wanted, one after the other, counted from request `first`. */
export function seriesOf(
  wanted: readonly SeriesWanted[],
  first = 0,
): { readonly requests: readonly SweepRequest[]; readonly series: readonly Series[] } {
  const requests: SweepRequest[] = [];
  const series = wanted.map(({ of, variants }): Series => {
    const perRequest = PER_REQUEST[of.verb] ?? OTHERS_PER_REQUEST;
    const at = first + requests.length;
    for (let i = 0; i < variants.length; i += perRequest)
      requests.push({ verb: 'sweep', of, variants: variants.slice(i, i + perRequest) });
    return { first: at, perRequest, count: variants.length };
  });
  return { requests, series };
}

/** Figures of variant `i`; null: the kart cannot run so; undefined: not answered yet. */
export function figuresAt(
  answers: Answers,
  { first, perRequest, count }: Series,
  i: number,
): Figures | null | undefined {
  if (i < 0 || i >= count) return undefined;
  const answer = answers[first + Math.floor(i / perRequest)];
  if (answer === undefined) return undefined;
  return (answer.result as SweepResult | undefined)?.figures[i % perRequest] ?? null;
}

/** A figure by name; null where there is none. */
export function figure(figures: Figures | null | undefined, name: string): number | null {
  return figures?.[name] ?? null;
}

/** Numbers in rows and columns, row by row: data and shape as `ndarray` takes them. */
export interface Grid<T extends Float64Array | Int16Array = Float64Array> {
  readonly data: T;
  readonly shape: readonly [number, number];
}
