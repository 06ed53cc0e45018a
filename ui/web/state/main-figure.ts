/**
 * The one number each question turns on: which slot answers it, what it is called, whether more or less is better.
 *
 * Read by the line that says what the last step did, by the inputs an answer rests on, and by pins. Pure.
 */
import type { Figures } from '../../../sim/index.ts';
import type { RunSlot } from './requests.ts';
import type { Question } from './views.ts';

export interface MainFigure {
  readonly slot: RunSlot;
  /** Name among the figures of the slot's run. */
  readonly name: string;
  readonly words: string;
  readonly kind: 'time' | 'distance' | 'speed' | 'share';
  readonly better: 'less' | 'more';
}

export const MAIN_FIGURES: Readonly<Record<Question, MainFigure>> = {
  'how-quick': { slot: 'lap', name: 'lap time', words: 'time', kind: 'time', better: 'less' },
  'off-the-line': { slot: 'run', name: '100 m', words: 'time for 100 m', kind: 'time', better: 'less' },
  stop: {
    slot: 'stopHereClutch',
    name: 'stopping distance',
    words: 'stopping distance, clutch in',
    kind: 'distance',
    better: 'less',
  },
  'slide-or-tip': {
    slot: 'corner',
    name: 'tip margin',
    words: 'margin before the inner wheels lift',
    kind: 'share',
    better: 'more',
  },
  shift: { slot: 'top', name: 'top speed', words: 'top speed', kind: 'speed', better: 'more' },
};

/** The main figure out of the figures of its run; undefined where the run did not get that far. */
export function mainFigure(question: Question, figures: Figures | undefined): number | undefined {
  return figures?.[MAIN_FIGURES[question].name] ?? undefined;
}
