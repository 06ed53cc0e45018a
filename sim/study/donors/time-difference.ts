/**
 * Where along a lap one kart gains on another, and what holds each while it does.
 *
 * In: two described laps over the same stations. Out: time of b minus time of a over distance, and the same seconds
 * sorted by what limits a (rows) and what limits b (columns). Knows nothing of donors.
 */
import type { LapResult } from '../../run/lap.ts';
import type { Limit } from '../../run/limit.ts';
import type { Grid } from '../study.ts';

export interface TimeDifference {
  readonly distance: Float64Array;
  /** s, positive where b is behind */
  readonly difference: Float64Array;
  readonly limits: readonly Limit[];
  /** Seconds b loses while a is limited by the row and b by the column */
  readonly byLimits: Grid;
}

/** Null where the laps were not driven over the same stations from the same start. */
export function timeDifference(a: LapResult, b: LapResult): TimeDifference | null {
  const n = a.columns.distance.length;
  if (b.columns.distance.length !== n || a.start !== b.start) return null;
  const size = a.limits.length;
  const data = new Float64Array(size * size);
  const difference = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    difference[i] = b.columns.time[i]! - a.columns.time[i]!;
    const next = i + 1 < n ? b.columns.time[i + 1]! - a.columns.time[i + 1]! : b.time - a.time;
    const cell = a.columns.limit[i]! * size + b.columns.limit[i]!;
    data[cell] = data[cell]! + next - difference[i]!;
  }
  return {
    distance: a.columns.distance.slice(),
    difference,
    limits: a.limits,
    byLimits: { data, shape: [size, size] },
  };
}
