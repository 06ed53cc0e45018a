/**
 * Where to set the brake balance: front share 0 to 100 % on loose and on hard ground, clutch in and in gear.
 *
 * In: project, kart, day, two grounds, tracks, the reader's notes. Out: a study in two rounds - stops just under the first
 * lock, ideal stops, laps and braking in a bend; then stops with the pedal held and finer stops round the best. Its result:
 * per ground and clutch or gear the best share, its band and lock order; the share that serves both grounds; the knob.
 */

import { draggingGearFor } from '../../compile/drivetrain.ts';
import { compileKart, surfaceOf } from '../../compile/kart.ts';
import { idealFrontShare } from '../../physics/brake-distribution.ts';
import type { InputNote } from '../../project/origins.ts';
import { isBlocking, problem } from '../../project/problem.ts';
import type { Project } from '../../project/schema.ts';
import type { BalanceCurveResult } from '../../run/balance-curve.ts';
import { bestFrontShare } from '../../run/best-share.ts';
import type { BrakeResult } from '../../run/brake.ts';
import type { BrakeInCornerResult } from '../../run/brake-in-corner.ts';
import type { BrakeOptions } from '../../run/braking/brake-options.ts';
import type { Request, RunRequest } from '../../run/perform.ts';
import { probesOf } from '../first-order.ts';
import { inputsInUse } from '../inputs-in-use.ts';
import { probedFigure, probeVariants } from '../probed-figure.ts';
import type { Answers, Planned, Series, SeriesWanted } from '../study.ts';
import { figure, figuresAt, seriesOf } from '../study.ts';
import type { StudyLapOptions } from '../study-lap.ts';
import { studyLap } from '../study-lap.ts';
import type { BrakingInBend } from './bend.ts';
import { brakingInBend } from './bend.ts';
import { barShareFor } from './knob.ts';
import type { ShareBand, ShareStop } from './share-curve.ts';
import { bandOf, distanceAt, frontFirstFrom, shareServing } from './share-curve.ts';
import type { ShareDoubt, SharePair } from './share-doubt.ts';
import { shareDoubt } from './share-doubt.ts';

export interface BalanceOptions extends StudyLapOptions {
  /** Two surfaces the tyres know */
  readonly loose: string;
  readonly hard: string;
  /** m/s */
  readonly fromSpeed: number;
  /** Tracks to drive at each share; none where empty */
  readonly tracks: readonly string[];
  /** Share of the distance that counts as no loss; WINDOW where absent */
  readonly within?: number;
  /** Side acceleration in the bend, of the greatest; LATERAL where absent */
  readonly lateralShare?: number;
  /** Held pedal: braking force against what the ground carries at best; HELD where absent */
  readonly held?: number;
  /** Gear that stands for engine braking, from 1; the one a driver would be in at that speed where absent; of a belt the high ratio */
  readonly gear?: number;
  readonly notes?: readonly InputNote[];
}

const WINDOW = 0.02;
const LATERAL = 0.7;
/** A pedal held a tenth beyond what the ground carries at best: an axle locks at every balance (assumed). */
const HELD = 1.1;
const SHARES = Array.from({ length: 51 }, (_, i) => i / 50);
/** For gears a driver is not in at that speed: the shape of the curve, not its last metre. */
const FEWER_SHARES = SHARES.filter((_, i) => i % 2 === 0);
const LAP_SHARES = Array.from({ length: 17 }, (_, i) => 0.2 + i / 20);
/** Shares either side of the best in the second round. */
const FINE = [-0.016, -0.012, -0.008, -0.004, 0.004, 0.008, 0.012, 0.016] as const;

