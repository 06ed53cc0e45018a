/**
 * Which teeth: every sprocket pair at hand on every track, which to fit where, and which to carry.
 *
 * In: project, kart, day, tracks, owned or all, the reader's notes. Out: a study in two rounds - laps with every pair;
 * then each unknown moved by its spread at the pairs compared. Its result holds each pair's lap and chain, the best pair,
 * its near-ties and how sure its gain is per track, the best compromise, the smallest set worth carrying, and tyre changes
 * as teeth.
 */
import { compileKart } from '../../compile/kart.ts';
import { centreDistanceFor, evenLinks, linksFor } from '../../physics/chain.ts';
import { withInputs } from '../../project/changed-inputs.ts';
import type { InputNote } from '../../project/origins.ts';
import type { Problem } from '../../project/problem.ts';
import { isBlocking, problem, warning } from '../../project/problem.ts';
import type { Project } from '../../project/schema.ts';
import type { ChainSheet } from '../../run/chain-sheet.ts';
import { bearsOnKarts, chainSheet, topGearOf } from '../../run/chain-sheet.ts';
import type { Figures } from '../../run/figures.ts';
import type { RunRequest } from '../../run/perform.ts';
import type { Verdict } from '../decided.ts';
import { probabilityBelowZero, verdictOn } from '../decided.ts';
import type { FirstOrder } from '../first-order.ts';
import { firstOrderDifference, probesOf } from '../first-order.ts';
import { inputsInUse } from '../inputs-in-use.ts';
import { probedFigure, probeVariants } from '../probed-figure.ts';
import type { Answers, Grid, Planned } from '../study.ts';
import { figure, figuresAt, STUDY_LAP_SPACING, seriesOf } from '../study.ts';
import type { SprocketPair, SprocketsAtHand, Stock } from './sprocket-pairs.ts';
import { fitting, sprocketsAtHand } from './sprocket-pairs.ts';
import type { CarriedSet } from './worth-carrying.ts';
import { bestBoxes, worthCarrying } from './worth-carrying.ts';

export interface TeethOptions {
  readonly kart: string;
  readonly day: string;
  readonly tracks: readonly string[];
  readonly stock: Stock;
  /** Laps this close cannot be told apart, s; CLOCK_NOISE where absent */
  readonly noise?: number;
  /** What a set worth carrying may lose on a track, s; the noise where absent */
  readonly cover?: number;
  /** The reader's notes: with them come spreads and probabilities */
  readonly notes?: readonly InputNote[];
}

/**
 * s. Lap after lap of one driver scatters by some tenths, so that half a tenth shows on no clock.
 * Assumed; larger hides more pairs behind near-ties.
 */
export const CLOCK_NOISE = 0.05;

export interface PairLap {
  readonly time: number;
  /** m/s, reached on the lap */
  readonly topSpeed: number;
  readonly shifts: number;
  /** s */
  readonly limiterTime: number;
  /** Longest stretch on the limiter up to a braking point, m */
  readonly limiterBeforeBraking: number;
  /** Chain speed at the top speed reached, m/s */
  readonly chainSpeed: number;
}

export interface PairSheet extends SprocketPair {
  readonly chain: ChainSheet;
  /** Axle to be moved back from where the fitted pair has it, with the same chain, m; null where not known */
  readonly slotFromFitted: number | null;
  /** Road speed at the limiter per gear, m/s; null for a belt between its ends */
  readonly speedsInGears: readonly (number | null)[];
}

export interface TeethOnTrack {
  readonly track: string;
  /** Per pair; null: cannot be driven so; undefined: not answered yet */
  readonly laps: readonly (PairLap | null | undefined)[];
  /** Index of the quickest pair, -1 where there is none yet */
  readonly best: number;
  /** Pairs no clock tells from the best, the best among them */
  readonly ties: readonly number[];
  /** The pair to fit: of the near-ties the one on the kart, else one owned that asks least of the chain; -1 for none */
  readonly named: number;
  /** One standard deviation of the lap with the named pair, s; null without notes */
  readonly spread: number | null;
  /** What the named pair is worth: against the pair fitted, or where that is named against the next no near-tie holds */
  readonly rival: RivalPair | null;
  /** Where the best is the last pair on one side: beyond it there may be a quicker one */
  readonly edge: 'tallest' | 'shortest' | null;
}

