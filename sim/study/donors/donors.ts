/**
 * Which engine: the same frame with each donor, each at the best of the sprockets at hand on each track.
 *
 * In: project, kart, day, donors, tracks, the reader's notes. Out: a study in two rounds - laps over the final drives,
 * then at the best of them laps in full, starts, top speeds, draws of what is not known, and what-ifs. Compared with
 * the kart's own donor: seconds, where they arise, how sure, and what they cost.
 */
import { compileKart } from '../../compile/kart.ts';
import type { InputChange } from '../../project/changed-inputs.ts';
import { withInputs } from '../../project/changed-inputs.ts';
import type { InputNote } from '../../project/origins.ts';
import type { Problem } from '../../project/problem.ts';
import { problem } from '../../project/problem.ts';
import type { Project } from '../../project/schema.ts';
import type { KartSheet } from '../../run/kart-sheet.ts';
import type { LapResult } from '../../run/lap.ts';
import type { Request, RunRequest } from '../../run/perform.ts';
import { commonDraws, drawnDifference, drawnFigure, spreadOfLaps } from '../common-draws.ts';
import type { Verdict } from '../decided.ts';
import { verdictOn } from '../decided.ts';
import { inputsInUse } from '../inputs-in-use.ts';
import type { Answers, Planned, Series, SeriesWanted } from '../study.ts';
import { figure, figuresAt, seriesOf } from '../study.ts';
import type { StudyLapOptions } from '../study-lap.ts';
import { studyLap } from '../study-lap.ts';
import { bestOf } from '../teeth/choosing-pairs.ts';
import type { SprocketPair, Stock } from '../teeth/sprocket-pairs.ts';
import { fitting, sprocketsAtHand } from '../teeth/sprocket-pairs.ts';
import { CLOCK_NOISE } from '../teeth/teeth.ts';
import { lighterBy, limiterRaisedBy, quickerShiftBy, strongerBy, withDonor } from './donor-changes.ts';
import type { TimeDifference } from './time-difference.ts';
import { timeDifference } from './time-difference.ts';

export interface DonorsOptions extends StudyLapOptions {
  /** Ids; the kart's own is compared with the others, and added where it is not among them */
  readonly donors: readonly string[];
  readonly tracks: readonly string[];
  readonly stock: Stock;
  /** The reader's notes: with them come spreads and probabilities */
  readonly notes?: readonly InputNote[];
  readonly whatIfs?: boolean;
}

/** What one donor does on one track. */
export interface DonorOnTrack {
  /** The quickest of the sprockets at hand; null where none could be driven: then the ratio alone is meant */
  readonly pair: SprocketPair | null;
  readonly ratio: number;
  readonly time: number;
  /** The ratio that would be quickest were every ratio to be had, and what the sprockets at hand lose to it, s */
  readonly idealRatio: number | null;
  readonly lostToSprockets: number | null;
  /** Null on a belt, which shifts by itself */
  readonly shifts: number | null;
  readonly limiterTime: number;
  readonly limiterBeforeBraking: number;
  /** m/s, reached on the lap; and steady on the level at this drive */
  readonly topSpeedReached: number;
  readonly topSpeed: number | null;
  /** From rest, s: 100 m on the surface of the track, at this drive */
  readonly launch100: number | null;
  /** One standard deviation of the lap time, s; null without notes */
  readonly spread: number | null;
}

export interface DonorCard {
  readonly donor: string;
  readonly name: string;
  readonly mass: number;
  readonly price: number | null;
  /** The kart with it; null until answered */
  readonly kart: Pick<
    KartSheet,
    'mass' | 'frontWeightShare' | 'cgHeight' | 'tipAt' | 'peakPower' | 'peakTorque'
  > | null;
  /** Per track; null: none of the drives can be driven; undefined: not answered yet */
  readonly tracks: readonly (DonorOnTrack | null | undefined)[];
  readonly whatIfs: readonly WhatIf[];
}

/** Seconds a lap changes by, per track; null where it cannot be said. */
export interface WhatIf {
  readonly name: string;
  readonly seconds: readonly (number | null)[];
  readonly note: string;
}

