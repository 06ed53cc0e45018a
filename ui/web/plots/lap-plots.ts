/**
 * Plots and table of a lap: result columns to what is drawn. Pure.
 *
 * In: lap result and how to name things. Out: plots over distance that share one x axis.
 */
import type { LapResult, Project } from '../../../sim/index.ts';
import { gearCell, inGear } from '../../words/gear-words.ts';
import { DASHES, IRON, POND } from '../look/palette.ts';
import { inRpm, percent, seconds, speedFactor } from '../words/numbers.ts';
import { engineSeries } from './engine-series.ts';
import type { Pattern, Pinned, Plot, PlotTable, Stretch } from './plot.ts';
import { evenRows, stationAt } from './station.ts';

export interface LapNaming {
  readonly speedUnit: string;
  readonly surfaces: Project['surfaces'];
  /** rad/s */
  readonly revLimit: number;
}

/** px; five digits on the left, one on the right, titles included. */
const MARGINS = { left: 66, right: 44 } as const;

const PATTERN: Readonly<Record<Project['surfaces'][string]['kind'], Pattern>> = {
  hard: 'plain',
  packed: 'dots',
  loose: 'hatch',
  grass: 'cross',
};

export function patternOf(surfaces: Project['surfaces'], id: string): Pattern {
  return PATTERN[surfaces[id]?.kind ?? 'hard'];
}

/** What of a lap, or of a compiled track, tells which ground lies where. */
export interface GroundColumns {
  readonly length: number;
  readonly surfaces: readonly string[];
  readonly columns: {
    readonly distance: Float64Array;
    readonly surface: Uint8Array;
    readonly left: Float64Array;
    readonly right: Float64Array;
  };
}

/** Where which ground is, along the lap. */
export function groundStretches(lap: GroundColumns, surfaces: Project['surfaces']): Stretch[] {
  const { distance, surface } = lap.columns;
  const stretches: Stretch[] = [];
  let first = 0;
  for (let i = 1; i <= surface.length; i++) {
    if (i < surface.length && surface[i] === surface[first]) continue;
    const id = lap.surfaces[surface[first]!] ?? '';
    stretches.push({
      from: distance[first]!,
      to: i < distance.length ? distance[i]! : lap.length,
      word: surfaces[id]?.name ?? id,
      pattern: patternOf(surfaces, id),
    });
    first = i;
  }
  return stretches;
}

export function lapSpeedPlot(
  lap: LapResult,
  naming: LapNaming,
  pinned: readonly Pinned<LapResult>[] = [],
): Plot {
  const factor = speedFactor(naming.speedUnit);
  const { distance, speed } = lap.columns;
  return {
    title: 'Speed along the course',
    x: distanceAxis(lap),
    left: { title: `speed, ${naming.speedUnit}`, min: 0 },
    series: [
      {
        name: 'now',
        x: distance,
        y: speed.map((v) => factor * v),
        colour: IRON,
        weight: pinned.length === 0 ? 2 : 2.5,
      },
      ...pinned
        .filter((pin) => isSameCourse(pin.result, lap))
        .map(({ letter, result }, i) => ({
          name: `pin ${letter}`,
          x: result.columns.distance,
          y: result.columns.speed.map((v) => factor * v),
          colour: POND,
          dash: DASHES[i + 1] ?? [],
          weight: 1.75,
        })),
    ],
    levels: [],
    marks: [],
    strip: groundStretches(lap, naming.surfaces),
    margins: MARGINS,
  };
}

/** How far ahead the present lap is of each pinned one, place by place; undefined without a pin on this course. */
export function timeDifferencePlot(lap: LapResult, pinned: readonly Pinned<LapResult>[]): Plot | undefined {
  const same = pinned.filter((pin) => isSameCourse(pin.result, lap));
  if (same.length === 0) return undefined;
  const { distance, time } = lap.columns;
  return {
    title: 'Time in hand over the pinned laps',
    x: distanceAxis(lap),
    left: { title: 'ahead positive, s' },
    series: same.map(({ letter, result }, i) => ({
      name: `on pin ${letter}`,
      x: distance,
      y: distance.map((s, k) => timeAt(result, s) - time[k]!),
      colour: POND,
      dash: DASHES[i + 1] ?? [],
    })),
    levels: [{ at: 0, word: 'level' }],
    marks: [],
    strip: [],
    margins: MARGINS,
  };
}

