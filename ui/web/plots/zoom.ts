/** How much of the x axis a plot shows: closer, wider, along. Pure; several plots may share one range. */
import type { Plot } from './plot.ts';

export interface Range {
  readonly from: number;
  readonly to: number;
}

/** Closest view as a share of the whole. */
const CLOSEST = 0.02;
const STEP = 2;

/** Half as much, kept round a place. Undefined is the whole. */
export function closer(range: Range | undefined, whole: Range, about: number): Range {
  const now = range ?? whole;
  const width = Math.max((now.to - now.from) / STEP, CLOSEST * (whole.to - whole.from));
  return within({ from: about - width / 2, to: about + width / 2 }, whole);
}

export function wider(range: Range | undefined, whole: Range): Range | undefined {
  if (range === undefined) return undefined;
  const width = (range.to - range.from) * STEP;
  if (width >= whole.to - whole.from) return undefined;
  const middle = (range.from + range.to) / 2;
  return within({ from: middle - width / 2, to: middle + width / 2 }, whole);
}

/** Moves on by half a view, forwards or back. */
export function along(range: Range | undefined, whole: Range, way: 1 | -1): Range | undefined {
  if (range === undefined) return undefined;
  const by = (way * (range.to - range.from)) / 2;
  return within({ from: range.from + by, to: range.to + by }, whole);
}

/** The plot with its x axis cut to the range. */
export function zoomed(plot: Plot, range: Range | undefined): Plot {
  return range === undefined ? plot : { ...plot, x: { ...plot.x, min: range.from, max: range.to } };
}

function within({ from, to }: Range, whole: Range): Range {
  const shift = from < whole.from ? whole.from - from : to > whole.to ? whole.to - to : 0;
  return { from: Math.max(whole.from, from + shift), to: Math.min(whole.to, to + shift) };
}