export interface RivalPair {
  readonly pair: number;
  /** Its lap less that of the named pair, s */
  readonly difference: number;
  /** Of the difference, s: what both rest on alike cancels; null without notes */
  readonly spread: number | null;
  /** That the named pair is the quicker; null without notes */
  readonly probability: number | null;
  readonly verdict: Verdict | null;
}

export interface TeethResult {
  readonly kart: string;
  readonly day: string;
  readonly noise: number;
  readonly cover: number;
  readonly fronts: readonly number[];
  readonly rears: readonly number[];
  readonly gears: readonly string[];
  readonly pairs: readonly PairSheet[];
  /** Pair by front (row) and rear (column) */
  readonly grid: Grid<Int16Array>;
  /** The pair on the kart, -1 where it has none */
  readonly fitted: number;
  readonly tracks: readonly TeethOnTrack[];
  /** Least sum of relative losses over the tracks; what it costs on each and one standard deviation of that, s */
  readonly compromise: {
    readonly pair: number;
    readonly losses: readonly number[];
    readonly spreads: readonly (number | null)[];
  } | null;
  readonly carry: CarriedPairs | null;
  /** The best that two, three ... sprockets do over several tracks; empty for one track, and until all laps are there */
  readonly boxes: readonly CarriedSet[];
  readonly tyres: readonly TyreAsTeeth[];
  readonly done: number;
  readonly total: number;
}

export interface CarriedPairs extends CarriedSet {
  /** One chain for all of them, links, and how far the axle moves between them, m; null where not known */
  readonly links: number | null;
  readonly slotTravel: number | null;
}

/** What another rear tyre does, said in teeth. */
export interface TyreAsTeeth {
  readonly tyre: string;
  readonly radius: number;
  /** Thrust at the ground and turns per metre against the tyre fitted, as a ratio */
  readonly shortens: number;
  /** Teeth behind that would give the tyre fitted the same gearing */
  readonly actsAs: number;
  /** Teeth behind that keep the present gearing with that tyre */
  readonly keepsWith: number;
}

