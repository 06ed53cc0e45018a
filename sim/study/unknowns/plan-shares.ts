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
import { changesOf, drawnValue } from './unknown.ts';

/** Each a set of unknowns taken from B together. */
export interface SharesPlan {
  readonly rows: number;
  readonly groups: readonly (readonly number[])[];
  readonly requests: readonly SweepRequest[];
  readonly variantsOfRun: readonly number[];
}

/** Unknowns looked at one by one; the rest are one group. */
const MOST_SINGLE = 10;
/** Share of the variance, by itself, below which an unknown joins the rest. */
const LEAST_SHARE = 0.01;
/** Points per draw: the shares need fewer than the ends of an interval. */
const ROWS_PER_DRAW = 1 / 8;
const LEAST_ROWS = 8 * BLOCKS;

/** Undefined where nothing was answered to go by. */
export function planShares(plan: UnknownsPlan, answers: SweepAnswers): SharesPlan | undefined {
  const { runs, unknowns, draws, seed } = plan;
  const answered = figuresByRun(plan.requests, plan.variantsOfRun, answers);
  const figure = mainFigureOf(runs, answered);
  if (figure === undefined || unknowns.length === 0) return undefined;
  const swings = swingsOf(
    plan,
    answered.map((list) => valuesOf(list, figure)),
  );
  const groups = groupsOf(swings);
  const rows = Math.min(draws, Math.max(LEAST_ROWS, Math.round((draws * ROWS_PER_DRAW) / BLOCKS) * BLOCKS));
  const points = pointMaker(unknowns.length, seed);
  const pairs = Array.from({ length: rows }, (_, n) => ({ a: points(n, 'a'), b: points(n, 'b') }));
  const variants = runs.map((run, r) => {
    const at = (n: number, fromB: (i: number) => boolean): InputChange[] =>
      changesOf(
        unknowns,
        r,
        (i) => drawnValue(unknowns[i]!, (fromB(i) ? pairs[n]!.b : pairs[n]!.a)[i]!),
        run.kart,
      );
    return [
      ...pairs.map((_, n) => at(n, () => true)),
      ...groups
        .filter((group) => isUsed(plan, group, r))
        .flatMap((group) => pairs.map((_, n) => at(n, (i) => group.includes(i)))),
    ];
  });
  return {
    rows,
    groups,
    requests: runs.flatMap((run, r) => chunks(run, variants[r]!)),
    variantsOfRun: variants.map((list) => list.length),
  };
}

export function isUsed(plan: UnknownsPlan, group: readonly number[], run: number): boolean {
  return group.some((i) => plan.unknowns[i]!.usedBy[run]);
}

/** Half the swing of each target per unknown, [target][unknown]. */
export function swingsOf(plan: UnknownsPlan, values: readonly (readonly number[])[]): number[][] {
  const byRun = plan.runs.map((_, r) => {
    const list = values[r]!;
    let at = 1 + plan.draws;
    return plan.unknowns.map((unknown) => {
      if (!unknown.usedBy[r]) return 0;
      const [less, more] = [list[at]!, list[at + 1]!];
      at += 2;
      const base = list[0]!;
      // Where the kart cannot run on one side, the other stands for both.
      const half = Number.isFinite(less)
        ? Number.isFinite(more)
          ? (more - less) / 2
          : base - less
        : more - base;
      return Number.isFinite(half) ? half : 0;
    });
  });
  return targetsOf(plan.runs).map((target) => Array.from(targetValues(target, (run) => byRun[run]!)));
}

function groupsOf(swings: readonly (readonly number[])[]): number[][] {
  const count = swings[0]?.length ?? 0;
  const shares = swings.map((list) => {
    const whole = list.reduce((sum, x) => sum + x * x, 0);
    return list.map((x) => (whole > 0 ? (x * x) / whole : 0));
  });
  const ranked = Array.from({ length: count }, (_, i) => ({
    i,
    share: Math.max(...shares.map((list) => list[i]!)),
  })).sort((p, q) => q.share - p.share || p.i - q.i);
  const single = ranked.filter(({ share }, k) => k < MOST_SINGLE && share >= LEAST_SHARE).map(({ i }) => i);
  const rest = ranked.map(({ i }) => i).filter((i) => !single.includes(i));
  return [...single.map((i) => [i]), ...(rest.length > 0 ? [rest.sort((p, q) => p - q)] : [])];
}
