/** Whether a pair that comes out quickest is worth fitting in place of the one on the kart: in page and terminal alike. */
import type { RivalPair, TeethOnTrack, TeethResult } from '../../sim/index.ts';

const isOpen = ({ verdict }: RivalPair): boolean =>
  verdict === 'too close to call' || verdict === 'no difference';

/** True where neither a clock nor what is known tells the named pair from the one fitted: nothing says to change it. */
export function hasNoReasonToChange(found: TeethResult, { named, rival }: TeethOnTrack): boolean {
  return named !== found.fitted && rival !== null && rival.pair === found.fitted && isOpen(rival);
}

/** The same of the one pair for all tracks: on none of them is it known to be the quicker, and the fitted can be driven on all. */
export function hasNoReasonForAll({ compromise }: TeethResult): boolean {
  const against = compromise?.againstFitted ?? undefined;
  return against?.every((rival) => rival !== null && (isOpen(rival) || rival.difference < 0)) ?? false;
}

/** Why not, of a difference in seconds: what no clock would show, or what is not known of the kart. */
export function whyNot(difference: number, noise: number): string {
  return Math.abs(difference) <= noise
    ? 'no clock would show the difference'
    : 'what is not known outweighs the difference';
}