/** A donor against the kart's own on one track. */
export interface Comparison {
  readonly donor: string;
  readonly track: string;
  /** Its lap minus that with the kart's own, s */
  readonly difference: number;
  /** Of that, what it loses to the sprockets at hand more than the kart's own does, s; null where that is not known */
  readonly ofSprockets: number | null;
  /** One standard deviation of the difference, what both rest on cancelled; null without notes */
  readonly spread: number | null;
  /** Of nine draws in ten, s, and the middle one; null without notes */
  readonly low: number | null;
  readonly middle: number | null;
  readonly high: number | null;
  /** That it is the quicker; null without notes */
  readonly probability: number | null;
  readonly verdict: Verdict | null;
  readonly along: TimeDifference | null;
  /** Seconds a lap per unit of money between the two; null unless the dearer is also the quicker */
  readonly secondsPerMoney: number | null;
}

export interface DonorsResult {
  readonly kart: string;
  readonly day: string;
  readonly tracks: readonly string[];
  /** Of which sprockets the best were taken */
  readonly stock: Stock;
  /** The kart's own donor */
  readonly reference: string;
  readonly donors: readonly DonorCard[];
  readonly comparisons: readonly Comparison[];
  /** Laps closer than this no clock tells apart, s */
  readonly noise: number;
}

/** Ratios looked at besides the sprockets at hand: so many, from and to these multiples of the outermost. */
const ANY_RATIO = { count: 18, below: 0.6, above: 1.7 } as const;
/** Ratios between the neighbours of the best of those, in the second round. */
const FINER = 8;
const WHAT_IF = { mass: 10, horsepower: 10, shiftTime: 0.1, limiter: 1000 } as const;
const METRES_100 = '100 m';

interface Place {
  readonly donor: string;
  readonly track: string;
  readonly changes: readonly InputChange[];
}

