/**
 * Laps in a log: by the logger's own count, or where the drive comes back to its gate.
 *
 * In: a log. Out: lap times. The gate stands where the kart is at its quickest, across its way there, which no driver
 * passes at a corner's odds; it counts when crossed within GATE of its middle in the same direction, LEAST_LAP after the
 * last time. The moment between two samples is by a straight line: to about a tenth of a sample at steady speed.
 */
import type { DriveLog } from './drive-log.ts';

export interface LoggedLap {
  readonly start: number;
  /** s */
  readonly time: number;
}

/** m to either side */
const GATE = 12;
/** s */
const LEAST_LAP = 15;

export function lapsOf(log: DriveLog): LoggedLap[] {
  return log.lap !== undefined
    ? countedLaps(log.time, log.lap)
    : log.x !== undefined && log.y !== undefined
      ? gateLaps(log.time, log.speed, log.x, log.y)
      : [];
}

/** The first and the last count are cut off by the ends of the log. */
function countedLaps(time: Float64Array, lap: Float64Array): LoggedLap[] {
  const starts: number[] = [];
  for (let i = 1; i < lap.length; i++) if (lap[i] !== lap[i - 1]) starts.push(time[i]!);
  return between(starts);
}

function gateLaps(time: Float64Array, speed: Float64Array, x: Float64Array, y: Float64Array): LoggedLap[] {
  let g = 0;
  for (let i = 1; i + 1 < speed.length; i++) if (speed[i]! > speed[g]!) g = i;
  const dx = x[Math.min(g + 1, x.length - 1)]! - x[Math.max(0, g - 1)]!;
  const dy = y[Math.min(g + 1, y.length - 1)]! - y[Math.max(0, g - 1)]!;
  const length = Math.hypot(dx, dy);
  if (!(length > 0)) return [];
  const [ux, uy] = [dx / length, dy / length];
  const along = (i: number) => (x[i]! - x[g]!) * ux + (y[i]! - y[g]!) * uy;
  const across = (i: number) => Math.abs((y[i]! - y[g]!) * ux - (x[i]! - x[g]!) * uy);
  const crossings: number[] = [];
  for (let i = 1; i < time.length; i++) {
    const [before, after] = [along(i - 1), along(i)];
    if (before > 0 || after <= 0 || across(i) > GATE) continue;
    const t = time[i - 1]! + ((0 - before) / (after - before)) * (time[i]! - time[i - 1]!);
    if (crossings.length === 0 || t - crossings.at(-1)! >= LEAST_LAP) crossings.push(t);
  }
  return between(crossings);
}

function between(starts: readonly number[]): LoggedLap[] {
  return starts.slice(1).map((t, k) => ({ start: starts[k]!, time: t - starts[k]! }));
}
