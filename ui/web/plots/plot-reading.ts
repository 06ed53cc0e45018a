/** What the lines of a plot say at a place of its x axis: for cursors of plots that share none. Pure. */
import type { Plot, Series } from './plot.ts';
import { stationAt } from './station.ts';

/** Every line's value at x, by straight lines between its points; lines that do not reach it are left out. */
export function readingAt(
  plot: Plot,
  x: number,
): readonly { readonly name: string; readonly text: string }[] {
  return plot.series.flatMap((series) => {
    const value = valueAt(series, x);
    if (value === undefined) return [];
    const words = series.side === 'right' ? plot.right?.tickWords : plot.left.tickWords;
    return [{ name: series.name, text: words?.[Math.round(value) - 1] ?? tidy(value) }];
  });
}

export function spanOf(plot: Plot): { from: number; to: number } {
  let from = plot.x.min ?? Number.POSITIVE_INFINITY;
  let to = plot.x.max ?? Number.NEGATIVE_INFINITY;
  for (const { x } of plot.series) {
    if (x.length === 0) continue;
    from = Math.min(from, x[0]!);
    to = Math.max(to, x[x.length - 1]!);
  }
  return from < to ? { from, to } : { from: 0, to: 1 };
}

/** A number as a reader wants it: three figures. */
export function tidy(value: number): string {
  const size = Math.abs(value);
  return size >= 1000 ? value.toFixed(0) : String(Number(value.toPrecision(3)));
}

function valueAt({ x, y, stepped }: Series, at: number): number | undefined {
  const n = x.length;
  if (n === 0 || at < x[0]! || at > x[n - 1]!) return undefined;
  const i = stationAt(x, at);
  if (stepped === true || i === n - 1) return y[i]!;
  const span = x[i + 1]! - x[i]!;
  return span === 0 ? y[i]! : y[i]! + ((y[i + 1]! - y[i]!) * (at - x[i]!)) / span;
}