export function planDonors(project: Project, options: DonorsOptions): Planned<DonorsResult> {
  const { kart: id, day, tracks, stock, notes = [], whatIfs = true } = options;
  const spec = project.karts[id];
  const missing = missingParts(project, options);
  if (spec === undefined || missing.length > 0) return { problems: missing };
  const reference = spec.donor;
  const donors = [reference, ...options.donors.filter((d) => d !== reference)];
  const hand = sprocketsAtHand(project, id, stock);
  const front = spec.sprockets?.front ?? hand.front[0]?.teeth ?? 14;
  // A kart with a final ratio and no chain goes on without one where no sprockets are listed either.
  const chainless = hand.pairs.length === 0 && spec.finalRatio !== undefined;
  const ratios = anyRatios(chainless ? [spec.finalRatio!] : hand.pairs.map((p) => p.ratio));
  const places = donors.flatMap((donor) =>
    tracks.map((track): Place => ({ donor, track, changes: withDonor(project, id, donor) })),
  );
  const lap = ({ track, changes }: Place) =>
    ({ ...studyLap(project, options, track), changes }) as const satisfies RunRequest;
  const atRatio = (ratio: number): InputChange =>
    chainless
      ? { path: `karts.${id}.finalRatio`, value: ratio }
      : fitting(id, { front, rear: front * ratio });

  const notesAt = places.map((place) => inputsInUse(notes, lap(place), withInputs(project, place.changes)));
  // The same draws for every donor and track: what two donors rest on alike cancels.
  const drawn = commonDraws(notes);

  const round1 = seriesOf(
    places.flatMap((place): SeriesWanted[] => [
      { of: lap(place), variants: hand.pairs.map((pair) => [fitting(id, pair)]) },
      { of: lap(place), variants: ratios.map((ratio) => [atRatio(ratio)]) },
    ]),
  );
  const handSeries = (p: number) => round1.series[2 * p]!;
  const ratioSeries = (p: number) => round1.series[2 * p + 1]!;
  const times = (answers: Answers, series: Series) =>
    Array.from({ length: series.count }, (_, i) => {
      const figures = figuresAt(answers, series, i);
      return figures == null ? figures : { time: figure(figures, 'lap time')!, figures };
    });

  /** The drive of a place as the first round found it; undefined: not known yet, null: none. */
  const driveAt = (answers: Answers, p: number) => {
    const fits = times(answers, handSeries(p));
    const any = times(answers, ratioSeries(p));
    if (fits.includes(undefined) || any.includes(undefined)) return undefined;
    const { best } = bestOf(fits, 0);
    const bestRatio = bestOf(any, 0).best;
    if (best >= 0) {
      const pair = hand.pairs[best]!;
      return { pair, ratio: pair.ratio, change: fitting(id, pair), lap: fits[best]!, bestRatio };
    }
    if (bestRatio < 0) return null;
    const ratio = ratios[bestRatio]!;
    return { pair: null, ratio, change: atRatio(ratio), lap: any[bestRatio]!, bestRatio };
  };
  type Drive = NonNullable<ReturnType<typeof driveAt>>;

  const secondRound = (answers: Answers): SecondRound | undefined => {
    const drives = places.map((_, p) => driveAt(answers, p));
    if (drives.includes(undefined)) return undefined;
    const first = round1.requests.length;
    const requests: Request[] = [];
    const parts = places.map((place, p) => {
      const drive = drives[p];
      if (drive == null) return null;
      const change = [...place.changes, drive.change];
      const surface = project.tracks[place.track]!.surface;
      const full = first + requests.length;
      requests.push({ ...lap(place), changes: change }, { verb: 'sheet', kart: id, day, changes: change });
      const finer = betweenNeighbours(ratios, drive.bestRatio);
      const whole = { kart: id, day, surface, changes: change };
      const extra = whatIfs ? smallChanges(withInputs(project, place.changes), { kart: id, day }) : [];
      const raised = whatIfs && project.donors[place.donor]!.belt === undefined;
      const { requests: more, series } = seriesOf(
        [
          { of: lap(place), variants: finer.map((ratio) => [atRatio(ratio)]) },
          { of: { verb: 'accelerate', ...whole, options: { toDistance: 100 } }, variants: [[]] },
          { of: { verb: 'topspeed', ...whole }, variants: [[]] },
          {
            of: { ...lap(place), changes: change },
            variants: drawn(notesAt[p]!, change),
          },
          { of: { ...lap(place), changes: change }, variants: extra.map(({ changes }) => changes) },
          {
            of: {
              ...lap(place),
              changes: raised
                ? [...place.changes, ...limiterRaisedBy(project, place.donor, WHAT_IF.limiter)]
                : place.changes,
            },
            variants: raised
              ? drive.pair === null
                ? [[drive.change]]
                : hand.pairs.map((pair) => [fitting(id, pair)])
              : [],
          },
        ],
        first + requests.length,
      );
      requests.push(...more);
      return { drive, full, finer, extra, raised, series };
    });
    return { requests, parts };
  };
  interface Part {
    readonly drive: Drive;
    readonly full: number;
    readonly finer: readonly number[];
    readonly extra: ReturnType<typeof smallChanges>;
    readonly raised: boolean;
    readonly series: readonly Series[];
  }
  interface SecondRound {
    readonly requests: readonly Request[];
    readonly parts: readonly (Part | null)[];
  }

  const onTrack = (answers: Answers, p: number, part: Part | null | undefined) => {
    const drive = driveAt(answers, p);
    if (drive == null) return drive;
    const { figures, time } = drive.lap;
    const ideal = idealOf(answers, p, part);
    return {
      pair: drive.pair,
      ratio: drive.ratio,
      time,
      idealRatio: ideal?.ratio ?? null,
      lostToSprockets: ideal === null ? null : Math.max(0, time - ideal.time),
      shifts: figure(figures, 'shifts'),
      limiterTime: figure(figures, 'time on the limiter') ?? 0,
      limiterBeforeBraking: figure(figures, 'limiter before braking') ?? 0,
      topSpeedReached: figure(figures, 'top speed') ?? 0,
      topSpeed: part == null ? null : figure(figuresAt(answers, part.series[2]!, 0), 'top speed'),
      launch100: part == null ? null : figure(figuresAt(answers, part.series[1]!, 0), METRES_100),
      spread: part == null ? null : spreadOfLaps(lapsDrawn(answers, part)),
    } satisfies DonorOnTrack;
  };

  const idealOf = (answers: Answers, p: number, part: Part | null | undefined) => {
    const coarse = times(answers, ratioSeries(p)).map((found, i) => ({ found, ratio: ratios[i]! }));
    const fine =
      part == null
        ? []
        : times(answers, part.series[0]!).map((found, i) => ({ found, ratio: part.finer[i]! }));
    let ideal: { ratio: number; time: number } | null = null;
    for (const { found, ratio } of [...coarse, ...fine])
      if (found != null && (ideal === null || found.time < ideal.time)) ideal = { ratio, time: found.time };
    return ideal;
  };

  const lapsDrawn = (answers: Answers, part: Part) => drawnFigure(answers, part.series[3]!, 'lap time');

  const combine = (answers: Answers): DonorsResult | undefined => {
    if (answers.every((answer) => answer === undefined)) return undefined;
    const parts = secondRound(answers)?.parts;
    const at = (d: number, t: number) => d * tracks.length + t;
    const cards = donors.map((donor, d): DonorCard => {
      const own = tracks.map((_, t) => parts?.[at(d, t)]);
      const known = own.find((part) => part != null);
      const sheet = known == null ? undefined : (answers[known.full + 1]?.result as KartSheet | undefined);
      return {
        donor,
        name: project.donors[donor]!.name,
        mass: project.donors[donor]!.mass,
        price: project.donors[donor]!.price ?? null,
        kart: sheet === undefined ? null : ofTheKart(sheet),
        tracks: tracks.map((_, t) => onTrack(answers, at(d, t), own[t])),
        whatIfs: whatIfs ? whatIfsOf(answers, own) : [],
      };
    });
    const comparisons = donors.slice(1).flatMap((donor, d) =>
      tracks.flatMap((track, t): Comparison[] => {
        const [a, b] = [cards[0]!.tracks[t], cards[d + 1]!.tracks[t]];
        if (a == null || b == null) return [];
        const [partA, partB] = [parts?.[at(0, t)], parts?.[at(d + 1, t)]];
        const sure =
          partA == null || partB == null
            ? null
            : drawnDifference(lapsDrawn(answers, partA), lapsDrawn(answers, partB));
        const difference = b.time - a.time;
        return [
          {
            donor,
            track,
            difference,
            ofSprockets:
              a.lostToSprockets === null || b.lostToSprockets === null
                ? null
                : b.lostToSprockets - a.lostToSprockets,
            spread: sure?.spread ?? null,
            low: sure?.low ?? null,
            middle: sure?.middle ?? null,
            high: sure?.high ?? null,
            probability: sure?.probability ?? null,
            verdict:
              sure === null
                ? null
                : difference === 0
                  ? 'no difference'
                  : verdictOn(sure.middle, sure.probability, CLOCK_NOISE),
            along: alongOf(answers, partA, partB),
            secondsPerMoney: perMoney(costOf(cards[0]!, t), costOf(cards[d + 1]!, t), difference),
          },
        ];
      }),
    );
    return { kart: id, day, tracks, stock, reference, donors: cards, comparisons, noise: CLOCK_NOISE };
  };

  const whatIfsOf = (answers: Answers, parts: readonly (Part | null | undefined)[]): WhatIf[] => {
    const some = parts.find((part) => part != null);
    if (some == null) return [];
    const small = some.extra.map(({ name, note }, i) => ({
      name,
      note,
      seconds: parts.map((part) => {
        const time = part == null ? null : figure(figuresAt(answers, part.series[4]!, i), 'lap time');
        return part == null || time === null ? null : time - part.drive.lap.time;
      }),
    }));
    if (!some.raised) return small;
    return [
      ...small,
      {
        name: `limiter raised by ${WHAT_IF.limiter} rpm`,
        note: 'at the best of the sprockets listed; beyond the sheet the torque goes on along its last slope, and the engine is taken to survive it: both assumed',
        seconds: parts.map((part) => {
          if (part == null) return null;
          const found = times(answers, part.series[5]!);
          const { best } = bestOf(found, 0);
          return found.includes(undefined) || best < 0 ? null : found[best]!.time - part.drive.lap.time;
        }),
      },
    ];
  };

  const alongOf = (answers: Answers, a: Part | null | undefined, b: Part | null | undefined) => {
    if (a == null || b == null) return null;
    const lapOf = (part: Part) => answers[part.full]?.result as LapResult | undefined;
    const [lapA, lapB] = [lapOf(a), lapOf(b)];
    return lapA === undefined || lapB === undefined ? null : timeDifference(lapA, lapB);
  };

  const warnings = donors.flatMap(
    (donor) => compileKart(withInputs(project, withDonor(project, id, donor)), { kart: id, day }).problems,
  );
  return {
    problems: warnings.filter(({ severity }) => severity === 'warning'),
    study: {
      requests: round1.requests,
      more: (answers) =>
        answers.length > round1.requests.length ? [] : (secondRound(answers)?.requests ?? []),
      combine,
    },
  };
}

