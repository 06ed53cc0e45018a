/**
 * What a log can tell and what it cannot, in words.
 *
 * In: a fit's factors with their covariance, what the file said. Out: the value or pair to leave out, with the reason. Rules:
 * a value nothing in the log moves with; a pair that moves the log alike (correlation beyond MOST_ALIKE, or rank lost) and
 * is not pinned all the same; a value the log knows no better than the file does.
 */
import type { QuantityName } from '../../quantities/table.ts';
import type { FitId, FitValue } from './fit-values.ts';
import type { InputPart } from './from-inputs.ts';
import type { SegmentKind } from './segments.ts';

export interface FittedValue {
  readonly id: FitId;
  /** What stands in the file, times this. */
  readonly factor: number;
  /** One standard deviation of the factor, log and inputs that are not fitted together. */
  readonly spread: number;
  /** Interval of 90 % of the factor. */
  readonly low: number;
  readonly high: number;
  /** The same were every other input exactly as in the file: the wider of the two ways. */
  readonly fromLog: {
    readonly spread: number;
    readonly spreadByCovariance: number;
    /** Null with fewer than three runs to draw from. */
    readonly spreadByResampling: number | null;
    readonly low: number;
    readonly high: number;
  };
  /** What each input that is not fitted adds, the largest first. */
  readonly fromInputs: readonly InputPart[];
  /** Where the largest part of the spread comes from, null for the log itself, and its share of the variance. */
  readonly mostFrom: { readonly path: string | null; readonly share: number };
  /** Known better with the log than by the file alone, by LEAST_GAIN or more: else nothing is gained by taking it over. */
  readonly isBetter: boolean;
  readonly places: readonly {
    readonly path: string;
    /** What it is a value of; absent for a sheet of many. */
    readonly quantity?: QuantityName;
    readonly before: number;
    readonly after: number;
    readonly spread: number;
  }[];
  /** At the edge of what is plausible: why that may be; the value is then not to be trusted. */
  readonly atBound: string | null;
}

export interface RefusedValue {
  readonly ids: readonly FitId[];
  readonly why: string;
}

/** Beyond this correlation the log tells the sum of two effects, not their parts. */
export const MOST_ALIKE = 0.98;
/** A pair that moves alike is kept where both are known to this share of their spread in the file. */
const PINNED = 0.5;

/**
 * Share by which the spread must fall below the file's for anything to be gained. A standard deviation worked out from n
 * residuals is itself known to 1/sqrt(2 n) of itself, a twentieth at 200 of them: a smaller fall is none anybody can see. A
 * value taken over and laid against the same log again comes out with the spread it was given.
 */
const LEAST_GAIN = 1 / 20;

export function isGain(spread: number, inFile: number): boolean {
  return spread <= (1 - LEAST_GAIN) * inFile;
}

export function refusalOf(
  values: readonly FitValue[],
  spreads: readonly number[] | undefined,
  correlation: readonly (readonly number[])[],
  moves: readonly boolean[],
  kinds: ReadonlySet<SegmentKind>,
): RefusedValue | undefined {
  const still = values.findIndex((_, i) => !moves[i]);
  if (still >= 0) {
    const { id } = values[still]!;
    const what =
      id === 'power' && kinds.has('pull')
        ? 'the pulls in this log would be the same with more power or less: the tyres hold them back'
        : `nothing in this log moves with ${id}`;
    return { ids: [id], why: `${what}. ${remedyFor([id])}` };
  }
  const pair = mostAlike(correlation);
  if (pair !== undefined && (spreads === undefined || pair.size > MOST_ALIKE)) {
    const { i, j, signed } = pair;
    const pinned = spreads !== undefined && [i, j].every((k) => spreads[k]! < PINNED * values[k]!.spread);
    if (!pinned) {
      const ids = [values[i]!.id, values[j]!.id];
      return {
        ids,
        why: `${ids[0]} and ${ids[1]} move this log alike (correlation ${signed.toFixed(3)}): it cannot tell them apart. ${remedyFor(ids)}`,
      };
    }
  }
  if (spreads === undefined)
    return { ids: values.map(({ id }) => id), why: 'the runs in this log are too few' };
  const vague = spreads
    .map((spread, i) => ({ i, ratio: spread / values[i]!.spread }))
    .filter(({ ratio }) => ratio >= 1)
    .sort((a, b) => b.ratio - a.ratio)[0];
  return vague === undefined
    ? undefined
    : {
        ids: [values[vague.i]!.id],
        why: `the log knows ${values[vague.i]!.id} to ± ${(100 * spreads[vague.i]!).toFixed(0)} %, the file to ± ${(100 * values[vague.i]!.spread).toFixed(0)} % already. ${remedyFor([values[vague.i]!.id])}`,
      };
}

function mostAlike(
  correlation: readonly (readonly number[])[],
): { i: number; j: number; size: number; signed: number } | undefined {
  let best: { i: number; j: number; size: number; signed: number } | undefined;
  for (let i = 0; i < correlation.length; i++)
    for (let j = i + 1; j < correlation.length; j++) {
      const signed = correlation[i]![j]!;
      if (best === undefined || Math.abs(signed) > best.size) best = { i, j, size: Math.abs(signed), signed };
    }
  return best;
}

function remedyFor(ids: readonly FitId[]): string {
  if (ids.includes('brake balance')) return 'Fit one of them and hold the other: --fit grip.';
  if (ids.includes('drag area') || ids.includes('rolling resistance'))
    return 'Roll out from high speed down to walking pace, several times and both ways.';
  if (ids.includes('power'))
    return 'Pull at full throttle for some seconds, in gears high enough that the tyres hold.';
  if (ids.includes('grip')) return 'Stop at the limit several times.';
  return 'Log more of the runs that show it.';
}