export function planTeeth(project: Project, options: TeethOptions): Planned<TeethResult> {
  const { kart: id, day, tracks, stock } = options;
  const { kart, problems } = compileKart(project, { kart: id, day });
  const spec = project.karts[id];
  if (kart === undefined || spec === undefined || isBlocking(problems)) return { problems };
  const hand = sprocketsAtHand(project, id, stock);
  if (hand.pairs.length === 0)
    return {
      problems: [
        problem('no-sprockets', 'sprockets', 'there is no pair of sprockets to try', {
          remedy: stock === 'owned' ? 'mark some as owned, or look at all' : 'list front and rear sprockets',
        }),
      ],
    };
  const told: Problem[] = hand.suggested
    ? [
        warning(
          'no-sprockets',
          'sprockets',
          'the file lists no sprockets: those around the fitted pair are tried',
          {
            remedy: 'list the sprockets owned and those that can be bought',
          },
        ),
      ]
    : [];
  const lap = (track: string) =>
    ({ verb: 'lap', kart: id, day, track, spacing: STUDY_LAP_SPACING }) as const satisfies RunRequest;
  const probes = tracks.map((track) => probesOf(inputsInUse(options.notes ?? [], lap(track), project)));
  const { requests, series } = seriesOf(
    tracks.map((track) => ({
      of: lap(track),
      variants: hand.pairs.map((pair) => [fitting(id, pair)]),
    })),
  );
  const sheets = pairSheets(project, options, hand);
  const still = {
    kart: id,
    day,
    noise: options.noise ?? CLOCK_NOISE,
    cover: options.cover ?? options.noise ?? CLOCK_NOISE,
    fronts: hand.front.map((s) => s.teeth),
    rears: hand.rear.map((s) => s.teeth),
    gears: kart.drivetrain.gears.map((gear) => gear.name),
    pairs: sheets,
    grid: gridOf(hand),
    fitted: hand.pairs.findIndex((p) => p.front === spec.sprockets?.front && p.rear === spec.sprockets.rear),
    tyres: tyresAsTeeth(project, options),
    total: tracks.length * hand.pairs.length,
  };
  const lapsOf = (answers: Answers) =>
    tracks.map((track, t) => {
      const laps = sheets.map((pair, i) => lapOf(figuresAt(answers, series[t]!, i), pair));
      const best = bestOf(laps, still.noise);
      const named = namedPair(sheets, best, still.fitted);
      const rival = rivalPair(laps, best.ties, named, still.fitted);
      return { track, laps, ...best, named, rival, edge: edgeOf(sheets, best) };
    });
  const lossesOf = (found: ReturnType<typeof lapsOf>) =>
    found.map(({ laps, best }) =>
      laps.map((lap) => (lap == null || best < 0 ? null : lap.time - laps[best]!.time)),
    );

  /** Each unknown moved by its spread, at the pairs that are compared; undefined while these are not known. */
  const probing = (answers: Answers) => {
    const found = lapsOf(answers);
    if (found.some(({ laps }) => laps.includes(undefined))) return undefined;
    const compromise = compromiseOf(found, lossesOf(found))?.pair ?? -1;
    const tried = found.flatMap(({ track, best, named, rival }, t) =>
      [...new Set([best, named, rival, compromise])]
        .filter((pair) => pair >= 0 && probes[t]!.length > 0)
        .map((pair) => ({ t, pair, track })),
    );
    const { requests: asked, series: at } = seriesOf(
      tried.map(({ t, pair, track }) => ({
        of: { ...lap(track), changes: [fitting(id, hand.pairs[pair]!)] },
        variants: probeVariants(probes[t]!),
      })),
      requests.length,
    );
    const probed = (t: number, pair: number): FirstOrder | null => {
      const k = tried.findIndex((one) => one.t === t && one.pair === pair);
      const base = found[t]!.laps[pair];
      return k < 0 || base == null ? null : probedFigure(answers, at[k]!, probes[t]!, 'lap time', base.time);
    };
    return { requests: asked, probed };
  };

  // Follows from the first round alone, and is asked for again with every answer of the second.
  let boxes: readonly CarriedSet[] | undefined;
  const combine = (answers: Answers): TeethResult => {
    const found = lapsOf(answers);
    const losses = lossesOf(found);
    const probed = probing(answers)?.probed ?? (() => null);
    const spreadBetween = (t: number, a: number, b: number) => {
      const [x, y] = [probed(t, a), probed(t, b)];
      return x === null || y === null ? null : firstOrderDifference(x, y).spread;
    };
    const done = found.reduce((n, t) => n + t.laps.filter((one) => one !== undefined).length, 0);
    const carried = done === still.total ? worthCarrying(hand, losses, still.cover) : null;
    const compromise = compromiseOf(found, losses);
    if (done === still.total && tracks.length > 1) boxes ??= bestBoxes(hand, losses);
    return {
      ...still,
      tracks: found.map(
        ({ rival, ...on }, t): TeethOnTrack => ({
          ...on,
          spread: probed(t, on.named)?.spread ?? null,
          rival:
            rival < 0
              ? null
              : comparedWith(
                  rival,
                  on.laps[rival]!.time - on.laps[on.named]!.time,
                  spreadBetween(t, on.named, rival),
                  still.noise,
                ),
        }),
      ),
      compromise:
        compromise === null
          ? null
          : {
              ...compromise,
              spreads: found.map(({ best }, t) => spreadBetween(t, best, compromise.pair)),
            },
      carry: carried === null ? null : { ...carried, ...oneChain(sheets, carried.pairs) },
      boxes: boxes ?? [],
      done,
    };
  };
  return {
    study: {
      requests,
      more: (answers) => (answers.length > requests.length ? [] : (probing(answers)?.requests ?? [])),
      combine,
    },
    problems: told,
  };
}