function missingParts(project: Project, { kart, donors, tracks }: DonorsOptions): Problem[] {
  const lacks = (kind: 'karts' | 'donors' | 'tracks', ids: readonly string[]) =>
    ids
      .filter((id) => !Object.hasOwn(project[kind], id))
      .map((id) =>
        problem('missing-reference', kind, `there is no '${id}' in ${kind}`, {
          limit: Object.keys(project[kind]).slice(0, 12).join(', ') || 'none there',
          remedy: 'name one that is there',
        }),
      );
  return [...lacks('karts', [kart]), ...lacks('donors', donors), ...lacks('tracks', tracks)];
}

/** Evenly spaced in ratio, from below the shortest to above the tallest at hand. */
function anyRatios(atHand: readonly number[]): number[] {
  const low = (atHand.length === 0 ? 2 : Math.min(...atHand)) * ANY_RATIO.below;
  const high = (atHand.length === 0 ? 4 : Math.max(...atHand)) * ANY_RATIO.above;
  return Array.from({ length: ANY_RATIO.count }, (_, i) => low * (high / low) ** (i / (ANY_RATIO.count - 1)));
}

function betweenNeighbours(ratios: readonly number[], at: number): number[] {
  if (at < 0) return [];
  const low = ratios[Math.max(0, at - 1)]!;
  const high = ratios[Math.min(ratios.length - 1, at + 1)]!;
  return Array.from({ length: FINER }, (_, i) => low + ((high - low) * (i + 1)) / (FINER + 1));
}

