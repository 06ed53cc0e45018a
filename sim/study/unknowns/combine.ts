/**
 * What is not known, as an answer: intervals, who is better and how surely, which unknown is to blame, what to measure.
 *
 * In: a plan and the answers so far, then the second round's. Out: plain data; what is not answered yet is left out and
 * counted. Pure: the same answers give the same bits, whoever computed them in whatever order.
 */
import type { InputNote } from '../../project/origins.ts';
import type { RunRequest } from '../../run/perform.ts';
import type { Verdict } from '../decided.ts';
import { DECIDED, verdictOn } from '../decided.ts';
import { CLOCK_NOISE } from '../teeth/teeth.ts';
import { parabolaOf } from './additive-stand-in.ts';
import type { Answered, SweepAnswers } from './answers.ts';
import { figuresByRun } from './answers.ts';
import type { Better } from './figures-compared.ts';
import { betterWay, leastDifference } from './figures-compared.ts';
import type { Measuring, NotMeasured } from './measuring.ts';
import { whyNotMeasured, worthOf } from './measuring.ts';
import type { UnknownsPlan } from './plan.ts';
import type { SharesPlan } from './plan-shares.ts';
import { isUsed, movesOf } from './plan-shares.ts';
import type { Spread } from './statistics.ts';
import { deviationOf, meanOf, shareBelowZero, spreadOfDraws } from './statistics.ts';
import { mainFigureOf, targetsOf, targetValues, valuesOf } from './targets.ts';
import type { Unknown } from './unknown.ts';
import type { Share, StandInPart } from './variance-shares.ts';
import { varianceShares } from './variance-shares.ts';

export interface FigureSpread {
  readonly figure: string;
  /** With every input at the value in the file. */
  readonly base: number | null;
  /** Absent while fewer than two draws are answered. */
  readonly spread?: Spread;
}

export interface Decision {
  readonly figure: string;
  readonly better: Better;
  readonly first: string;
  readonly second: string;
  /** Probability that the second is better than the first, on common draws, and its standard error. */
  readonly secondBetter: number;
  readonly error: number;
  /** Second less first. */
  readonly difference: Spread;
  readonly verdict: 'second' | 'first' | 'open';
  /** The same evidence in the word every study uses for it */
  readonly sureness: Verdict;
}

export interface UnknownShare extends Share {
  /** One unknown, or several taken together as 'the rest'. */
  readonly paths: readonly string[];
}

export interface VarianceOf {
  readonly figure: string;
  readonly kart: string;
  /** For a difference: the kart it is taken from. */
  readonly against?: string;
  readonly deviation: number;
  /** 'sampled': shares with standard errors. 'one at a time': by the swings alone, as if nothing interacted. */
  readonly from: 'sampled' | 'one at a time';
  /** Largest first, those taken together last; what has no part in it, or is not known to have one yet, is left out. */
  readonly shares: readonly UnknownShare[];
  /** What to measure, most useful first. */
  readonly measuring: readonly Measuring[];
  /** Those to blame for a twentieth and more of the variance that are not among `measuring`, and why; largest first. */
  readonly notMeasured: readonly {
    readonly path: string;
    readonly total: number;
    readonly why: NotMeasured;
  }[];
}

export interface UnknownsResult {
  readonly verb: RunRequest['verb'];
  readonly mainFigure: string | null;
  readonly draws: number;
  readonly answered: number;
  /** Draws, of all karts, in which a kart could not run. */
  readonly refused: number;
  readonly seed: number;
  /** `paths`: every place that takes the drawn value, the note's own first; several where karts share a driver. */
  readonly unknowns: readonly (InputNote & {
    readonly min: number;
    readonly max: number;
    readonly paths: readonly string[];
  })[];
  readonly karts: readonly {
    readonly kart: string;
    readonly figures: readonly FigureSpread[];
    /** The main figure draw by draw, NaN where the kart could not run: for a histogram. */
    readonly sample: Float64Array;
  }[];
  readonly decisions: readonly Decision[];
  readonly variance: readonly VarianceOf[];
}

