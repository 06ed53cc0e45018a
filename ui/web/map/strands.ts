/**
 * Splits the line into strands of one look each: by speed band, gear or limit. Pure.
 *
 * In: lap result and what to show. Out: the class of every station, and per class its colour, weight, dash and word.
 */
import type { LapResult, Limit } from '../../../sim/index.ts';
import { gearName } from '../../words/gear-words.ts';
import { GEAR_RAMP, INK, SPEED_RAMP } from '../look/palette.ts';
import { percent, speedFactor } from '../words/numbers.ts';
import type { Fitted } from './fit.ts';

export type Shade = 'speed' | 'gear' | 'limit';

export interface Strand {
  readonly word: string;
  readonly colour: string;
  /** px */
  readonly weight: number;
  readonly dash: string;
}

export interface Strands {
  readonly strands: readonly Strand[];
  /** Index of the strand of each station. */
  readonly of: Uint8Array;
}

/** Look of a limit: colour and dash, so that either alone tells them apart. */
const LIMIT_LOOK: Readonly<Record<Limit, { colour: string; dash: string }>> = {
  power: { colour: '#1d5c7a', dash: '' },
  'front grip': { colour: '#7d2546', dash: '9 3' },
  'rear grip': { colour: '#a33b1a', dash: '4 2' },
  tip: { colour: '#22303c', dash: '2 2' },
  'front lift': { colour: '#54616d', dash: '2 4' },
  'rear lift': { colour: '#54616d', dash: '6 2 2 2' },
  'rev limiter': { colour: '#b57914', dash: '12 3 2 3' },
  shift: { colour: '#8d7a1c', dash: '1 3' },
  clutch: { colour: '#4f7a3a', dash: '1 2' },
  'front brakes': { colour: '#5a2d6b', dash: '10 4 3 4' },
  'rear brakes': { colour: '#33407a', dash: '3 3' },
  'posted speed': { colour: '#1f7168', dash: '14 4' },
};

export function strandsOf(lap: LapResult, shade: Shade, unit: string): Strands {
  if (shade === 'gear') return gearStrands(lap);
  return shade === 'limit' ? limitStrands(lap) : speedStrands(lap, unit);
}

/** SVG path data per strand: each piece runs on to the next station, so that no gap shows. */
export function strandPaths({ strands, of }: Strands, { x, y }: Fitted, closed: boolean): string[] {
  const paths = strands.map(() => '');
  const n = of.length;
  const last = closed ? n : n - 1;
  const at = (i: number): string => `${x[i % n]!.toFixed(1)} ${y[i % n]!.toFixed(1)}`;
  const step = strideOf(n);
  let open = -1;
  for (let i = 0; i < last; ) {
    const strand = of[i]!;
    if (strand !== open) paths[strand] += `M${at(i)}`;
    open = strand;
    // On to the next drawn station, or to where the look changes before it.
    let next = i + 1;
    while (next < last && next < i + step && of[next] === strand) next += 1;
    paths[strand] += `L${at(next)}`;
    i = next;
  }
  return paths;
}

/** Stations closer together than the line is wide draw nothing more and cost time at every change. */
const DRAWN_STATIONS = 700;

function strideOf(stations: number): number {
  return Math.max(1, Math.floor(stations / DRAWN_STATIONS));
}

/** Thick where slow, thin where fast: the line swells in the bends. */
function speedStrands(lap: LapResult, unit: string): Strands {
  const bands = SPEED_RAMP.length;
  const factor = speedFactor(unit);
  const shown = (v: number): number => factor * v;
  const step = roundStep((shown(lap.topSpeed) - shown(lap.lowestSpeed)) / bands);
  const first = Math.floor(shown(lap.lowestSpeed) / step);
  const of = Uint8Array.from(lap.columns.speed, (v) =>
    Math.min(bands - 1, Math.max(0, Math.floor(shown(v) / step + 1e-9) - first)),
  );
  const strands = SPEED_RAMP.map((colour, i) => ({
    word:
      i === bands - 1
        ? `${(first + i) * step} and over`
        : `${(first + i) * step} to ${(first + i + 1) * step}`,
    colour,
    weight: 7 - 0.7 * i,
    dash: '',
  }));
  const used = Math.max(...of) + 1;
  return { strands: strands.slice(0, Math.max(1, used)), of };
}

function gearStrands(lap: LapResult): Strands {
  const strands = lap.gearNames.map((name, i) => ({
    word: gearName(name),
    colour: GEAR_RAMP[i % GEAR_RAMP.length] ?? INK,
    weight: 5,
    dash: i % 2 === 0 ? '' : '7 2',
  }));
  return { strands, of: lap.columns.gear };
}

function limitStrands(lap: LapResult): Strands {
  const strands = lap.limits.map((limit, i) => ({
    word: `${limit}, ${percent(lap.time > 0 ? lap.timeAtLimit[i]! / lap.time : 0)} of the time`,
    ...LIMIT_LOOK[limit],
    weight: 5,
  }));
  return { strands, of: lap.columns.limit };
}

/** A step of 1, 2 or 5 times a power of ten, at least as large as asked and not below 1. */
function roundStep(asked: number): number {
  const power = 10 ** Math.floor(Math.log10(Math.max(asked, 1e-9)));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= asked * 0.999) ?? 10 * power;
  return Math.max(1, step);
}