/** One ground, one way of using the engine. */
export interface BalanceOn {
  readonly surface: string;
  /** Counted from 1, in the order of the result's `gearNames`; null with the clutch in */
  readonly gear: number | null;
  /** Just under the first lock, over the front share */
  readonly threshold: readonly ShareStop[];
  /** The pedal held beyond the grip: what locks, locks; only with the clutch in and in the driver's gear */
  readonly held: readonly ShareStop[];
  readonly heldForce: number | null;
  /** Both axles at their limit throughout, m: no fixed balance is shorter */
  readonly ideal: number | null;
  readonly band: ShareBand | null;
  /** From this share on the front is first to lock */
  readonly frontFirstFrom: number;
  /** Front share the textbook gives at the rate of the ideal stop, clutch in, no drag */
  readonly textbook: number | null;
  /** As the brakes are set now */
  readonly now: { readonly distance: number | null; readonly first: 'front' | 'rear' | 'both' } | null;
  /** One standard deviation of the distance as set now, m; null without notes */
  readonly spread: number | null;
  /** Bar position of the best share; null without hydraulics */
  readonly bar: number | null;
  /**
   * With the clutch in, one standard deviation each; null in gear, where it is not counted, and without notes: of the best
   * share for centre of gravity, wheelbase and grip in doubt; of the share the brakes give at the mark for pads, discs and
   * the like in doubt; of the mark on the bar for both
   */
  readonly bestSpread: number | null;
  readonly shareSpread: number | null;
  readonly barSpread: number | null;
  /** With the clutch in: gears in which the rear locks first on this ground at the best share of this way, from 1 */
  readonly rearFirstIn: readonly number[];
}

export interface BothGrounds {
  readonly frontShare: number;
  readonly bar: number | null;
  /** m lost on each, in the order of `on` it was worked out for */
  readonly losses: readonly {
    readonly surface: string;
    readonly gear: number | null;
    readonly loss: number;
  }[];
}

export interface BalanceResult {
  readonly kart: string;
  readonly day: string;
  readonly loose: string;
  readonly hard: string;
  readonly fromSpeed: number;
  readonly within: number;
  /** Share set now, and where the bar stands; null without hydraulics */
  readonly setShare: number;
  readonly setBar: number | null;
  /** One standard deviation of the share as set now, for brakes in doubt; null without notes */
  readonly setSpread: number | null;
  /** Gear a driver would be in at that speed, from 1; of a belt the high ratio, the only one it brakes in */
  readonly driverGear: number;
  readonly gearNames: readonly string[];
  readonly on: readonly BalanceOn[];
  /** One share for both grounds: with the clutch in; with the clutch in and in the driver's gear */
  readonly clutchIn: BothGrounds | null;
  readonly either: BothGrounds | null;
  /** Least share at which the front locks first on both, clutch in or in the driver's gear; null where none does */
  readonly stable: BothGrounds | null;
  /** Least share at which the front locks first on both, clutch in and in every gear tried; null where none does */
  readonly frontFirstInAll: BothGrounds | null;
  /** The same but for the lowest gear tried, which few stay in to brake; null where it asks for no less, or there is one gear */
  readonly frontFirstButLowest: (BothGrounds & { readonly lowest: number }) | null;
  readonly laps: readonly {
    readonly track: string;
    readonly frontShare: readonly number[];
    /** s; null where it cannot be driven so, undefined: not answered yet */
    readonly time: readonly (number | null | undefined)[];
    /** As set now */
    readonly now: number | null;
  }[];
  readonly corner: readonly BrakingInBend[];
  readonly curve: BalanceCurveResult | null;
  readonly done: number;
  readonly total: number;
}

interface Way {
  readonly surface: string;
  readonly gear: number | null;
}

