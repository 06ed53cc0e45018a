/**
 * Pulls whose pace the tyres may set and not the engine.
 *
 * In: groups of segments, and a way to have runs answered with changes. Out: the groups of pulls that would be slower with a
 * little less grip. What they tell of the engine rests on how well the tyres are known, which is badly.
 */
import type { InputChange } from '../../project/changed-inputs.ts';
import type { Project } from '../../project/schema.ts';
import type { Answer, RunRequest } from '../../run/perform.ts';
import type { Curve, CurveGroup } from './curves.ts';
import { curveOf, timeAt } from './curves.ts';
import type { MatchWho } from './fit-values.ts';

/** Of the grip: what nobody can be sure of. */
const LESS_GRIP = 0.85;
/** Of the time of a pull: more slip alone makes it longer by some 1 %; tyres that hold it back, by much more. */
const TYRES_SAY = 0.02;
/** Why they are left out, for the builder. */
export const TYRES_HOLD =
  'in the pulls of this log the tyres may set the pace and not the engine: with 15 % less grip they would be slower. Pull at full throttle for some seconds, in gears high enough that the tyres hold.';

/** Pulls that would be slower with a little less grip: what they tell of the engine rests on how well the tyres are known. */
export async function pullsHeldByTyres(
  project: Project,
  { day, surface }: MatchWho,
  groups: readonly CurveGroup[],
  asked: (
    changes: readonly InputChange[],
    requests: readonly RunRequest[],
  ) => Promise<readonly (Answer | undefined)[]>,
): Promise<ReadonlySet<CurveGroup>> {
  const pulls = groups.filter(({ request }) => request.verb === 'accelerate');
  const grip = project.days[day]?.grip[surface] ?? 1;
  const requests = pulls.map(({ request }) => request);
  const [now, less] = [
    await asked([], requests),
    await asked([{ path: `days.${day}.grip.${surface}`, value: LESS_GRIP * grip }], requests),
  ];
  return new Set(
    pulls.filter((pull, k) => {
      const [a, b] = [curveOf(pull, now[k]), curveOf(pull, less[k])];
      if (a === undefined) return false;
      if (b === undefined) return true;
      const { low, high } = spanOf(a, b);
      const took = (curve: typeof a) => timeAt(curve, high) - timeAt(curve, low);
      return took(b) > (1 + TYRES_SAY) * took(a);
    }),
  );
}

/** Speeds both curves reach. */
function spanOf(a: Curve, b: Curve): { low: number; high: number } {
  return {
    low: Math.max(a.speed[0]!, b.speed[0]!),
    high: Math.min(a.speed.at(-1)!, b.speed.at(-1)!),
  };
}