/** Changes small enough that the best drive stays the best drive, to first order. */
function smallChanges(project: Project, { kart, day }: { readonly kart: string; readonly day: string }) {
  const { donor } = project.karts[kart]!;
  const asAWhole = project.karts[kart]!.weighed !== undefined;
  return [
    {
      name: `${WHAT_IF.mass} kg off ${asAWhole ? 'all four corners alike' : 'the frame'}`,
      changes: lighterBy(project, kart, WHAT_IF.mass),
      note: `where it comes off matters${asAWhole ? '' : ', and here it is the place of the frame’s own weight'}: weight off the driven wheels can cost more grip than the lightness gains; at the same sprockets, which to first order stay the best`,
    },
    {
      name: `${WHAT_IF.horsepower} hp more`,
      changes: strongerBy(project, kart, day, WHAT_IF.horsepower),
      note: 'the whole sheet scaled, so many hp at the crank on the day at its peak; at the same sprockets',
    },
    ...(project.donors[donor]!.belt === undefined
      ? [
          {
            name: `shifts quicker by ${WHAT_IF.shiftTime} s`,
            changes: quickerShiftBy(project, donor, WHAT_IF.shiftTime),
            note: 'upshifts only, none below zero; at the same sprockets',
          },
        ]
      : []),
  ];
}

function ofTheKart(sheet: KartSheet): DonorCard['kart'] {
  const { mass, frontWeightShare, cgHeight, tipAt, peakPower, peakTorque } = sheet;
  return { mass, frontWeightShare, cgHeight, tipAt, peakPower, peakTorque };
}

/** The donor and the sprockets it would have to be bought for this track; null where a price is missing. */
function costOf({ price, tracks }: DonorCard, t: number): number | null {
  const sprockets = tracks[t]?.pair?.toBuy ?? (tracks[t]?.pair === null ? 0 : null);
  return price === null || sprockets === null ? null : price + sprockets;
}

function perMoney(a: number | null, b: number | null, difference: number): number | null {
  // What no clock tells is not for sale.
  if (a === null || b === null || Math.abs(difference) <= CLOCK_NOISE) return null;
  const dearer = b - a;
  // The other way round the reference is what the money buys.
  if (dearer > 0 && difference < 0) return -difference / dearer;
  if (dearer < 0 && difference > 0) return difference / -dearer;
  return null;
}