export function planBalance(project: Project, options: BalanceOptions): Planned<BalanceResult> {
  const { kart: id, day, loose, hard, fromSpeed, tracks, notes = [] } = options;
  const who = { kart: id, day };
  const { kart, problems } = compileKart(project, who);
  const spec = project.karts[id];
  if (kart === undefined || spec === undefined || isBlocking(problems)) return { problems };
  const lacking = [loose, hard].map((s) => surfaceOf(kart, s)).filter((s) => 'severity' in s);
  if (lacking.length > 0) return { problems: lacking };
  const { gears, gearNames, isBelt } = kart.drivetrain;
  if (!isBelt && options.gear !== undefined && gears[options.gear - 1] === undefined)
    return {
      problems: [
        problem('no-gear', 'options', 'there is no such gear', {
          value: String(options.gear),
          limit: `1 to ${gears.length}`,
        }),
      ],
    };
  if (!(fromSpeed > 0))
    return { problems: [problem('speeds', 'options', 'a stop needs a speed to begin at', {})] };
  const within = options.within ?? WINDOW;
  const path = `brakes.${spec.brakes}.frontShare`;
  const asked = options.gear === undefined ? undefined : options.gear - 1;
  const driverGear = draggingGearFor(kart.drivetrain, fromSpeed, asked) + 1;
  const braking = gears.flatMap((gear, i) =>
    fromSpeed <= gear.safeSpeed && fromSpeed > gear.overrunFrom && (!isBelt || i + 1 === driverGear)
      ? [i + 1]
      : [],
  );
  const grounds = loose === hard ? [loose] : [loose, hard];
  const ways: readonly Way[] = grounds.flatMap((surface) =>
    [null, ...braking].map((gear) => ({ surface, gear })),
  );
  const stop = ({ surface, gear }: Way, more: Partial<BrakeOptions>) =>
    ({
      verb: 'brake',
      ...who,
      surface,
      options: { fromSpeed, ...(gear === null ? {} : { engine: 'in gear' as const, gear }), ...more },
    }) as const satisfies RunRequest;
  const isDriven = ({ gear }: Way) => gear === null || gear === driverGear;
  const sharesOf = (way: Way) => (isDriven(way) ? SHARES : FEWER_SHARES);
  const shared = (shares: readonly number[]) => shares.map((value) => [{ path, value }]);
  const lateralShare = options.lateralShare ?? LATERAL;
  const bends = ways.filter(isDriven);

  // First the runs answered as a whole, then the sweeps.
  const whole: Request[] = [
    ...ways.map((way) => stop(way, { brakes: 'ideal' })),
    ...bends.map(
      ({ surface, gear }): Request => ({
        verb: 'brake-in-corner',
        ...who,
        surface,
        options: { speed: fromSpeed, lateralShare, ...(gear === null ? {} : { gear }) },
      }),
    ),
    { verb: 'balance-curve', ...who, surface: hard },
  ];
  const probes = ways.map((way) =>
    way.gear === null ? probesOf(inputsInUse(notes, stop(way, {}), project)) : [],
  );
  const round1 = seriesOf(
    [
      ...ways.map((way): SeriesWanted => ({ of: stop(way, {}), variants: [[], ...shared(sharesOf(way))] })),
      ...tracks.map(
        (track): SeriesWanted => ({
          of: studyLap(project, options, track),
          variants: [[], ...shared(LAP_SHARES)],
        }),
      ),
      ...ways.map(
        (way, w): SeriesWanted => ({
          of: stop(way, {}),
          variants: probeVariants(probes[w]!),
        }),
      ),
      ...ways.map(
        (way, w): SeriesWanted => ({
          of: stop(way, { brakes: 'ideal' }),
          variants: probeVariants(probes[w]!),
        }),
      ),
      ...ways.map(
        (way, w): SeriesWanted => ({
          of: { verb: 'sheet', ...who },
          variants: way.gear === null ? [[], ...probeVariants(probes[w]!)] : [],
        }),
      ),
    ],
    whole.length,
  );
  const requests = [...whole, ...round1.requests];
  const thresholdSeries = (w: number) => round1.series[w]!;
  const lapSeries = (t: number) => round1.series[ways.length + t]!;
  const probeSeries = (w: number, kind = 0) =>
    round1.series[ways.length + tracks.length + kind * ways.length + w]!;

  const idealOf = (answers: Answers, w: number) => answers[w]?.result as BrakeResult | undefined;
  const coarse = (answers: Answers, w: number) => stopsOf(answers, thresholdSeries(w), sharesOf(ways[w]!), 1);

  const secondRound = (answers: Answers) => {
    if (answers.slice(0, requests.length).some((a, i) => a === undefined && i < requests.length))
      return undefined;
    const parts = ways.map((way, w) => {
      const clutchIn = ways.findIndex((other) => other.surface === way.surface && other.gear === null);
      const ideal = idealOf(answers, clutchIn);
      const force = ideal === undefined ? null : (options.held ?? HELD) * kart.mass * ideal.meanDeceleration;
      const best = bandOf(coarse(answers, w), within)?.best;
      const fine =
        best === undefined ? [] : FINE.map((by) => best + by).filter((share) => share >= 0 && share <= 1);
      return { way, force, fine };
    });
    const made = seriesOf(
      parts.flatMap(({ way, force, fine }): SeriesWanted[] => [
        {
          of: stop(way, { brakes: 'held', brakeForce: force ?? 0 }),
          variants: force === null || !isDriven(way) ? [] : shared(SHARES),
        },
        { of: stop(way, {}), variants: shared(fine) },
      ]),
      requests.length,
    );
    return { parts, ...made };
  };

  const combine = (answers: Answers): BalanceResult | undefined => {
    if (answers.every((answer) => answer === undefined)) return undefined;
    const second = secondRound(answers);
    const radius = { front: kart.radiusFront, rear: kart.radiusRear };
    const barFor = (share: number) => barShareFor(project.brakes[spec.brakes]!, radius, share);
    const found = ways.map((way, w) => {
      const part = second?.parts[w];
      const fine = second === undefined ? [] : stopsOf(answers, second.series[2 * w + 1]!, part!.fine, 0);
      const threshold = [...coarse(answers, w), ...fine].toSorted((a, b) => a.frontShare - b.frontShare);
      const band = bandOf(threshold, within);
      const ideal = idealOf(answers, w);
      const now = stopOf(figuresAt(answers, thresholdSeries(w), 0), kart.brakes.frontShare);
      const bar = band === null ? null : barFor(band.best);
      const doubt = doubtOf(answers, w);
      return {
        ...way,
        threshold,
        held:
          second === undefined || !isDriven(way) ? [] : stopsOf(answers, second.series[2 * w]!, SHARES, 0),
        heldForce: part?.force ?? null,
        ideal: ideal?.distance ?? null,
        band,
        frontFirstFrom: frontFirstFrom(threshold),
        textbook:
          ideal === undefined
            ? null
            : textbookShare(
                kart.frontWeightShare,
                kart.envelope.cgHeight / kart.envelope.wheelbase,
                ideal.meanDeceleration,
              ),
        now: now === undefined ? null : { distance: now.distance, first: firstOf(now) },
        spread: spreadOf(answers, w),
        bar,
        bestSpread: doubt?.ofBest ?? null,
        shareSpread: band === null || bar === null ? null : (doubt?.ofShare(band.best) ?? null),
        barSpread: bar === null ? null : (doubt?.ofBar(bar) ?? null),
      };
    });
    const on = found.map(
      (o): BalanceOn => ({
        ...o,
        rearFirstIn:
          o.gear !== null || o.band === null
            ? []
            : found.flatMap((other) =>
                other.surface === o.surface &&
                other.gear !== null &&
                other.threshold.length > 0 &&
                other.frontFirstFrom > o.band!.best
                  ? [other.gear]
                  : [],
              ),
      }),
    );
    const bothOf = (list: readonly BalanceOn[]): BothGrounds | null => {
      const found = shareServing(list.map((o) => o.threshold));
      if (found === null) return null;
      const { frontShare, losses } = found;
      return {
        frontShare,
        bar: barFor(frontShare),
        losses: list.map(({ surface, gear }, i) => ({ surface, gear, loss: losses[i]! })),
      };
    };
    const driven = on.filter(isDriven);
    const inBends = bends.map((_, b) => answers[ways.length + b]?.result as BrakeInCornerResult | undefined);
    return {
      kart: id,
      day,
      loose,
      hard,
      fromSpeed,
      within,
      setShare: kart.brakes.frontShare,
      setBar: project.brakes[spec.brakes]!.hydraulics === undefined ? null : barFor(kart.brakes.frontShare),
      setSpread: doubtOf(answers, 0)?.ofShare(kart.brakes.frontShare) ?? null,
      driverGear,
      gearNames,
      on,
      clutchIn: bothOf(on.filter(({ gear }) => gear === null)),
      either: bothOf(driven),
      stable: stableOf(driven, barFor),
      frontFirstInAll: stableOf(on, barFor),
      frontFirstButLowest: butLowest(on, barFor),
      laps: tracks.map((track, t) => ({
        track,
        frontShare: LAP_SHARES,
        time: LAP_SHARES.map((_, i) => {
          const figures = figuresAt(answers, lapSeries(t), i + 1);
          return figures === undefined ? undefined : figure(figures, 'lap time');
        }),
        now: figure(figuresAt(answers, lapSeries(t), 0), 'lap time'),
      })),
      corner: bends.flatMap(({ surface, gear }, b) => {
        const inBend = inBends[b];
        const clutchIn = inBends[bends.findIndex((o) => o.surface === surface && o.gear === null)];
        return inBend === undefined
          ? []
          : [brakingInBend(inBend, gear, clutchIn, { within, setShare: kart.brakes.frontShare })];
      }),
      curve: (answers[ways.length + bends.length]?.result as BalanceCurveResult | undefined) ?? null,
      done: answers.filter((answer) => answer !== undefined).length,
      total: requests.length + (second?.requests.length ?? 0),
    };
  };

  const spreadOf = (answers: Answers, w: number): number | null => {
    const base = figure(figuresAt(answers, thresholdSeries(w), 0), 'stopping distance');
    if (base === null) return null;
    return probedFigure(answers, probeSeries(w), probes[w]!, 'stopping distance', base)?.spread ?? null;
  };

  const textbookShare = (frontWeightShare: number, heightOverWheelbase: number, deceleration: number) =>
    idealFrontShare(
      { rearShare: 1 - frontWeightShare, heightOverWheelbase },
      deceleration / kart.envelope.gravity,
    );

  /** With the clutch in, from the kart's sheet and the ideal stop under each change; null until all are answered. */
  const doubtOf = (answers: Answers, w: number): ShareDoubt | null => {
    const [ideals, sheets] = [probeSeries(w, 1), probeSeries(w, 2)];
    const pairOf = (sheetAt: number, best: number | null): SharePair | null => {
      const share = figure(figuresAt(answers, sheets, sheetAt), 'brake front share');
      return share === null || best === null ? null : { set: share, best };
    };
    const isThere = (series: Series) =>
      Array.from({ length: series.count }, (_, i) => figuresAt(answers, series, i)).every(
        (f) => f !== undefined,
      );
    const ideal = idealOf(answers, w);
    const base = pairOf(0, ideal === undefined ? null : (bestFrontShare(ideal) ?? null));
    if (base === null || !isThere(ideals) || !isThere(sheets)) return null;
    const moved = (i: number) =>
      pairOf(i + 1, figure(figuresAt(answers, ideals, i), 'front share of the brakes'));
    return shareDoubt(
      base,
      probes[w]!,
      probes[w]!.map((_, i) => ({ less: moved(2 * i), more: moved(2 * i + 1) })),
    );
  };

  return {
    problems: [],
    study: {
      requests,
      more: (answers) => (answers.length > requests.length ? [] : (secondRound(answers)?.requests ?? [])),
      combine,
    },
  };
}