export function combineUnknowns(
  plan: UnknownsPlan,
  answers: SweepAnswers,
  second?: { readonly plan: SharesPlan; readonly answers: SweepAnswers },
): UnknownsResult {
  const { runs, unknowns, draws, seed } = plan;
  const byRun = figuresByRun(plan.requests, plan.variantsOfRun, answers);
  const drawn = byRun.map((list) => list.slice(1, 1 + draws));
  const main = mainFigureOf(runs, byRun);
  return {
    verb: runs[0]!.verb,
    mainFigure: main ?? null,
    draws,
    answered: Math.min(...drawn.map((list) => list.filter((x) => x !== undefined).length)),
    refused: drawn.reduce((sum, list) => sum + list.filter((x) => x === null).length, 0),
    seed,
    unknowns: unknowns.map(({ note, min, max, paths }) => ({ ...note, min, max, paths })),
    karts: runs.map((run, r) => ({
      kart: run.kart,
      figures: figuresOfKart(byRun[r]!, drawn[r]!),
      sample: Float64Array.from(main === undefined ? [] : valuesOf(drawn[r]!, main)),
    })),
    decisions: decisionsOf(plan, drawn),
    variance: main === undefined ? [] : varianceOf(plan, main, byRun, second),
  };
}

function figuresOfKart(all: Answered, drawn: Answered): FigureSpread[] {
  const base = all[0] ?? {};
  const names = Object.keys(base).length > 0 ? Object.keys(base) : Object.keys(drawn.find((d) => d) ?? {});
  return names.map((figure) => {
    const spread = spreadOfDraws(valuesOf(drawn, figure));
    return { figure, base: base[figure] ?? null, ...(spread === undefined ? {} : { spread }) };
  });
}

function decisionsOf({ runs }: UnknownsPlan, drawn: readonly Answered[]): Decision[] {
  const verb = runs[0]!.verb;
  const names = Object.keys(drawn[0]?.find((d) => d) ?? {});
  return runs.slice(1).flatMap((run, k) =>
    names.flatMap((figure): Decision[] => {
      const better = betterWay(verb, figure);
      const first = valuesOf(drawn[0]!, figure);
      const difference = valuesOf(drawn[k + 1]!, figure).map((x, n) => x - first[n]!);
      const spread = spreadOfDraws(difference);
      const below = shareBelowZero(difference);
      if (better === undefined || spread === undefined || below === undefined) return [];
      const secondBetter = better === 'less' ? below.share : 1 - below.share;
      return [
        {
          figure,
          better,
          first: runs[0]!.kart,
          second: run.kart,
          secondBetter,
          error: below.error,
          difference: spread,
          ...verdictsOn(figure, spread, secondBetter),
        },
      ];
    }),
  );
}

/** Nine draws in ten within what is worth saying are no difference; only the middle within it, too close to call. */
export function verdictsOn(
  figure: string,
  { p5, p50, p95 }: Pick<Spread, 'p5' | 'p50' | 'p95'>,
  secondBetter: number,
): Pick<Decision, 'sureness' | 'verdict'> {
  const least = leastDifference(figure);
  if ([p5, p50, p95].every((x) => Math.abs(x) < least)) return { sureness: 'no difference', verdict: 'open' };
  return {
    sureness: verdictOn(p50, secondBetter, figure === 'lap time' ? CLOCK_NOISE : least),
    verdict: secondBetter >= DECIDED ? 'second' : secondBetter <= 1 - DECIDED ? 'first' : 'open',
  };
}

function varianceOf(
  plan: UnknownsPlan,
  figure: string,
  byRun: readonly Answered[],
  second?: { readonly plan: SharesPlan; readonly answers: SweepAnswers },
): VarianceOf[] {
  const values = byRun.map((list) => valuesOf(list, figure));
  const moves = movesOf(plan, values);
  const sampled = second === undefined ? undefined : sampledShares(plan, figure, values, moves, second);
  return targetsOf(plan.runs).map((target, t) => {
    const sample = Array.from(targetValues(target, (r) => values[r]!.slice(1, 1 + plan.draws))).filter(
      Number.isFinite,
    );
    const deviation = sample.length > 1 ? deviationOf(sample) : 0;
    const shares = sampled?.[t] ?? swingShares(plan, moves[t]!);
    const comparison =
      target.against === undefined || sample.length < 2 ? undefined : { mean: meanOf(sample), deviation };
    const measuring = measuringOf(plan, shares, comparison);
    return {
      figure,
      kart: plan.runs[target.run]!.kart,
      ...(target.against === undefined ? {} : { against: plan.runs[target.against]!.kart }),
      deviation,
      from: sampled === undefined ? 'one at a time' : 'sampled',
      shares: shares
        .filter(({ total }) => total > 0)
        .sort((p, q) => Math.sign(p.paths.length - 1) - Math.sign(q.paths.length - 1) || q.total - p.total),
      measuring,
      notMeasured: notMeasuredOf(plan, shares, measuring),
    };
  });
}

