/** The numbers of a plot as a table: one row per place where its lines share their places, else one row per point. Pure. */
import type { Plot, PlotTable, Series } from './plot.ts';
import { evenRows } from './station.ts';

export function plotTable(plot: Plot, most: number): PlotTable {
  const [first] = plot.series;
  if (first === undefined) return { heads: [plot.x.title], rows: [] };
  const shared = plot.series.every((series) => samePlaces(series, first));
  if (shared)
    return {
      heads: [plot.x.title, ...plot.series.map((series) => `${series.name}, ${axisOf(plot, series)}`)],
      rows: evenRows(first.x, most).map((i) => [
        tidy(first.x[i]!),
        ...plot.series.map((series) => wordOr(plot, series, series.y[i]!)),
      ]),
    };
  const each = Math.max(2, Math.floor(most / plot.series.length));
  return {
    heads: ['line', plot.x.title, 'value', 'of'],
    rows: plot.series.flatMap((series) =>
      rowsOf(series, each).map((i) => [
        series.name,
        tidy(series.x[i]!),
        wordOr(plot, series, series.y[i]!),
        axisOf(plot, series),
      ]),
    ),
  };
}

function rowsOf(series: Series, most: number): number[] {
  if (series.dots !== true) return evenRows(series.x, most);
  const n = series.x.length;
  const step = Math.max(1, Math.ceil(n / most));
  return Array.from({ length: Math.ceil(n / step) }, (_, k) => k * step);
}

function samePlaces(a: Series, b: Series): boolean {
  if (a.dots === true || b.dots === true) return false;
  return a.x === b.x || (a.x.length === b.x.length && Array.from(a.x).every((x, i) => x === b.x[i]));
}

function axisOf(plot: Plot, series: Series): string {
  return series.side === 'right' ? (plot.right?.title ?? plot.left.title) : plot.left.title;
}

function wordOr(plot: Plot, series: Series, value: number): string {
  const words = series.side === 'right' ? plot.right?.tickWords : plot.left.tickWords;
  return words?.[value - 1] ?? tidy(value);
}

/** Four figures: finer would be the model's. */
function tidy(value: number): string {
  return String(Number(value.toPrecision(4)));
}
