/** Result columns to plots, tables and chart options. */
import { describe, expect, test } from 'vitest';
import type { AccelerationResult, BrakeResult, LapResult } from '../../../../sim/index.ts';
import { perform } from '../../../../sim/index.ts';
import { readDemo } from '../../../../ui/demo/demo-project.ts';
import { PALETTES } from '../../../../ui/web/look/palette.ts';
import { chartData, chartOptions } from '../../../../ui/web/plots/chart.ts';
import { csvText } from '../../../../ui/web/plots/csv.ts';
import {
  groundStretches,
  lapEnginePlot,
  lapSpeedPlot,
  lapTable,
} from '../../../../ui/web/plots/lap-plots.ts';
import type { PlotCursor } from '../../../../ui/web/plots/plot-cursor.ts';
import { cursorAfterKey } from '../../../../ui/web/plots/plot-cursor.ts';
import { markTable, runPlot } from '../../../../ui/web/plots/run-plots.ts';
import { evenRows, stationAt } from '../../../../ui/web/plots/station.ts';
import { stopPlot, stopTable } from '../../../../ui/web/plots/stop-plots.ts';

const project = readDemo().project!;
const who = { kart: 'clodlet-four-knobbly', day: 'mild' };
const lap = perform(project, { ...who, verb: 'lap', track: 'brindlequag-works' }).result as LapResult;
const run = perform(project, { ...who, verb: 'accelerate', surface: 'asphalt' }).result as AccelerationResult;
const stop = (engine: 'clutch in' | 'in gear') =>
  perform(project, { ...who, verb: 'brake', surface: 'asphalt', options: { fromSpeed: 16, engine } })
    .result as BrakeResult;
const naming = { speedUnit: 'km/h', surfaces: project.surfaces, revLimit: project.donors['four']!.revLimit };

describe('lap plots', () => {
  test('speed in the unit shown, station by station', () => {
    const [series] = lapSpeedPlot(lap, naming).series;
    expect(series?.y.length).toBe(lap.columns.speed.length);
    expect(series?.y[7]).toBeCloseTo(lap.columns.speed[7]! * 3.6, 9);
    const [inMph] = lapSpeedPlot(lap, { ...naming, speedUnit: 'mph' }).series;
    expect(inMph?.y[7]).toBeCloseTo(lap.columns.speed[7]! / 0.44704, 9);
  });

  test('grounds cover the lap without gap, in words', () => {
    const stretches = groundStretches(lap, project.surfaces);
    expect(stretches.map((s) => s.word)).toEqual(['Asphalt', 'Packed earth', 'Asphalt']);
    expect(stretches[0]?.from).toBe(0);
    expect(stretches.at(-1)?.to).toBe(lap.length);
    for (let i = 1; i < stretches.length; i++) expect(stretches[i]?.from).toBe(stretches[i - 1]?.to);
    expect(stretches[1]?.from).toBeCloseTo(590, 6);
  });

  test('gears count from one on a scale of their own, with the limiter as a level', () => {
    const plot = lapEnginePlot(lap, naming);
    expect(plot.levels[0]?.at).toBeCloseTo((naming.revLimit * 30) / Math.PI, 6);
    const gears = plot.series[1]!;
    expect(gears.side).toBe('right');
    expect(Math.min(...Array.from(gears.y))).toBe(1);
    // A line must differ from its neighbour by more than colour.
    expect(plot.series[0]?.dash).toBeUndefined();
    expect(gears.dash?.length).toBeGreaterThan(0);
  });

  test('tables hold even rows, ends included; the file holds all of them', () => {
    const table = lapTable(lap, naming, 41);
    expect(table.rows.length).toBeLessThanOrEqual(41);
    expect(table.rows[0]?.[0]).toBe('0');
    expect(table.rows.at(-1)?.[0]).toBe(lap.length.toFixed(0));
    expect(lapTable(lap, naming, Number.MAX_SAFE_INTEGER).rows).toHaveLength(lap.columns.distance.length);
  });
});

