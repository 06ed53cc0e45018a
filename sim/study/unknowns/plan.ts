/**
 * What to ask to learn what is not known: first the draws and each unknown moved by itself, then the shares.
 *
 * In: project, notes, one run per kart. Out: sweeps in chunks small enough for progress and Stop. Draws are numbered; draw
 * n belongs to block n mod BLOCKS and is point floor(n / BLOCKS) of that block's scrambled sequence, so more draws extend
 * the same ones, and blocks are independent repeats whose scatter tells the standard error. All karts share the draws.
 */
import { hash, sobolSequence } from '../../numerics/sobol.ts';
import type { InputChange } from '../../project/changed-inputs.ts';
import type { InputNote } from '../../project/origins.ts';
import type { Project } from '../../project/schema.ts';
import type { RunRequest, SweepRequest } from '../../run/perform.ts';
import { STUDY_LAP_SPACING } from '../study-lap.ts';
import type { Unknown } from './unknown.ts';
import { drawer, placesOf, unknownsOf } from './unknown.ts';

export interface UnknownsOptions {
  /** One run per kart, all of one verb; the first is the one the others are compared with. */
  readonly runs: readonly RunRequest[];
  readonly draws?: number;
  readonly seed?: number;
}

export const DEFAULT_DRAWS = 2000;
export const LEAST_DRAWS = 64;
export const MOST_DRAWS = 100_000;
/** Independent repeats; eight leave a standard error known to a quarter of itself. */
export const BLOCKS = 8;
/** Runs per request: about 20 ms of laps, between two chances to stop. */
const CHUNK: Readonly<Partial<Record<RunRequest['verb'], number>>> = { lap: 12, sheet: 100 };
const OTHER_CHUNK = 20;

export interface UnknownsPlan {
  readonly runs: readonly RunRequest[];
  readonly unknowns: readonly Unknown[];
  readonly draws: number;
  readonly seed: number;
  readonly requests: readonly SweepRequest[];
  /** Answers per run in their order: the base, the draws, then each of its unknowns less and more by its spread. */
  readonly variantsOfRun: readonly number[];
}

export function planUnknowns(
  project: Project,
  notes: readonly InputNote[],
  { runs: asked, draws: wanted = DEFAULT_DRAWS, seed = 1 }: UnknownsOptions,
): UnknownsPlan {
  const runs = asked.map(atStudySpacing);
  const draws = Math.min(MOST_DRAWS, Math.max(LEAST_DRAWS, Math.round(wanted)));
  const unknowns = unknownsOf(project, notes, runs);
  const points = pointMaker(unknowns.length, seed);
  const draw = unknowns.map(drawer);
  // One row of values per draw, shared by all karts.
  const drawn = Array.from({ length: draws }, (_, n) => points(n, 'a').map((u, i) => draw[i]!(u)));
  const variants = runs.map((run, r): InputChange[][] => {
    const places = placesOf(unknowns, r, run.kart);
    const moved = unknowns.flatMap((unknown, i) =>
      unknown.usedBy[r]
        ? [-1, 1].map((side) => {
            const value = unknown.note.value + side * unknown.note.spread;
            const kept = Math.min(unknown.max, Math.max(unknown.min, value));
            return places.filter((p) => p.unknown === i).map(({ path }) => ({ path, value: kept }));
          })
        : [],
    );
    return [
      [],
      ...drawn.map((values) => places.map(({ path, unknown }) => ({ path, value: values[unknown]! }))),
      ...moved,
    ];
  });
  return {
    runs,
    unknowns,
    draws,
    seed,
    requests: runs.flatMap((run, r) => chunks(run, variants[r]!)),
    variantsOfRun: variants.map((list) => list.length),
  };
}

/** Draw n of the one set or the other, a and b being independent coordinates of one point. */
export function pointMaker(unknowns: number, seed: number): (n: number, set: 'a' | 'b') => Float64Array {
  const sequence = sobolSequence(2 * unknowns);
  // The first coordinates do not hang on how many follow.
  const half = sobolSequence(unknowns);
  const seeds = Array.from({ length: BLOCKS }, (_, block) => hash(seed, block));
  const point = new Float64Array(2 * unknowns);
  return (n, set) => {
    const [place, of] = [Math.floor(n / BLOCKS), seeds[n % BLOCKS]!];
    return set === 'a' ? half.point(place, of) : sequence.point(place, of, point).slice(unknowns);
  };
}

export function chunks(of: RunRequest, variants: readonly (readonly InputChange[])[]): SweepRequest[] {
  const size = CHUNK[of.verb] ?? OTHER_CHUNK;
  return Array.from({ length: Math.ceil(variants.length / size) }, (_, k) => ({
    verb: 'sweep',
    of,
    variants: variants.slice(k * size, (k + 1) * size),
  }));
}

function atStudySpacing(run: RunRequest): RunRequest {
  return run.verb === 'lap' && run.spacing === undefined ? { ...run, spacing: STUDY_LAP_SPACING } : run;
}