/** By the law of propagation: each swing's square over the sum of the squares. */
function swingShares(plan: UnknownsPlan, { less, more }: ReturnType<typeof movesOf>[number]): UnknownShare[] {
  const swings = less.map((x, i) => (more[i]! - x) / 2);
  const whole = swings.reduce((sum, x) => sum + x * x, 0);
  return plan.unknowns.map(({ path }, i) => {
    const share = whole > 0 ? swings[i]! ** 2 / whole : 0;
    return { paths: [path], first: share, total: share, firstError: 0, totalError: 0 };
  });
}

/** Undefined while a part of the second round is missing. */
function sampledShares(
  plan: UnknownsPlan,
  figure: string,
  values: readonly (readonly number[])[],
  moves: ReturnType<typeof movesOf>,
  { plan: shares, answers }: { readonly plan: SharesPlan; readonly answers: SweepAnswers },
): UnknownShare[][] | undefined {
  const { rows, groups } = shares;
  const second = figuresByRun(shares.requests, shares.variantsOfRun, answers);
  if (second.some((list) => list.some((x) => x === undefined))) return undefined;
  const a = values.map((list) => list.slice(1, 1 + rows));
  const rest = second.map((list) => valuesOf(list, figure));
  const b = rest.map((list) => list.slice(0, rows));
  const mixed = plan.runs.map((_, r) => {
    let from = rows;
    return groups.map((group) => {
      if (!isUsed(plan, group, r)) return undefined;
      from += rows;
      return rest[r]!.slice(from - rows, from);
    });
  });
  return targetsOf(plan.runs).map((target, t) =>
    varianceShares(
      {
        a: targetValues(target, (r) => a[r]!),
        b: targetValues(target, (r) => b[r]!),
        mixed: groups.map((_, g) => {
          const used = [target.run, ...(target.against === undefined ? [] : [target.against])];
          if (used.every((r) => mixed[r]![g] === undefined)) return undefined;
          // A run that does not draw on it answers as at A.
          return targetValues(target, (r) => mixed[r]![g] ?? a[r]!);
        }),
      },
      standInFor(plan, shares, moves[t]!),
    ).map((share, g) => ({ ...share, paths: groups[g]!.map((i) => plan.unknowns[i]!.path) })),
  );
}

function standInFor(
  { unknowns }: UnknownsPlan,
  { pairs, groups }: SharesPlan,
  { less, more }: ReturnType<typeof movesOf>[number],
): StandInPart[] {
  const parabolas = unknowns.map((unknown, i) => parabolaOf(unknown, less[i]!, more[i]!));
  return groups.map((group) => {
    const sum = (of: (i: number) => number) => group.reduce((total, i) => total + of(i), 0);
    const at = (set: 'a' | 'b') =>
      Float64Array.from(pairs, (pair) => sum((i) => parabolas[i]!.at(pair[set][i]!)));
    return { a: at('a'), b: at('b'), variance: sum((i) => parabolas[i]!.variance) };
  });
}

function measuringOf(
  plan: UnknownsPlan,
  shares: readonly UnknownShare[],
  comparison: { readonly mean: number; readonly deviation: number } | undefined,
): Measuring[] {
  return shares
    .flatMap((share) => {
      const unknown = singleOf(plan, share);
      return unknown === undefined ? [] : (worthOf(unknown, share, comparison) ?? []);
    })
    .filter((m) => m.narrower > LEAST_NARROWER)
    .sort((p, q) => q.narrower - p.narrower);
}

function notMeasuredOf(
  plan: UnknownsPlan,
  shares: readonly UnknownShare[],
  measuring: readonly Measuring[],
): VarianceOf['notMeasured'] {
  return shares
    .flatMap((share) => {
      const unknown = singleOf(plan, share);
      const isListed = measuring.some(({ path }) => path === unknown?.path);
      return unknown === undefined || isListed || share.total < LEAST_BLAME
        ? []
        : [{ path: unknown.path, total: share.total, why: whyNotMeasured(unknown) }];
    })
    .sort((p, q) => q.total - p.total);
}

function singleOf({ unknowns }: UnknownsPlan, { paths }: UnknownShare): Unknown | undefined {
  return paths.length === 1 ? unknowns.find(({ path }) => path === paths[0]) : undefined;
}

/** Below this nobody would see the difference. */
const LEAST_NARROWER = 0.002;
/** Share of the variance from which on it is said why an unknown is not to be measured. */
const LEAST_BLAME = 0.05;