/**
 * Of the pairs no clock tells apart: the one fitted, else owned before to be bought, then what asks least of the chain, then
 * the larger sprocket in front, round which the chain bends less.
 */
function namedPair(
  pairs: readonly PairSheet[],
  { best, ties }: { readonly best: number; readonly ties: readonly number[] },
  fitted: number,
): number {
  if (best < 0 || ties.includes(fitted)) return best < 0 ? -1 : fitted;
  const missed = (pair: PairSheet) => pair.chain.rules.filter((rule) => !rule.holds && bearsOnKarts(rule));
  const order = ties.toSorted((a, b) => {
    const [x, y] = [pairs[a]!, pairs[b]!];
    return (
      Number(y.owned) - Number(x.owned) || missed(x).length - missed(y).length || y.front - x.front || a - b
    );
  });
  return order[0] ?? best;
}

/** The pair fitted where another is named, else the quickest beyond the near-ties; -1 for none. */
function rivalPair(
  laps: readonly (PairLap | null | undefined)[],
  ties: readonly number[],
  named: number,
  fitted: number,
): number {
  if (named < 0) return -1;
  if (named !== fitted && laps[fitted] != null) return fitted;
  return bestOf(
    laps.map((lap, i) => (ties.includes(i) ? null : lap)),
    0,
  ).best;
}

function comparedWith(pair: number, difference: number, spread: number | null, noise: number): RivalPair {
  const probability = spread === null ? null : probabilityBelowZero(-difference, spread);
  const verdict = probability === null ? null : verdictOn(-difference, probability, noise);
  return { pair, difference, spread, probability, verdict };
}

function lapOf(figures: Figures | null | undefined, { chain }: PairSheet): PairLap | null | undefined {
  if (figures === undefined || figures === null) return figures;
  const topSpeed = figure(figures, 'top speed') ?? 0;
  return {
    time: figure(figures, 'lap time') ?? 0,
    topSpeed,
    shifts: figure(figures, 'shifts') ?? 0,
    limiterTime: figure(figures, 'time on the limiter') ?? 0,
    limiterBeforeBraking: figure(figures, 'limiter before braking') ?? 0,
    chainSpeed: topSpeed * chain.speedPerRoadSpeed,
  };
}

/** The quickest, the first of equals, and all that no clock tells from it. */
export function bestOf(
  laps: readonly ({ readonly time: number } | null | undefined)[],
  noise: number,
): { readonly best: number; readonly ties: readonly number[] } {
  let best = -1;
  for (const [i, lap] of laps.entries())
    if (lap != null && (best < 0 || lap.time < laps[best]!.time)) best = i;
  const limit = best < 0 ? 0 : laps[best]!.time + noise;
  return { best, ties: laps.flatMap((lap, i) => (lap != null && lap.time <= limit ? [i] : [])) };
}

/** Nothing is said where no clock tells any of the pairs apart. */
function edgeOf(
  pairs: readonly SprocketPair[],
  { best, ties }: { readonly best: number; readonly ties: readonly number[] },
): TeethOnTrack['edge'] {
  if (best < 0 || pairs.length < 2) return null;
  const ratios = pairs.map((p) => p.ratio);
  const [low, high] = [Math.min(...ratios), Math.max(...ratios)];
  if (low === high || ties.length === pairs.length) return null;
  return ratios[best] === low ? 'tallest' : ratios[best] === high ? 'shortest' : null;
}

function compromiseOf(
  tracks: readonly Pick<TeethOnTrack, 'laps' | 'best'>[],
  losses: readonly (readonly (number | null)[])[],
): { readonly pair: number; readonly losses: readonly number[] } | null {
  const pairs = losses[0]?.length ?? 0;
  let pair = -1;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < pairs; i++) {
    let sum = 0;
    for (const [t, row] of losses.entries()) {
      const loss = row[i] ?? null;
      sum += loss === null ? Number.POSITIVE_INFINITY : loss / tracks[t]!.laps[tracks[t]!.best]!.time;
    }
    if (sum < least) {
      least = sum;
      pair = i;
    }
  }
  return pair < 0 ? null : { pair, losses: losses.map((row) => row[pair]!) };
}

