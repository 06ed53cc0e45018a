/**
 * How sure it is that one of two is quicker, to first order.
 *
 * In: a difference and its standard uncertainty. Out: a probability, and a word for it. Normal errors are assumed.
 */
import { normalCdf } from '../numerics/normal.ts';

export type Verdict = 'decided' | 'likely' | 'too close to call' | 'no difference';

/** Probability that b - a is below zero: b the quicker. One half where there is neither difference nor spread. */
export function probabilityBelowZero(difference: number, spread: number): number {
  if (spread > 0) return normalCdf(-difference / spread);
  return difference === 0 ? 0.5 : difference < 0 ? 1 : 0;
}

/**
 * 19 to 1 is called decided, 3 to 1 likely: the usual levels of 95 % and 75 % (assumed). What no clock would show is too
 * close to call, however sure the sign of it.
 */
export function verdictOn(difference: number, probability: number, noise = 0): Verdict {
  if (difference === 0 && probability === 0.5) return 'no difference';
  if (Math.abs(difference) < noise) return 'too close to call';
  const surer = Math.max(probability, 1 - probability);
  return surer >= 0.95 ? 'decided' : surer >= 0.75 ? 'likely' : 'too close to call';
}