/** m; two drawings of one course agree better than this. */
const SAME_LENGTH = 0.5;

function isSameCourse(a: LapResult, b: LapResult): boolean {
  return a.track === b.track && Math.abs(a.length - b.length) < SAME_LENGTH;
}

function timeAt({ columns }: LapResult, s: number): number {
  const { distance, time } = columns;
  const i = stationAt(distance, s);
  if (i + 1 >= distance.length) return time[i]!;
  const share = (s - distance[i]!) / (distance[i + 1]! - distance[i]!);
  return time[i]! + share * (time[i + 1]! - time[i]!);
}

/** m; flatter courses have no height worth a plot. */
const FLAT = 0.3;

/** Height and grade over distance; undefined on level ground. */
export function lapHeightPlot(lap: LapResult): Plot | undefined {
  const { distance, height, grade } = lap.columns;
  if (Math.max(...height) - Math.min(...height) < FLAT) return undefined;
  const low = Math.min(...height);
  return {
    title: 'Height and grade along the course',
    x: distanceAxis(lap),
    left: { title: 'above the lowest, m', min: 0 },
    right: { title: 'grade, %' },
    series: [
      { name: 'height', x: distance, y: height.map((z) => z - low), colour: IRON },
      {
        name: 'grade, uphill positive (right scale)',
        x: distance,
        y: grade.map((g) => 100 * g),
        colour: POND,
        dash: [4, 3],
        weight: 1.5,
        side: 'right',
      },
    ],
    levels: [],
    marks: [],
    strip: [],
    margins: MARGINS,
  };
}

/** Where the time goes: per gear, on the limiter, by what holds the kart back. */
export function lapTimeTable(lap: LapResult): PlotTable {
  const share = (t: number): string => percent(lap.time > 0 ? t / lap.time : 0);
  return {
    heads: ['where the time goes', 'time', 'share'],
    rows: [
      ...lap.gearNames.flatMap((name, i) => {
        const t = lap.timeInGear[i]!;
        return t > 0 ? [[inGear(name), seconds(t), share(t)]] : [];
      }),
      ['on the rev limiter', seconds(lap.timeAtLimiter), share(lap.timeAtLimiter)],
      ...lap.limits.flatMap((limit, i) => {
        const t = lap.timeAtLimit[i]!;
        return t > 0 ? [[`held by ${limit}`, seconds(t), share(t)]] : [];
      }),
    ],
  };
}

export function lapEnginePlot(lap: LapResult, naming: LapNaming): Plot {
  const { distance, engineSpeed, gear } = lap.columns;
  const gears = lap.gearNames.length;
  const isBelt = lap.shifts === null;
  const limiter = inRpm(naming.revLimit);
  return {
    title: `${isBelt ? 'Engine speed' : 'Engine speed and gear'} along the course`,
    x: distanceAxis(lap),
    left: { title: 'engine speed, rpm', min: 0, max: Math.ceil((limiter * 1.12) / 1000) * 1000 },
    ...(isBelt
      ? {}
      : { right: { title: 'gear', min: 0, max: gears + 1, tickStep: 1, tickWords: lap.gearNames } }),
    series: engineSeries(distance, engineSpeed, isBelt ? undefined : gear),
    levels: [{ at: limiter, word: 'rev limiter' }],
    marks: [],
    strip: [],
    margins: MARGINS,
  };
}

export function lapTable(lap: LapResult, naming: LapNaming, most: number): PlotTable {
  const factor = speedFactor(naming.speedUnit);
  const c = lap.columns;
  return {
    heads: [
      'distance, m',
      'time, s',
      `speed, ${naming.speedUnit}`,
      lap.shifts === null ? 'belt' : 'gear',
      'engine, rpm',
      'held back by',
      'ground',
    ],
    rows: evenRows(c.distance, most).map((i) => [
      c.distance[i]!.toFixed(0),
      c.time[i]!.toFixed(1),
      (factor * c.speed[i]!).toFixed(0),
      gearCell(lap.gearNames[c.gear[i]!] ?? ''),
      (Math.round(inRpm(c.engineSpeed[i]!) / 50) * 50).toFixed(0),
      lap.limits[c.limit[i]!] ?? '',
      naming.surfaces[lap.surfaces[c.surface[i]!] ?? '']?.name ?? '',
    ]),
  };
}

function distanceAxis(lap: LapResult) {
  return { title: 'distance from the start, m', min: 0, max: Math.ceil(lap.length) };
}