/** Stops of a series from variant `from` on, those answered. */
function stopsOf(answers: Answers, series: Series, shares: readonly number[], from: number): ShareStop[] {
  return shares.flatMap((share, i) => stopOf(figuresAt(answers, series, i + from), share) ?? []);
}

function stopOf(figures: ReturnType<typeof figuresAt>, frontShare: number): ShareStop | undefined {
  if (figures === undefined) return undefined;
  const of = (name: string) => figure(figures, name);
  return {
    frontShare,
    distance: of('stopping distance'),
    useFront: of('front grip used') ?? 0,
    useRear: of('rear grip used') ?? 0,
    frontLockedFor: of('front locked for') ?? 0,
    rearLockedFor: of('rear locked for') ?? 0,
  };
}

function firstOf({ useFront, useRear }: ShareStop): 'front' | 'rear' | 'both' {
  if (Math.abs(useFront - useRear) < 1e-6) return 'both';
  return useFront > useRear ? 'front' : 'rear';
}

function butLowest(
  on: readonly BalanceOn[],
  barFor: (share: number) => number | null,
): BalanceResult['frontFirstButLowest'] {
  const gears = on.flatMap(({ gear }) => (gear === null ? [] : [gear]));
  const lowest = Math.min(...gears);
  const found = stableOf(
    on.filter(({ gear }) => gear !== lowest),
    barFor,
  );
  const all = Math.max(...on.map((o) => o.frontFirstFrom));
  return found === null || gears.every((gear) => gear === lowest) || !(found.frontShare < all)
    ? null
    : { ...found, lowest };
}

/** The least share at which the front locks first everywhere, and what it loses on each. */
function stableOf(list: readonly BalanceOn[], barFor: (share: number) => number | null): BothGrounds | null {
  const frontShare = Math.max(...list.map((o) => o.frontFirstFrom));
  const losses = list.map(({ surface, gear, threshold, band }) => {
    const distance = distanceAt(threshold, frontShare);
    return { surface, gear, loss: distance === null || band === null ? null : distance - band.distance };
  });
  if (!(frontShare < 1) || losses.some(({ loss }) => loss === null)) return null;
  return {
    frontShare,
    bar: barFor(frontShare),
    losses: losses.map(({ surface, gear, loss }) => ({ surface, gear, loss: loss ?? 0 })),
  };
}
