/**
 * A word for how sure it is that one of two is quicker.
 *
 * In: a difference and the probability of its sign. Out: the word that every study uses for it.
 */
export type Verdict = 'decided' | 'likely' | 'too close to call' | 'no difference';

/** Probabilities from which on a difference is called decided, 19 to 1, and likely, 3 to 1: usual levels (assumed). */
export const DECIDED = 0.95;
export const LIKELY = 0.75;

/** What no clock would show is too close to call, however sure the sign of it. */
export function verdictOn(difference: number, probability: number, noise = 0): Verdict {
  if (difference === 0) return 'no difference';
  if (Math.abs(difference) < noise) return 'too close to call';
  const surer = Math.max(probability, 1 - probability);
  return surer >= DECIDED ? 'decided' : surer >= LIKELY ? 'likely' : 'too close to call';
}
