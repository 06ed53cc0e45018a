/** Plot and tables of stops side by side: result columns to what is drawn. Pure. */
import type { BrakeResult } from '../../../sim/index.ts';
import { bestFrontShare } from '../../../sim/index.ts';
import { DASHES, IRON, MOSS, POND } from '../look/palette.ts';
import { percent, speedFactor, stopMetres } from '../words/numbers.ts';
import { axleWord, isUsable } from '../words/stop-words.ts';
import type { Pinned, Plot, PlotTable } from './plot.ts';
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
export function stopPlot(
  stops: readonly NamedStop[],
  unit: string,
  pinned: readonly Pinned<BrakeResult>[] = [],
): Plot {
  const factor = speedFactor(unit);
  return {
    title: 'Speed over the stop',
    x: { title: 'distance from braking, m', min: 0 },
    left: { title: `speed, ${unit}`, min: 0 },
    series: [
      ...stops.map(({ stop, ground, place }) => ({
        name: `${ground}, ${engineWord(stop)}`,
        x: stop.columns.distance,
        y: stop.columns.speed.map((v) => factor * v),
        colour: place === 'here' ? IRON : POND,
        ...(stop.engine === 'clutch in' ? {} : { dash: [6, 4] }),
        weight: place === 'here' ? 2.5 : 1.75,
      })),
      ...pinned.map(({ letter, result }, i) => ({
        name: `pin ${letter}, clutch in`,
        x: result.columns.distance,
        y: result.columns.speed.map((v) => factor * v),
        colour: MOSS,
        dash: DASHES[i + 1] ?? [],
        weight: 1.75,
      })),
    ],
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
      'stop',
      'at its grip',
      'front share at first',
      'engine’s part',
      'suits both axles, on average',
    ],
    rows: stops.map(({ stop, ground, best }) => {
      const suits = best === undefined ? undefined : bestFrontShare(best);
      return [
        ground,
        engineWord(stop),
        stopMetres(stop.distance),
        axleWord(stop),
        percent(stop.frontShareWithEngine),
        percent(stop.engineShare),
        isUsable(suits) ? percent(suits) : 'none',
      ];
    }),
  };
}

/** Every stop, row by row; `most` rows of each. */
export function stopCourseTable(stops: readonly NamedStop[], unit: string, most: number): PlotTable {
  const factor = speedFactor(unit);
  return {
    heads: ['stop', 'distance, m', 'time, s', `speed, ${unit}`, 'front grip used', 'rear grip used'],
    rows: stops.flatMap(({ stop, ground }) => {
      const c = stop.columns;
      return evenRows(c.distance, most).map((i) => [
        `${ground}, ${engineWord(stop)}`,
        c.distance[i]!.toFixed(1),
        c.time[i]!.toFixed(1),
        (factor * c.speed[i]!).toFixed(0),
        percent(c.useFront[i]!),
        percent(c.useRear[i]!),
      ]);
    }),
  };
}
