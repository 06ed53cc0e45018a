/**
 * The search for the fastest line: steps of a model in which the lap is driven anew, each tried on the true lap time.
 *
 * In: what times a line, the state so far. Out: the state after one step. A step is the least of time-model.ts, in which rho
 * keeps it small: rho grows when a step fails and shrinks when it does what the model promised. The time also jumps, by a
 * gear change more or less: every step that fails is tried again without one. The search has converged when steps no longer
 * gain. State is plain data, so that a search can be laid aside and taken up again.
 */
import { within } from './bounds.ts';
import type { Timer } from './line-timer.ts';
import { bentInside } from './smoothest.ts';
import { leastOf, timeModel } from './time-model.ts';

export interface TimedLine {
  readonly offsets: Float64Array;
  readonly time: number;
}

/** Where a search from one start stands. */
export interface Search {
  readonly offsets: Float64Array;
  readonly time: number;
  /** The quickest line met: by the search's own lap, and by the judge's, where there is one (else Infinity) */
  readonly best: TimedLine;
  readonly judged: TimedLine;
  readonly rho: number;
  readonly steps: number;
  /** Steps in a row that gained next to nothing */
  readonly idle: number;
  readonly ended: 'no' | 'converged' | 'most steps' | 'beaten' | 'undrivable';
}

export const LINE_SEARCH = {
  /** Tries of one step: first with upshifts coming and going, then without one more, then with rho this much greater */
  tries: 6,
  stiffer: 4,
  /** rho after a step that gained what was promised, and after one that gained most of it */
  softest: 0.25,
  softer: 0.5,
  leastRho: 1e-3,
  mostRho: 1e4,
  /** Shares of the gain promised */
  poor: 0.25,
  good: 0.6,
  best: 0.9,
  /** Steps that change the time by less than this share are judged */
  late: 5e-4,
  /**
   * A search that has had so many steps is beaten where not even this many times what its model promises betters another by
   * a share of the time that is worth the way there
   */
  leastSteps: 3,
  generous: 1.5,
  worth: 4e-4,
  /** Share of the time that a step may lose where none gains */
  mostLoss: 2e-3,
} as const;

/** When a search ends. */
export interface SearchEnd {
  /** A step that gains, or is said to gain, less than this share of the time is idle; so many in a row end the search */
  readonly leastGain: number;
  readonly mostIdle: number;
  readonly mostSteps: number;
}

export function startSearch(timer: Timer, from: ArrayLike<number>, rho: number): Search {
  const offsets = bentInside(timer.frame, timer.bounds, from);
  const { time } = timer.drive(offsets);
  const best = { offsets, time };
  const judged = { offsets, time: timer.judge?.(offsets) ?? Number.POSITIVE_INFINITY };
  return {
    offsets,
    time,
    best,
    judged,
    rho,
    steps: 0,
    idle: 0,
    ended: Number.isFinite(time) ? 'no' : 'undrivable',
  };
}

/**
 * One step: the model at the line so far and its least, tried up to `tries` times. `beat`: the time of another search;
 * where the model does not promise to better it, this one ends.
 */
export function stepSearch(
  timer: Timer,
  search: Search,
  end: SearchEnd,
  beat = Number.POSITIVE_INFINITY,
): Search {
  const { bounds } = timer;
  const p = LINE_SEARCH;
  const model = timeModel(timer, search.offsets, timer.drive(search.offsets));
  let { rho } = search;
  const steps = search.steps + 1;
  const least = end.leastGain * search.time;
  let nearest: { readonly offsets: Float64Array; readonly time: number } | undefined;
  let took = false;
  for (let attempt = 0; !took && attempt < p.tries && rho <= p.mostRho; attempt++) {
    const free = attempt % 2 === 0;
    const { step, gain } = leastOf(model, rho, free);
    if (attempt > 0 && gain < least) break;
    if (
      attempt === 0 &&
      search.steps >= p.leastSteps &&
      search.time - p.generous * gain > beat * (1 - p.worth)
    )
      return { ...search, ended: 'beaten' };
    const offsets = within(
      bounds,
      search.offsets.map((n, i) => n + step[i]!),
    );
    const { time } = timer.drive(offsets);
    if (nearest === undefined || time < nearest.time) nearest = { offsets, time };
    const share = (search.time - time) / gain;
    took = time < search.time;
    // The same again without a gear change more, before the step is made a smaller one.
    if (!took && free) continue;
    if (!took || share < p.poor) rho *= p.stiffer;
    else if (share > p.best) rho *= p.softest;
    else if (share > p.good) rho *= p.softer;
  }
  // Where the time jumps, as with one gear change more, every way may lead up at first: it is gone, and the best kept.
  const goes = nearest !== undefined && nearest.time < search.time * (1 + p.mostLoss);
  const next = goes ? nearest! : search;
  const gained = search.best.time - next.time;
  const idle = gained < least ? search.idle + 1 : 0;
  let { judged } = search;
  if (timer.judge !== undefined && goes && Math.abs(search.time - next.time) < p.late * next.time) {
    const time = timer.judge(next.offsets);
    if (time < judged.time) judged = { offsets: next.offsets, time };
  }
  return {
    offsets: next.offsets,
    time: next.time,
    judged,
    best: gained > 0 ? { offsets: next.offsets, time: next.time } : search.best,
    rho: Math.min(took ? p.mostRho : search.rho, Math.max(p.leastRho, rho)),
    steps,
    idle,
    ended: !goes || idle >= end.mostIdle ? 'converged' : steps >= end.mostSteps ? 'most steps' : 'no',
  };
}
