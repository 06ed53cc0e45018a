/**
 * How well each quantity can be found at home, and what finding it would do to an answer.
 *
 * In: an unknown with its share of the variance. Out: the spread left after measuring it as the table of quantities says,
 * how much narrower the answer gets, the chance that it settles a comparison. The spreads are common practice, no source,
 * but for the height of the centre of gravity, worked out from scales of 2 kg raised 0.6 m.
 */
import { normalCdf, normalQuantile } from '../../numerics/normal.ts';
import type { QuantityName } from '../../quantities/table.ts';
import { quantity } from '../../quantities/table.ts';
import { DECIDED } from '../decided.ts';
import type { Unknown } from './unknown.ts';

export interface Achievable {
  /** One standard deviation; relative where it ends in %. */
  readonly spread: number | `${number}%`;
  /** What it costs: 'minutes' with what lies in a garage; 'an outing' at the track; 'a day' with borrowed gear. */
  readonly effort: 'minutes' | 'an outing' | 'a day';
}

/** Nothing at home tells these apart from the grip: the driver's share is in every lap together with it. */
const ONLY_WITH_GRIP: readonly QuantityName[] = ['gripUse'];

const ACHIEVABLE: Readonly<Partial<Record<QuantityName, Achievable>>> = {
  temperature: { spread: 1, effort: 'minutes' },
  airPressure: { spread: 100, effort: 'minutes' },
  altitude: { spread: 5, effort: 'minutes' },
  humidity: { spread: 0.05, effort: 'minutes' },
  windSpeed: { spread: 0.5, effort: 'minutes' },
  gripFactor: { spread: '4%', effort: 'an outing' },
  rollOut: { spread: '0.2%', effort: 'minutes' },
  rollingRadiusFactor: { spread: '0.2%', effort: 'minutes' },
  wheelMass: { spread: 0.1, effort: 'minutes' },
  wheelInertia: { spread: '8%', effort: 'minutes' },
  friction: { spread: '4%', effort: 'an outing' },
  rollingResistance: { spread: '7%', effort: 'an outing' },
  dragArea: { spread: '7%', effort: 'an outing' },
  engineTorque: { spread: '3%', effort: 'a day' },
  pumpingPressure: { spread: '12%', effort: 'an outing' },
  shiftTime: { spread: 0.03, effort: 'an outing' },
  mass: { spread: 1, effort: 'minutes' },
  driverMass: { spread: 0.5, effort: 'minutes' },
  cornerWeight: { spread: 0.5, effort: 'minutes' },
  wheelbase: { spread: 0.002, effort: 'minutes' },
  trackWidth: { spread: 0.002, effort: 'minutes' },
  cgHeight: { spread: 0.025, effort: 'minutes' },
  behindFrontAxle: { spread: 0.005, effort: 'minutes' },
  springRate: { spread: '2%', effort: 'minutes' },
  motionRatio: { spread: '1.5%', effort: 'minutes' },
  brakeShare: { spread: 0.015, effort: 'minutes' },
  pedalRatio: { spread: '1%', effort: 'minutes' },
  discRadius: { spread: '1%', effort: 'minutes' },
  grade: { spread: 0.003, effort: 'minutes' },
  centreDistance: { spread: 0.001, effort: 'minutes' },
};

export interface Measuring {
  readonly path: string;
  /** How, in the words of the table of quantities. */
  readonly how: string;
  readonly effort: Achievable['effort'];
  readonly spreadNow: number;
  readonly spreadThen: number;
  /** Share by which every interval of the answer gets narrower, on average: 1 - sqrt(1 - S (1 - r^2)). */
  readonly narrower: number;
  /** Its standard error from the finite number of draws; 0 while the shares are not sampled yet. */
  readonly narrowerError: number;
  /** For a comparison: chance that it is then decided, and that now it is. */
  readonly settles?: number;
  readonly settlesError?: number;
}

/** Why an unknown that is to blame is not among what can be measured. */
export type NotMeasured =
  /** No way at home is known that leaves less of a spread. */
  | 'no cheap way'
  /** The file has it as well as it can be had at home. */
  | 'known as well'
  /** What can be measured at home tells it only together with the grip. */
  | 'only with the grip'
  /** It counts by what it does together with others: known alone it takes next to nothing off. */
  | 'nothing by itself';

export function whyNotMeasured(unknown: Unknown): NotMeasured {
  if (achievable(unknown) !== undefined) return 'nothing by itself';
  if (ONLY_WITH_GRIP.includes(unknown.note.quantity)) return 'only with the grip';
  return ACHIEVABLE[unknown.note.quantity] === undefined ? 'no cheap way' : 'known as well';
}

/** Spread after measuring; undefined where it cannot be measured at home or is known as well already. */
export function achievable(unknown: Unknown): { spread: number; effort: Achievable['effort'] } | undefined {
  const row = ACHIEVABLE[unknown.note.quantity];
  // A sheet stands for all its figures: a new one is a day at a dyno.
  if (row === undefined) return undefined;
  const spread =
    typeof row.spread === 'number'
      ? row.spread
      : (Math.abs(unknown.note.value) * Number(row.spread.slice(0, -1))) / 100;
  return spread < unknown.note.spread ? { spread, effort: row.effort } : undefined;
}

/**
 * What measuring one unknown does. `first`: its first-order share S. With r the spread then over the spread now, the
 * variance expected to be left is V (1 - S (1 - r^2)): exact for an answer linear in it. `comparison`: mean and deviation
 * of a difference; what the measurement will say shifts its mean by a normal amount of variance V S (1 - r^2).
 * `firstError`: the standard error of S, by leaving out one block of draws at a time. Errors of what follows from S are the
 * larger of what they change by with S one such error less and more, within 0 to 1: near S = 1 the square root is steep, and
 * one side of it cut off.
 */
export function worthOf(
  unknown: Unknown,
  { first, firstError }: { readonly first: number; readonly firstError: number },
  comparison?: { readonly mean: number; readonly deviation: number },
): Measuring | undefined {
  const then = achievable(unknown);
  if (then === undefined) return undefined;
  const ratio = then.spread / unknown.note.spread;
  const withError = (of: (gone: number) => number): readonly [number, number] => {
    const share = kept(first);
    const [at, less, more] = [share, kept(share - firstError), kept(share + firstError)].map((s) =>
      of(s * (1 - ratio * ratio)),
    ) as [number, number, number];
    return [at, Math.max(Math.abs(less - at), Math.abs(more - at))];
  };
  const [narrower, narrowerError] = withError((gone) => 1 - Math.sqrt(1 - gone));
  const worth = {
    path: unknown.path,
    how: quantity(unknown.note.quantity).measure,
    effort: then.effort,
    spreadNow: unknown.note.spread,
    spreadThen: then.spread,
    narrower,
    narrowerError,
  };
  if (comparison === undefined) return worth;
  const [settles, settlesError] = withError((gone) => chanceDecided(comparison, gone));
  return { ...worth, settles, settlesError };
}

function kept(share: number): number {
  return Math.min(1, Math.max(0, share));
}

/** P(|mean then| > z * deviation then), mean then normal about mean now with variance V gone. */
export function chanceDecided(
  { mean, deviation }: { readonly mean: number; readonly deviation: number },
  gone: number,
): number {
  const needed = normalQuantile(DECIDED) * deviation * Math.sqrt(Math.max(0, 1 - gone));
  const shift = deviation * Math.sqrt(gone);
  if (!(shift > 1e-12 * deviation)) return Math.abs(mean) > needed ? 1 : 0;
  return normalCdf((mean - needed) / shift) + normalCdf((-mean - needed) / shift);
}
