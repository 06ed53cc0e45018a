/** Finds stations of a lap by distance, and picks rows for a table. Pure. */
import type { Columnlike } from './plot.ts';

/** Index of the station at or last before a distance; stations rise. */
export function stationAt(distance: Columnlike, at: number): number {
  let low = 0;
  let high = distance.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (distance[middle]! <= at) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** Indices of rows about evenly spaced along a rising column, the ends included, at most `most`. */
export function evenRows(along: Columnlike, most: number): number[] {
  const n = along.length;
  if (n === 0) return [];
  if (n <= most) return Array.from({ length: n }, (_, i) => i);
  const from = along[0]!;
  const to = along[n - 1]!;
  const rows: number[] = [];
  for (let k = 0; k < most; k++) {
    const i = k === most - 1 ? n - 1 : stationAt(along, from + ((to - from) * k) / (most - 1));
    if (rows.at(-1) !== i) rows.push(i);
  }
  return rows;
}
