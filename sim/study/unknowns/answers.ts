/**
 * Sweeps answered, put back run by run. In: a plan's requests and the answers so far. Out: figures per run and variant;
 * undefined where there is no answer yet, null where the kart could not run so.
 */
import type { Figures, SweepResult } from '../../run/named-figures.ts';
import type { Outcome } from '../../run/outcome.ts';
import type { SweepRequest } from '../../run/perform.ts';

export type SweepAnswers = readonly (Outcome<SweepResult> | undefined)[];
export type Answered = readonly (Figures | null | undefined)[];

export function figuresByRun(
  requests: readonly SweepRequest[],
  variantsOfRun: readonly number[],
  answers: SweepAnswers,
): Answered[] {
  const flat = requests.flatMap((request, k) =>
    request.variants.map((_, v) => {
      const result = answers[k]?.result;
      return result === undefined ? undefined : (result.figures[v] ?? null);
    }),
  );
  let from = 0;
  return variantsOfRun.map((count) => {
    from += count;
    return flat.slice(from - count, from);
  });
}

/** One figure of an answer, NaN where it is not there. */
export function figureOf(answer: Figures | null | undefined, name: string): number {
  return answer?.[name] ?? Number.NaN;
}
