/**
 * Where along a lap one kart loses time to another, by what holds each of them back: in page and terminal alike.
 *
 * In: the time difference of two laps (sim/study/donors/time-difference.ts). Out: the largest parts, what is left, and the
 * whole they add up to. Pure.
 */
import type { TimeDifference } from '../../sim/index.ts';

export interface PartOfDifference {
  /** What holds the first of the two, and the second, meanwhile */
  readonly first: string;
  readonly second: string;
  /** s the second loses; negative where it gains */
  readonly seconds: number;
}

export interface WhereItArises {
  /** The largest first */
  readonly parts: readonly PartOfDifference[];
  /** s in parts too small to list */
  readonly rest: number;
  /** s over the whole lap: parts and rest */
  readonly whole: number;
}

/** s; smaller parts are not listed one by one. */
const WORTH_LISTING = 0.02;

export function whereItArises({ byLimits, limits }: TimeDifference, most: number): WhereItArises {
  const [rows, columns] = byLimits.shape as [number, number];
  const all: PartOfDifference[] = [];
  for (let i = 0; i < rows; i++)
    for (let j = 0; j < columns; j++)
      all.push({ first: limits[i]!, second: limits[j]!, seconds: byLimits.data[i * columns + j]! });
  const sum = (of: readonly PartOfDifference[]): number => of.reduce((s, { seconds }) => s + seconds, 0);
  const parts = all
    .filter(({ seconds }) => Math.abs(seconds) >= WORTH_LISTING)
    .sort((a, b) => Math.abs(b.seconds) - Math.abs(a.seconds))
    .slice(0, most);
  return { parts, rest: sum(all) - sum(parts), whole: sum(all) };
}
