/** Plot and tables of a run from standing: result columns to what is drawn. Pure. */
import type { AccelerationResult, Limit } from '../../../sim/index.ts';
import { DASHES, IRON, POND } from '../look/palette.ts';
import { inRpm, metres, seconds, speed, speedFactor } from '../words/numbers.ts';
import { SHOWN_MARKS } from '../words/run-words.ts';
import { BELT_MARKS } from '../words/shift-words.ts';
import { engineSeries } from './engine-series.ts';
import type { Pattern, Pinned, Plot, PlotTable, Stretch } from './plot.ts';
import { evenRows } from './station.ts';

const PACE: Readonly<Partial<Record<Limit, { word: string; pattern: Pattern }>>> = {
  power: { word: 'engine sets the pace', pattern: 'plain' },
  'rev limiter': { word: 'rev limiter', pattern: 'cross' },
  shift: { word: 'shift', pattern: 'dots' },
  clutch: { word: 'clutch slips', pattern: 'dots' },
};
const TYRES = { word: 'tyres set the pace', pattern: 'hatch' } as const;

export function runPlot(
  run: AccelerationResult,
  unit: string,
  pinned: readonly Pinned<AccelerationResult>[] = [],
): Plot {
  const { time, speed: v } = run.columns;
  const factor = speedFactor(unit);
  return {
    title: 'Speed from standing',
    x: {
      title: 'time, s',
      min: 0,
      max: Math.max(1, Math.ceil(Math.max(run.time, ...pinned.map((pin) => pin.result.time)))),
    },
    left: { title: `speed, ${unit}`, min: 0 },
    series: [
      { name: 'now', x: time, y: v.map((x) => factor * x), colour: IRON, weight: 2.5 },
      ...pinned.map(({ letter, result }, i) => ({
        name: `pin ${letter}`,
        x: result.columns.time,
        y: result.columns.speed.map((x) => factor * x),
        colour: POND,
        dash: DASHES[i + 1] ?? [],
      })),
    ],
    levels: [],
    marks: run.shifts?.map((shift) => ({ at: shift.time, word: `into ${shift.into}` })) ?? beltMarks(run),
    strip: paceStretches(run),
  };
}

/** Where the belt begins to change its ratio, and where it has none left. */
function beltMarks({ gearNames, columns: { time, gear } }: AccelerationResult): Plot['marks'] {
  return Array.from(gear.keys()).flatMap((i) => {
    const word = i > 0 && gear[i]! > gear[i - 1]! ? BELT_MARKS.get(gearNames[gear[i - 1]!] ?? '') : undefined;
    return word === undefined ? [] : [{ at: time[i]!, word }];
  });
}

/** Engine speed over the run, with the gear it is in; a belt has none to show. */
export function runEnginePlot(run: AccelerationResult, revLimit: number): Plot {
  const { time, engineSpeed, gear } = run.columns;
  const most = Math.max(...gear) + 1;
  return {
    title: `${run.shifts === null ? 'Engine speed' : 'Engine speed and gear'} from standing`,
    x: { title: 'time, s', min: 0, max: Math.max(1, Math.ceil(run.time)) },
    left: { title: 'engine speed, rpm', min: 0, max: Math.ceil((inRpm(revLimit) * 1.12) / 1000) * 1000 },
    ...(run.shifts === null ? {} : { right: { title: 'gear', min: 0, max: most + 1, tickStep: 1 } }),
    series: engineSeries(time, engineSpeed, run.shifts === null ? undefined : gear),
    levels: [{ at: inRpm(revLimit), word: 'rev limiter' }],
    marks:
      run.clutchLocksAt === null || run.clutchLocksAt <= 0
        ? []
        : [{ at: run.clutchLocksAt, word: run.shifts === null ? 'belt has taken hold' : 'clutch home' }],
    strip: [],
  };
}

/** What sets the pace when: tyres, engine, clutch, shift. */
function paceStretches(run: AccelerationResult): Stretch[] {
  const { time, limit } = run.columns;
  const stretches: Stretch[] = [];
  for (let i = 0; i + 1 < time.length; i++) {
    const what = PACE[run.limits[limit[i]!] ?? 'power'] ?? TYRES;
    const last = stretches.at(-1);
    if (last?.word === what.word) stretches[stretches.length - 1] = { ...last, to: time[i + 1]! };
    else if (time[i + 1]! > time[i]!) stretches.push({ ...what, from: time[i]!, to: time[i + 1]! });
  }
  return stretches;
}

/** The marks a builder asks for first. */
export function markTable(run: AccelerationResult, unit: string): PlotTable {
  return {
    heads: ['mark', 'time', 'speed there', 'distance'],
    rows: SHOWN_MARKS.flatMap((label) => {
      const mark = run.marks.find((m) => m.label === label);
      if (mark === undefined) return [];
      if (mark.time === null) return [[label, 'not reached', '', '']];
      return [[label, seconds(mark.time), speed(mark.speed ?? 0, unit), metres(mark.distance ?? 0)]];
    }),
  };
}

export function runTable(run: AccelerationResult, unit: string, most: number): PlotTable {
  const c = run.columns;
  const factor = speedFactor(unit);
  return {
    heads: ['time, s', 'distance, m', `speed, ${unit}`, 'gear', 'engine, rpm', 'held back by'],
    rows: evenRows(c.time, most).map((i) => [
      c.time[i]!.toFixed(1),
      c.distance[i]!.toFixed(0),
      (factor * c.speed[i]!).toFixed(0),
      String(c.gear[i]! + 1),
      (Math.round(inRpm(c.engineSpeed[i]!) / 50) * 50).toFixed(0),
      run.limits[c.limit[i]!] ?? '',
    ]),
  };
}
