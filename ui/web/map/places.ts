/**
 * Places worth a word on the map: slowest and fastest points, changes of gear or limit, distances, the start. Pure.
 *
 * In: lap result, what the line is shaded by. Out: station, text and rank; the map drops what does not fit, lowest
 * rank first.
 */
import type { LapResult } from '../../../sim/index.ts';
import { inUnit } from '../../../sim/index.ts';
import { gearCell } from '../../words/gear-words.ts';
import { stationAt } from '../plots/station.ts';
import type { Shade } from './strands.ts';

export interface PlaceLabel {
  readonly station: number;
  readonly text: string;
  readonly tone: 'strong' | 'plain' | 'faint';
}

/** Labels by falling rank. */
export function placeLabels(lap: LapResult, shade: Shade, unit: string, closed: boolean): PlaceLabel[] {
  const n = lap.columns.distance.length;
  const ends: PlaceLabel[] = closed
    ? [{ station: 0, text: 'start and finish', tone: 'plain' }]
    : [
        { station: 0, text: 'start', tone: 'plain' },
        { station: n - 1, text: 'finish', tone: 'plain' },
      ];
  const own =
    shade === 'speed' ? speedLabels(lap, unit) : shade === 'gear' ? gearLabels(lap) : limitLabels(lap);
  return [...ends, ...own, ...gradeLabels(lap), ...distanceLabels(lap)];
}

function speedLabels(lap: LapResult, unit: string): PlaceLabel[] {
  const { speed } = lap.columns;
  const text = (i: number): string => inUnit(speed[i]!, 'speed', unit).toFixed(0);
  return turningPoints(speed, 0.12 * (lap.topSpeed - lap.lowestSpeed))
    .sort((a, b) => b.rise - a.rise)
    .slice(0, 14)
    .map(({ at, kind }) => ({ station: at, text: text(at), tone: kind === 'low' ? 'strong' : 'plain' }));
}

/** Local lowest and highest points that stand out by at least `least`; the ends do not count. */
export function turningPoints(
  values: ArrayLike<number>,
  least: number,
): { at: number; kind: 'low' | 'high'; rise: number }[] {
  const points: { at: number; kind: 'low' | 'high'; rise: number }[] = [];
  let low = 0;
  let high = 0;
  let looking: 'low' | 'high' | undefined;
  let last = values[0] ?? 0;
  for (let i = 1; i < values.length; i++) {
    const v = values[i]!;
    if (v > values[high]!) high = i;
    if (v < values[low]!) low = i;
    if (looking !== 'high' && v - values[low]! >= least) {
      if (looking !== undefined) points.push({ at: low, kind: 'low', rise: last - values[low]! });
      last = values[low]!;
      looking = 'high';
      high = i;
    } else if (looking !== 'low' && values[high]! - v >= least) {
      points.push({ at: high, kind: 'high', rise: values[high]! - last });
      last = values[high]!;
      looking = 'low';
      low = i;
    }
  }
  return points;
}

function gearLabels(lap: LapResult): PlaceLabel[] {
  return changes(lap.columns.gear).map((station) => ({
    station,
    text: gearText(lap, lap.gearNames[lap.columns.gear[station]!] ?? ''),
    tone: 'strong',
  }));
}

/** Into a gear; a belt comes into a ratio by itself. */
function gearText(lap: LapResult, name: string): string {
  return lap.shifts === null ? gearCell(name) : `into ${name}`;
}

/** The longest stretches of one limit, named in their middle. */
function limitLabels(lap: LapResult): PlaceLabel[] {
  const { limit, distance } = lap.columns;
  const starts = [0, ...changes(limit), limit.length - 1];
  return starts
    .slice(0, -1)
    .map((from, k) => ({ from, to: starts[k + 1]! }))
    .sort((a, b) => distance[b.to]! - distance[b.from]! - (distance[a.to]! - distance[a.from]!))
    .slice(0, 10)
    .map(({ from, to }) => ({
      station: stationAt(distance, (distance[from]! + distance[to]!) / 2),
      text: lap.limits[limit[from]!] ?? '',
      tone: 'strong',
    }));
}

/** Slopes worth feeling: rise over run, and long enough to be one, m. */
const SLOPE_OF_GROUND = 0.03;
const SLOPE_LENGTH = 12;

/** Where it climbs and where it falls, said in the steepest place of each slope. */
function gradeLabels(lap: LapResult): PlaceLabel[] {
  const { grade, distance } = lap.columns;
  const signs = Array.from(grade, (g) => (Math.abs(g) < SLOPE_OF_GROUND ? 0 : Math.sign(g)));
  const starts = [0, ...changes(signs), signs.length - 1];
  return starts.slice(0, -1).flatMap((from, k): PlaceLabel[] => {
    const to = starts[k + 1]!;
    if (signs[from] === 0 || distance[to]! - distance[from]! < SLOPE_LENGTH) return [];
    let steepest = from;
    for (let i = from; i < to; i++) if (Math.abs(grade[i]!) > Math.abs(grade[steepest]!)) steepest = i;
    const size = Math.round(100 * Math.abs(grade[steepest]!));
    return [{ station: steepest, text: `${signs[from]! > 0 ? 'up' : 'down'} ${size} %`, tone: 'faint' }];
  });
}

/** Every 100 m on short tracks, every 200 m on longer ones. */
function distanceLabels(lap: LapResult): PlaceLabel[] {
  const step = lap.length > 700 ? 200 : 100;
  const labels: PlaceLabel[] = [];
  for (let s = step; s < lap.length - step / 2; s += step)
    labels.push({ station: stationAt(lap.columns.distance, s), text: `${s} m`, tone: 'faint' });
  return labels;
}

function changes(classes: ArrayLike<number>): number[] {
  const at: number[] = [];
  for (let i = 1; i < classes.length; i++) if (classes[i] !== classes[i - 1]) at.push(i);
  return at;
}
