/**
 * Plots and table of a lap: result columns to what is drawn. Pure.
 *
 * In: lap result and how to name things. Out: plots over distance that share one x axis.
 */
import type { LapResult, Project } from '../../../sim/index.ts';
import { IRON, POND } from '../look/palette.ts';
import { inRpm, speedFactor } from '../words/numbers.ts';
import type { Pattern, Plot, PlotTable, Stretch } from './plot.ts';
import { evenRows } from './station.ts';

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

/** Where which ground is, along the lap. */
export function groundStretches(lap: LapResult, surfaces: Project['surfaces']): Stretch[] {
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

export function lapSpeedPlot(lap: LapResult, naming: LapNaming): Plot {
  const factor = speedFactor(naming.speedUnit);
  const { distance, speed } = lap.columns;
  return {
    title: 'Speed round the lap',
    x: distanceAxis(lap),
    left: { title: `speed, ${naming.speedUnit}`, min: 0 },
    series: [
      {
        name: 'speed',
        x: distance,
        y: speed.map((v) => factor * v),
        colour: IRON,
      },
    ],
    levels: [],
    marks: [],
    strip: groundStretches(lap, naming.surfaces),
    margins: MARGINS,
  };
}

export function lapEnginePlot(lap: LapResult, naming: LapNaming): Plot {
  const { distance, engineSpeed, gear } = lap.columns;
  const gears = lap.gearNames.length;
  const limiter = inRpm(naming.revLimit);
  return {
    title: 'Engine speed and gear round the lap',
    x: distanceAxis(lap),
    left: { title: 'engine speed, rpm', min: 0, max: Math.ceil((limiter * 1.12) / 1000) * 1000 },
    right: { title: 'gear', min: 0, max: gears + 1, tickStep: 1, tickWords: lap.gearNames },
    series: [
      { name: 'engine speed', x: distance, y: engineSpeed.map(inRpm), colour: POND },
      {
        name: 'gear (right scale)',
        x: distance,
        y: Float64Array.from(gear, (g) => g + 1),
        colour: IRON,
        dash: [5, 3],
        weight: 1.5,
        side: 'right',
        stepped: true,
      },
    ],
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
      'gear',
      'engine, rpm',
      'held back by',
      'ground',
    ],
    rows: evenRows(c.distance, most).map((i) => [
      c.distance[i]!.toFixed(0),
      c.time[i]!.toFixed(1),
      (factor * c.speed[i]!).toFixed(0),
      lap.gearNames[c.gear[i]!] ?? '',
      (Math.round(inRpm(c.engineSpeed[i]!) / 50) * 50).toFixed(0),
      lap.limits[c.limit[i]!] ?? '',
      naming.surfaces[lap.surfaces[c.surface[i]!] ?? '']?.name ?? '',
    ]),
  };
}

function distanceAxis(lap: LapResult) {
  return { title: 'distance from the start, m', min: 0, max: Math.ceil(lap.length) };
}
