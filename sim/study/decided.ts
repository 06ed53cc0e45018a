/**
 * A word for how sure it is that one of two is quicker.
 *
 * In: a difference and the probability of its sign. Out: the word that every study uses for it.
 */
export type Verdict = 'decided' | 'likely' | 'too close to call' | 'no difference';

/**
 * 19 to 1 is called decided, 3 to 1 likely: the usual levels of 95 % and 75 % (assumed). What no clock would show is too
 * close to call, however sure the sign of it.
 */
export function verdictOn(difference: number, probability: number, noise = 0): Verdict {
  if (difference === 0) return 'no difference';
  if (Math.abs(difference) < noise) return 'too close to call';
  const surer = Math.max(probability, 1 - probability);
  return surer >= 0.95 ? 'decided' : surer >= 0.75 ? 'likely' : 'too close to call';
}
