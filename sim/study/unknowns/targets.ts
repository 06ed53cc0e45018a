/**
 * The answers whose variance is shared out: the main figure of each run, and its difference from the first run's.
 *
 * In: figures per run and variant. Out: a value per draw, NaN where there is none.
 */
import type { RunRequest } from '../../run/perform.ts';
import type { Answered } from './answers.ts';
import { figureOf } from './answers.ts';
import { mainFigure } from './figures-compared.ts';

/** `run` by itself, or less the first run (`against` 0). */
export interface Target {
  readonly run: number;
  readonly against?: 0;
}

export function targetsOf(runs: readonly RunRequest[]): Target[] {
  return [
    ...runs.map((_, run) => ({ run })),
    ...runs.slice(1).map((_, k) => ({ run: k + 1, against: 0 as const })),
  ];
}

export function targetValues(
  target: Target,
  valuesOf: (run: number) => ArrayLike<number>,
): ArrayLike<number> {
  const own = valuesOf(target.run);
  if (target.against === undefined) return own;
  const other = valuesOf(target.against);
  return Array.from(own, (x, n) => x - other[n]!);
}

export function valuesOf(answered: Answered, figure: string): number[] {
  return answered.map((answer) => figureOf(answer, figure));
}

/** The figure all runs are judged by, out of those their bases reach. */
export function mainFigureOf(runs: readonly RunRequest[], bases: readonly Answered[]): string | undefined {
  const reached = Object.entries(bases[0]?.[0] ?? {}).flatMap(([name, value]) =>
    value === null ? [] : [name],
  );
  const common = reached.filter((name) => bases.every((answered) => (answered[0]?.[name] ?? null) !== null));
  return runs[0] === undefined ? undefined : mainFigure(runs[0].verb, common);
}