test('the run: shifts are marks, the usual marks have a row each', () => {
  const plot = runPlot(run, 'km/h');
  expect(plot.marks.map((m) => m.at)).toEqual(run.shifts!.map((s) => s.time));
  for (let i = 1; i < plot.strip.length; i++)
    expect(plot.strip[i]!.from).toBeGreaterThanOrEqual(plot.strip[i - 1]!.to);
  const table = markTable(run, 'km/h');
  expect(table.rows.map((r) => r[0])).toEqual(['60 ft', '100 m', '1/4 mile', '0-50 km/h', '0-100 km/h']);
  const missed = { ...run, marks: run.marks.map((m) => ({ ...m, time: null })) };
  expect(markTable(missed, 'km/h').rows[0]).toEqual(['60 ft', 'not reached', '', '']);
});

test('the stop: one line per stop, dashed in gear, distances as the solver found them', () => {
  const stops = (['clutch in', 'in gear'] as const).map((engine) => ({
    stop: stop(engine),
    ground: 'Asphalt',
    place: 'here' as const,
  }));
  const plot = stopPlot(stops, 'km/h');
  expect(plot.series.map((s) => s.dash !== undefined)).toEqual([false, true]);
  const table = stopTable(stops);
  expect(table.rows[0]?.[2]).toContain(stops[0]!.stop.distance.toFixed(0));
});

describe('chart', () => {
  const plot = lapEnginePlot(lap, naming);
  test('options: no animation, no parsing, linear x, titles with units, second scale on the right', () => {
    const options = chartOptions(plot, PALETTES.paper);
    expect(options).toMatchObject({
      animation: false,
      parsing: false,
      normalized: true,
      elements: { point: { radius: 0 } },
      scales: {
        x: { type: 'linear', title: { text: 'distance from the start, m' } },
        y: { title: { text: 'engine speed, rpm' } },
        right: { position: 'right', title: { text: 'gear' } },
      },
    });
  });
  test('data: points as they are, on the scale they belong to', () => {
    const data = chartData(plot, PALETTES.paper);
    expect(data.datasets.map((d) => d.yAxisID)).toEqual(['y', 'right']);
    const [first] = plot.series;
    const drawn = data.datasets[0]!.data;
    // No more points than a screen has pixels, each a point of the column, the ends kept.
    expect(drawn.length).toBeLessThanOrEqual(702);
    for (const point of drawn.slice(0, 50)) {
      const i = Array.from(first!.x).indexOf(point.x);
      expect(first!.y[i]).toBe(point.y);
    }
    expect(drawn.at(-1)?.x).toBe(first!.x[first!.x.length - 1]);
  });
  test('zoomed: the points in sight and one beyond, finer than the whole', () => {
    const near = chartData({ ...plot, x: { ...plot.x, min: 100, max: 120 } }, PALETTES.paper).datasets[0]!
      .data;
    expect(near[0]!.x).toBeLessThanOrEqual(100);
    expect(near.at(-1)!.x).toBeGreaterThanOrEqual(120);
    expect(near.length).toBeGreaterThan(90);
  });
});

test('stations by distance, and even rows', () => {
  const distance = [0, 1, 1, 2, 5];
  expect([-1, 0, 0.5, 1, 1.9, 4, 9].map((s) => stationAt(distance, s))).toEqual([0, 0, 0, 2, 2, 3, 4]);
  expect(evenRows(distance, 3)).toEqual([0, 3, 4]);
  expect(evenRows([], 3)).toEqual([]);
});

test('keys move the cursor and stop at the ends', () => {
  const cursor = (at: number): PlotCursor => ({
    at: { value: at, peek: () => at } as PlotCursor['at'],
    min: 0,
    max: 100,
    step: 2,
    say: String,
    move: () => {},
  });
  expect(cursorAfterKey(cursor(50), 'ArrowRight', false)).toBe(52);
  expect(cursorAfterKey(cursor(50), 'ArrowLeft', true)).toBe(30);
  expect(cursorAfterKey(cursor(99), 'ArrowRight', true)).toBe(100);
  expect(cursorAfterKey(cursor(50), 'Home', false)).toBe(0);
  expect(cursorAfterKey(cursor(50), 'a', false)).toBeUndefined();
});

test('CSV quotes what needs it (RFC 4180)', () => {
  expect(csvText({ heads: ['a', 'b, c'], rows: [['1', 'say "so"']] })).toBe('a,"b, c"\r\n1,"say ""so"""\r\n');
});
