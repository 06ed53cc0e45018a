/** Whether a pair that comes out quickest is worth fitting in place of the one on the kart: in page and terminal alike. */
import type { TeethOnTrack, TeethResult } from '../../sim/index.ts';

/** True where what is not known outweighs the difference to the pair fitted: nothing says to change it. */
export function hasNoReasonToChange(found: TeethResult, { named, rival }: TeethOnTrack): boolean {
  return (
    named !== found.fitted &&
    rival !== null &&
    rival.pair === found.fitted &&
    (rival.verdict === 'too close to call' || rival.verdict === 'no difference')
  );
}
