/** Plot and tables of stops side by side: result columns to what is drawn. Pure. */
import type { BrakeResult } from '../../../sim/index.ts';
import { inUnit } from '../../../sim/index.ts';
import { IRON, POND } from '../look/palette.ts';
import { percent, stopMetres } from '../words/numbers.ts';
import { axleWord, bestShare } from '../words/stop-words.ts';
import type { Plot, PlotTable } from './plot.ts';
import { evenRows } from './station.ts';

export interface NamedStop {
  readonly stop: BrakeResult;
  readonly ground: string;
  /** First or second ground. */
  readonly place: 'here' | 'there';
  readonly best?: BrakeResult;
}

export function engineWord(stop: BrakeResult): string {
  return stop.engine === 'clutch in' ? 'clutch in' : 'in gear';
}

/** Colour by ground, dash by engine: in gear is dashed. */
export function stopPlot(stops: readonly NamedStop[], unit: string): Plot {
  return {
    title: 'Speed over the stop',
    x: { title: 'distance from braking, m', min: 0 },
    left: { title: `speed, ${unit}`, min: 0 },
    series: stops.map(({ stop, ground, place }) => ({
      name: `${ground}, ${engineWord(stop)}`,
      x: stop.columns.distance,
      y: stop.columns.speed.map((v) => inUnit(v, 'speed', unit)),
      colour: place === 'here' ? IRON : POND,
      ...(stop.engine === 'clutch in' ? {} : { dash: [6, 4] }),
      weight: place === 'here' ? 2.5 : 1.75,
    })),
    levels: [],
    marks: [],
    strip: [],
  };
}

export function stopTable(stops: readonly NamedStop[]): PlotTable {
  return {
    heads: [
      'ground',
      'engine',
      'distance',
      'reaches its grip',
      'front share at the ground',
      'engine’s part',
      'share that would suit',
    ],
    rows: stops.map(({ stop, ground, best }) => {
      const suits = best === undefined ? undefined : bestShare(best);
      return [
        ground,
        engineWord(stop),
        stopMetres(stop.distance),
        axleWord(stop),
        percent(stop.frontShareWithEngine),
        percent(stop.engineShare),
        suits === undefined || suits > 1 ? 'none' : percent(suits),
      ];
    }),
  };
}

export function stopCourseTable(stop: BrakeResult, unit: string, most: number): PlotTable {
  const c = stop.columns;
  return {
    heads: ['distance, m', 'time, s', `speed, ${unit}`, 'front grip used', 'rear grip used'],
    rows: evenRows(c.distance, most).map((i) => [
      c.distance[i]!.toFixed(1),
      c.time[i]!.toFixed(1),
      inUnit(c.speed[i]!, 'speed', unit).toFixed(0),
      percent(c.useFront[i]!),
      percent(c.useRear[i]!),
    ]),
  };
}
