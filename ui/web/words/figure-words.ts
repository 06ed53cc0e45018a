/**
 * The main figure of a question in words: its value, a difference, and the range its inputs leave open. Pure.
 */
import type { Effect, FirstOrder, firstOrderDifference } from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';
import type { MainFigure } from '../state/main-figure.ts';
import { percent, seconds, speed, stopMetres, times } from './numbers.ts';

const NB = '\u00a0';

export function figureWords(value: number, kind: MainFigure['kind'], unit: string): string {
  switch (kind) {
    case 'time':
      return seconds(value);
    case 'distance':
      return stopMetres(value);
    case 'speed':
      return speed(value, unit);
    case 'share':
      return percent(value);
  }
}

/** The size of a difference, finer than a value: the model tells small changes apart better than it knows the whole. */
export function differenceWords(size: number, kind: MainFigure['kind'], unit: string): string {
  const abs = Math.abs(size);
  switch (kind) {
    case 'time':
      return abs < 1 ? `${abs.toFixed(2)}${NB}s` : seconds(abs);
    case 'distance':
      return `${abs.toFixed(abs < 10 ? 1 : 0)}${NB}m`;
    case 'speed': {
      const [number, ...rest] = speed(abs, unit).split(NB);
      return abs < 1 && number === '0' ? `under 1${NB}${rest.join(NB)}` : speed(abs, unit);
    }
    case 'share':
      return `${(abs * 100).toFixed(abs < 0.01 ? 1 : 0)} points`;
  }
}

/**
 * Differences below this neither a driver nor a clock or tape at such a track would notice (common practice, no
 * source): SI.
 */
const UNNOTICED: Readonly<Record<MainFigure['kind'], number>> = {
  time: 0.02,
  distance: 0.1,
  speed: 0.1,
  share: 0.005,
};

const BETTER: Readonly<Record<MainFigure['kind'], readonly [less: string, more: string]>> = {
  time: ['quicker', 'slower'],
  distance: ['shorter', 'longer'],
  speed: ['slower', 'faster'],
  share: ['less', 'more'],
};

/** What a step did to the main figure: "Rear sprocket 45: 0.31 s quicker, everything else equal." */
export function changeSentence(
  label: string,
  before: number,
  now: number,
  figure: MainFigure,
  unit: string,
): string {
  const change = now - before;
  if (Math.abs(change) < UNNOTICED[figure.kind])
    return `${capital(label)}: no difference anybody would notice.`;
  const word = BETTER[figure.kind][change < 0 ? 0 : 1];
  return `${capital(label)}: ${differenceWords(change, figure.kind, unit)} ${word}, everything else equal.`;
}

export function isNoticed(change: number, figure: MainFigure): boolean {
  return Math.abs(change) >= UNNOTICED[figure.kind];
}

export function betterWord(change: number, figure: MainFigure): string {
  return BETTER[figure.kind][change < 0 ? 0 : 1];
}

/** Whether a difference stands out from what the inputs leave open; what both answers rest on has cancelled. */
export function decisionWords(
  { difference, spread, sureness }: ReturnType<typeof firstOrderDifference>,
  figure: MainFigure,
  unit: string,
): string {
  const size = `give or take ${differenceWords(spread, figure.kind, unit)}`;
  if (isNoticed(difference, figure)) return `${sureness}, ${size}`;
  return spread < UNNOTICED[figure.kind] ? 'no difference' : `too close to call, ${size}`;
}

/** From here on the two sides of a range are told apart. */
const SKEWED = 1.25;

/**
 * "give or take 0.31 s", or each way by itself where the two sides differ: "0.20 s quicker to 0.51 s slower". What an
 * input or all of them leave open, wherever the page says it.
 */
export function openWords(
  { below, above, spread }: { readonly below: number; readonly above: number; readonly spread: number },
  kind: MainFigure['kind'],
  unit: string,
  wordsOf: typeof differenceWords = differenceWords,
): string {
  const nothing = wordsOf(0, kind, unit);
  const sides = [below, above].map((size) => wordsOf(size, kind, unit));
  if (!isSkewed(below, above) || sides.every((words) => words === nothing))
    return `give or take ${wordsOf(spread, kind, unit)}`;
  const [less, more] = sides.map((words, i) => `${words} ${BETTER[kind][i]}`);
  if (sides[0] === nothing) return `up to ${more}`;
  return sides[1] === nothing ? `up to ${less}` : `${less} to ${more}`;
}

function isSkewed(below: number, above: number): boolean {
  return Math.max(below, above) > SKEWED * Math.min(below, above);
}

/** What one input, moved by its own spread either way, takes off the figure and puts on. */
export function effectWords({ less, more, swing }: Effect, kind: MainFigure['kind'], unit: string): string {
  const below = -Math.min(0, less, more);
  const above = Math.max(0, less, more);
  return openWords({ below, above, spread: Math.abs(swing) }, kind, unit);
}

/** "Give or take 3.1 s: ..." from inputs as unsure as the file says; each way by itself where the two differ. */
export function rangeSentence(found: FirstOrder, figure: MainFigure, unit: string): string {
  const moved = times(found.effects.length, 'input', 'inputs');
  // Of a distance said in whole metres the give or take is, too: 30 m give or take 5 m.
  const isWhole = figure.kind === 'distance' && found.base >= 10 && found.spread >= 2;
  const size = openWords(
    found,
    figure.kind,
    unit,
    isWhole ? (part) => `${Math.abs(part).toFixed(0)}${NB}m` : undefined,
  );
  const eachWay = isSkewed(found.below, found.above) ? ' each way' : '';
  const out =
    found.leftOut === 0
      ? ''
      : ` ${times(found.leftOut, 'input', 'inputs')} could not be moved and are not in it.`;
  return `${capital(figure.words)}: ${size}, one standard deviation${eachWay}, if its ${moved} are as unsure as they are said to be.${out}`;
}
