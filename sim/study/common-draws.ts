/**
 * How sure a lap or a difference of two is, by draws of everything that is not known, the same draws for both.
 *
 * In: the reader's notes, and which are in use in a state. Out: variants to ask for, and from their answers spread,
 * interval and probability. What both states rest on alike cancels draw by draw, and a figure that jumps - one shift more as
 * soon as the kart is a little slower - counts as often as it would happen, which adding up effects input by input does not.
 * As many runs as moving each of sixty inputs less and more. Each input is normal about its value, cut off at the limits of
 * its quantity; Sobol' points in BLOCKS scrambled blocks (unknowns/plan.ts).
 */
import type { InputChange } from '../project/changed-inputs.ts';
import type { InputNote } from '../project/origins.ts';
import { quantity } from '../quantities/table.ts';
import type { Answers, Series } from './study.ts';
import { figure, figuresAt } from './study.ts';
import { pointMaker } from './unknowns/plan.ts';
import { quantile } from './unknowns/statistics.ts';
import { drawer, LEAST_SHEET_FACTOR } from './unknowns/unknown.ts';

/** Sixteen in each of eight blocks: the ends of an interval are known to a fifth of its deviation. */
export const COMMON_DRAWS = 128;
/** Share of the draws in which both can run, below which nothing is said of the difference. */
const LEAST_RUN = 0.5;
const SEED = 1;

/** The drawn changes of one state; `over` are changes made in that state: an input among them is moved along. */
export type DrawnVariants = (
  notes: readonly InputNote[],
  over?: readonly InputChange[],
) => (readonly InputChange[])[];

/**
 * `all`: every note of the file, in use or not: what is drawn for an input then hangs on the file alone, and one track by itself
 * says what it says among others.
 */
export function commonDraws(all: readonly InputNote[]): DrawnVariants {
  const paths = [...new Set(all.filter(({ spread }) => spread > 0).map(({ path }) => path))];
  const place = new Map(paths.map((path, i) => [path, i]));
  const points = pointMaker(paths.length, SEED);
  const drawn = Array.from({ length: paths.length === 0 ? 0 : COMMON_DRAWS }, (_, n) => points(n, 'a'));
  return (notes, over = []) => {
    const inputs = notes
      .filter((note) => place.has(note.path))
      .map((note) => {
        const row = quantity(note.quantity);
        const [min, max] = note.path.endsWith('.points')
          ? [LEAST_SHEET_FACTOR, Number.MAX_VALUE]
          : [row.min, row.max];
        const same = over.find(({ path }) => path === note.path);
        const by = typeof same?.value === 'number' ? same.value - note.value : 0;
        return { path: note.path, at: place.get(note.path)!, valueAt: drawer({ note, min, max }), by };
      });
    return drawn.map((point) =>
      inputs.map(({ path, at, valueAt, by }) => ({ path, value: valueAt(point[at]!) + by })),
    );
  };
}

/** A figure draw by draw, NaN where the kart cannot run so; null without draws, or while some are not answered. */
export function drawnFigure(answers: Answers, series: Series, name: string): Float64Array | null {
  if (series.count === 0) return null;
  const found = Array.from({ length: series.count }, (_, i) => figuresAt(answers, series, i));
  if (found.includes(undefined)) return null;
  return Float64Array.from(found, (figures) => figure(figures, name) ?? Number.NaN);
}

/**
 * Half of what the middle 68 % span: one standard deviation where the draws are normal, and not led astray by the few in which
 * a kart hardly gets round. Null where it can run in too few.
 */
export function spreadOfLaps(values: Float64Array | null): number | null {
  const sorted = sortedDraws(values);
  return sorted === null ? null : halfSpan(sorted);
}

/** Probability below one standard deviation above the mean of a normal distribution. */
const ONE_ABOVE = 0.8413447460685429;

function halfSpan(sorted: readonly number[]): number {
  return (quantile(sorted, ONE_ABOVE) - quantile(sorted, 1 - ONE_ABOVE)) / 2;
}

/** Of a figure, b less a. */
export interface DrawnDifference {
  /** As `spreadOfLaps` */
  readonly spread: number;
  /** Of nine draws in ten, and the middle one */
  readonly low: number;
  readonly middle: number;
  readonly high: number;
  /** Probability that b is the less, ties counting half: (k + 1/2)/(n + 1), so that no number of draws makes it certain */
  readonly probability: number;
}

export function drawnDifference(a: Float64Array | null, b: Float64Array | null): DrawnDifference | null {
  if (a === null || b === null) return null;
  const sorted = sortedDraws(a.map((x, n) => b[n]! - x));
  if (sorted === null) return null;
  const less = sorted.reduce((sum, d) => sum + (d < 0 ? 1 : d === 0 ? 0.5 : 0), 0);
  const isNothing = sorted[0] === 0 && sorted.at(-1) === 0;
  return {
    spread: halfSpan(sorted),
    low: quantile(sorted, 0.05),
    middle: quantile(sorted, 0.5),
    high: quantile(sorted, 0.95),
    probability: isNothing ? 0.5 : (less + 0.5) / (sorted.length + 1),
  };
}

function sortedDraws(values: Float64Array | null): number[] | null {
  if (values === null) return null;
  const there = Array.from(values)
    .filter(Number.isFinite)
    .sort((x, y) => x - y);
  return there.length >= LEAST_RUN * values.length ? there : null;
}
