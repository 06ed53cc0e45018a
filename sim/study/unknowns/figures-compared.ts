/**
 * Which figure of a run an answer is about, which way is better, and the least difference of it worth saying.
 *
 * In: a verb, a figure. Out: words; differences in SI.
 */
import type { RunRequest } from '../../run/perform.ts';

export type Better = 'less' | 'more';

const BETTER: Readonly<Record<string, Better>> = {
  'lap time': 'less',
  'top speed': 'more',
  'average speed': 'more',
  'tip margin': 'more',
  'stopping distance': 'less',
  'stopping time': 'less',
  'mean deceleration': 'more',
  'cornering speed': 'more',
  'lateral acceleration': 'more',
  mass: 'less',
};

const MAIN: Readonly<Partial<Record<RunRequest['verb'], readonly string[]>>> = {
  lap: ['lap time'],
  brake: ['stopping distance'],
  topspeed: ['top speed'],
  corner: ['cornering speed'],
  accelerate: ['0-100 km/h', '0-50 km/h', '1/4 mile', '1/8 mile', '100 m', '50 m'],
  sheet: ['mass'],
};

/** Undefined where neither way is better by itself, as with a count of shifts. */
export function betterWay(verb: RunRequest['verb'], figure: string): Better | undefined {
  return verb === 'accelerate' ? 'less' : BETTER[figure];
}

/** Neither a driver nor a clock, tape or scales at such a track would notice less (common practice, no source): SI. */
const LEAST: Readonly<Record<string, number>> = {
  'top speed': 0.1 / 3.6,
  'average speed': 0.1 / 3.6,
  'cornering speed': 0.1 / 3.6,
  'tip margin': 0.005,
  'stopping distance': 0.1,
  // To what they are shown to: half of the last place.
  'mean deceleration': 0.005,
  'lateral acceleration': 0.005,
  mass: 0.1,
};
/** Every other figure that is compared is a time. */
const LEAST_TIME = 0.02;

/** Two karts nearer than this come out the same. */
export function leastDifference(figure: string): number {
  return LEAST[figure] ?? LEAST_TIME;
}

/** The figure the answer is about: the first of the verb's that all runs reach. */
export function mainFigure(verb: RunRequest['verb'], reached: readonly string[]): string | undefined {
  return (MAIN[verb] ?? []).find((figure) => reached.includes(figure)) ?? reached[0];
}
