/**
 * The second round: which unknowns the variance is shared among, and the runs it takes.
 *
 * In: a plan and its answers. Out: sweeps at points B and at points A with one unknown from B. Those that move an answer
 * least when moved by themselves are taken as one group, which costs one row and leaves no variance unaccounted for.
 */
import type { InputChange } from '../../project/changed-inputs.ts';
import type { SweepRequest } from '../../run/perform.ts';
import type { SweepAnswers } from './answers.ts';
import { figuresByRun } from './answers.ts';
import type { UnknownsPlan } from './plan.ts';
import { BLOCKS, chunks, pointMaker } from './plan.ts';
import { mainFigureOf, targetsOf, targetValues, valuesOf } from './targets.ts';
import { drawer, placesOf } from './unknown.ts';

/** Each a set of unknowns taken from B together. */
export interface SharesPlan {
  readonly rows: number;
  /** Row by row, a value of each unknown at A and at B. */
  readonly pairs: readonly { readonly a: readonly number[]; readonly b: readonly number[] }[];
  readonly groups: readonly (readonly number[])[];
  readonly requests: readonly SweepRequest[];
  readonly variantsOfRun: readonly number[];
}

/** Unknowns looked at one by one; the rest are one group. */
const MOST_SINGLE = 12;
/** Share of the variance, by itself, below which an unknown joins the rest. */
const LEAST_SHARE = 0.005;
/** Points per draw: the shares need fewer than the ends of an interval. */
const ROWS_PER_DRAW = 1 / 8;
const LEAST_ROWS = 4 * BLOCKS;

/** Undefined where nothing was answered to go by. */
export function planShares(plan: UnknownsPlan, answers: SweepAnswers): SharesPlan | undefined {
  const { runs, unknowns, draws, seed } = plan;
  const answered = figuresByRun(plan.requests, plan.variantsOfRun, answers);
  const figure = mainFigureOf(runs, answered);
  if (figure === undefined || unknowns.length === 0) return undefined;
  const moves = movesOf(
    plan,
    answered.map((list) => valuesOf(list, figure)),
  );
  const groups = groupsOf(moves);
  const rows = Math.min(draws, Math.max(LEAST_ROWS, Math.round((draws * ROWS_PER_DRAW) / BLOCKS) * BLOCKS));
  const points = pointMaker(unknowns.length, seed);
  const draw = unknowns.map(drawer);
  const valuesAt = (n: number, set: 'a' | 'b') => Array.from(points(n, set), (u, i) => draw[i]!(u));
  const pairs = Array.from({ length: rows }, (_, n) => ({ a: valuesAt(n, 'a'), b: valuesAt(n, 'b') }));
  const variants = runs.map((run, r) => {
    const places = placesOf(unknowns, r, run.kart);
    const at = (n: number, fromB: (i: number) => boolean): InputChange[] =>
      places.map(({ path, unknown }) => ({
        path,
        value: (fromB(unknown) ? pairs[n]!.b : pairs[n]!.a)[unknown]!,
      }));
    return [
      ...pairs.map((_, n) => at(n, () => true)),
      ...groups
        .filter((group) => isUsed(plan, group, r))
        .flatMap((group) => {
          const taken = new Set(group);
          return pairs.map((_, n) => at(n, (i) => taken.has(i)));
        }),
    ];
  });
  return {
    rows,
    pairs,
    groups,
    requests: runs.flatMap((run, r) => chunks(run, variants[r]!)),
    variantsOfRun: variants.map((list) => list.length),
  };
}

export function isUsed(plan: UnknownsPlan, group: readonly number[], run: number): boolean {
  return group.some((i) => plan.unknowns[i]!.usedBy[run]);
}

/** How far each target moves, less its base, with each unknown less and more by its spread: [target][unknown]. */
export function movesOf(
  plan: UnknownsPlan,
  values: readonly (readonly number[])[],
): { readonly less: readonly number[]; readonly more: readonly number[] }[] {
  const byRun = plan.runs.map((_, r) => {
    const list = values[r]!;
    let at = 1 + plan.draws;
    const less: number[] = [];
    const more: number[] = [];
    for (const unknown of plan.unknowns) {
      const [down, up] = unknown.usedBy[r] ? [list[at]! - list[0]!, list[at + 1]! - list[0]!] : [0, 0];
      if (unknown.usedBy[r]) at += 2;
      // Where the kart cannot run on one side, the other stands for both.
      less.push(Number.isFinite(down) ? down : Number.isFinite(up) ? -up : 0);
      more.push(Number.isFinite(up) ? up : Number.isFinite(down) ? -down : 0);
    }
    return { less, more };
  });
  return targetsOf(plan.runs).map((target) => ({
    less: Array.from(targetValues(target, (run) => byRun[run]!.less)),
    more: Array.from(targetValues(target, (run) => byRun[run]!.more)),
  }));
}

/** By the larger half, so that an unknown that can only make things worse is not hidden by its average. */
function groupsOf(moves: ReturnType<typeof movesOf>): number[][] {
  const count = moves[0]?.less.length ?? 0;
  const shares = moves.map(({ less, more }) => {
    const sizes = less.map((x, i) => Math.max(Math.abs(x), Math.abs(more[i]!)) ** 2);
    const whole = sizes.reduce((sum, x) => sum + x, 0);
    return sizes.map((x) => (whole > 0 ? x / whole : 0));
  });
  const ranked = Array.from({ length: count }, (_, i) => ({
    i,
    share: Math.max(...shares.map((list) => list[i]!)),
  })).sort((p, q) => q.share - p.share || p.i - q.i);
  const single = ranked.filter(({ share }, k) => k < MOST_SINGLE && share >= LEAST_SHARE).map(({ i }) => i);
  const rest = ranked.map(({ i }) => i).filter((i) => !single.includes(i));
  return [...single.map((i) => [i]), ...(rest.length > 0 ? [rest.sort((p, q) => p - q)] : [])];
}