function pairSheets(project: Project, { kart: id, day }: TeethOptions, hand: SprocketsAtHand): PairSheet[] {
  const spec = project.karts[id]!;
  const chain = { pitch: spec.chain.pitch, measured: spec.chain.centreDistance };
  // Speeds in gears go with the inverse of the ratio: one pair compiled tells all.
  const first = hand.pairs[0]!;
  const kart = compileKart(withInputs(project, [fitting(id, first)]), { kart: id, day }).kart!;
  const top = topGearOf(kart);
  const fitted = spec.sprockets === undefined ? undefined : chainSheet(chain, spec.sprockets, top);
  return hand.pairs.map((pair) => {
    const same =
      fitted === undefined || fitted.links === null
        ? null
        : centreDistanceFor({ pitch: chain.pitch, ...pair }, fitted.links);
    return {
      ...pair,
      chain: chainSheet(chain, pair, top),
      slotFromFitted: same === null || fitted?.centreDistance == null ? null : same - fitted.centreDistance,
      speedsInGears: kart.drivetrain.gears.map((gear) =>
        Number.isFinite(gear.limitSpeed) ? (gear.limitSpeed * first.ratio) / pair.ratio : null,
      ),
    };
  });
}

/** The chain that serves several pairs nearest to the measured distance, and the travel of the axle between them. */
function oneChain(
  sheets: readonly PairSheet[],
  pairs: readonly number[],
): Pick<CarriedPairs, 'links' | 'slotTravel'> {
  const list = [...new Set(pairs)].map((i) => sheets[i]!);
  const measured = list[0]?.chain.measured ?? null;
  const unknown = { links: null, slotTravel: null };
  if (measured === null) return unknown;
  const lengths = list.map(({ front, rear, chain }) =>
    linksFor({ pitch: chain.pitch, front, rear }, measured),
  );
  const links = evenLinks((Math.min(...lengths) + Math.max(...lengths)) / 2);
  const distances = list.map(({ front, rear, chain }) =>
    centreDistanceFor({ pitch: chain.pitch, front, rear }, links),
  );
  const found = distances.filter((d) => d !== null);
  if (found.length < distances.length) return unknown;
  return { links, slotTravel: Math.max(...found) - Math.min(...found) };
}

function gridOf({ front, rear }: SprocketsAtHand): Grid<Int16Array> {
  // Pairs come front by front, rear by rear.
  return {
    data: Int16Array.from({ length: front.length * rear.length }, (_, i) => i),
    shape: [front.length, rear.length],
  };
}

/** Every other tyre of the file on the driven axle, as the teeth behind that do the same. */
function tyresAsTeeth(project: Project, { kart: id, day }: TeethOptions): TyreAsTeeth[] {
  const spec = project.karts[id]!;
  const driven = project.chassis[spec.chassis]?.driven === 'front' ? 'front' : 'rear';
  const radiusWith = (tyre: string) => {
    const changed = withInputs(project, [{ path: `karts.${id}.tyres.${driven}`, value: tyre }]);
    const { kart } = compileKart(changed, { kart: id, day });
    return driven === 'front' ? kart?.radiusFront : kart?.radiusRear;
  };
  const own = radiusWith(spec.tyres[driven]);
  const teeth = spec.sprockets?.rear;
  if (own === undefined || teeth === undefined) return [];
  // A tyre that some kart of the file runs on that axle: a front tyre behind answers no question.
  const inUse = new Set(Object.values(project.karts).map((kart) => kart.tyres[driven]));
  return Object.keys(project.tyres)
    .filter((tyre) => tyre !== spec.tyres[driven] && inUse.has(tyre))
    .flatMap((tyre) => {
      const radius = radiusWith(tyre);
      if (radius === undefined) return [];
      const shortens = own / radius;
      return [{ tyre, radius, shortens, actsAs: teeth * shortens, keepsWith: teeth / shortens }];
    });
}
