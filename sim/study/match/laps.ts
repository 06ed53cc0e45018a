/**
 * Laps in a log, by the logger's own count or where the drive comes round through its gate; and what of the log is of laps.
 *
 * In: a log. Out: laps with time and way, those the logger counted that are none, how finely the log tells a lap time, and
 * the stretches driven on a course that comes round. A lap is driven without standing still and comes back to its place
 * heading the same way. The gate stands across the way where a drive that comes round is at its quickest. The moment between
 * two samples is by a straight line. One standard deviation of a lap time from the log's resolution: a count changes
 * anywhere within a step h, h/sqrt(12) at either end; a stamp written to q is off by q/sqrt(12), a place by s across the
 * gate, of which the line through two leaves sqrt(2/3) on average, over the speed v there:
 *   u^2 = h^2/6, or q^2/6 + (4/3) (s/v)^2
 * (a rectangle's deviation: JCGM 100:2008, 4.3.7). An error of the places that lasts, as receivers have, is not in it.
 */
import { comingRound, drivesOf, fixesOf, LEAST_ROUND, SAME_PLACE, wayOf } from './coming-round.ts';
import type { DriveLog, Stretch } from './drive-log.ts';

export interface LoggedLap {
  readonly start: number;
  /** s */
  readonly time: number;
  /** By the speeds, m */
  readonly way: number;
}

export interface LapsFound {
  readonly laps: readonly LoggedLap[];
  /** Laps of the logger's count that are none. */
  readonly noLaps: readonly { readonly start: number; readonly why: 'stands still' | 'elsewhere' }[];
  /** One standard deviation of a lap time from clock and sampling, s; 0 without laps */
  readonly resolution: number;
  /** What is of laps, in order. */
  readonly ground: readonly Stretch[];
}

/** cos 45 degrees */
const ALIKE = Math.SQRT1_2;

export function lapsOf(log: DriveLog): LapsFound {
  const rounds = comingRound(log);
  if (log.lap !== undefined) return countedLaps(log, log.lap, rounds);
  return gateLaps(log, rounds);
}

/** The first and the last count are cut off by the ends of the log. */
function countedLaps(log: DriveLog, count: Float64Array, rounds: readonly Stretch[]): LapsFound {
  const { time, x } = log;
  const way = wayOf(log);
  const drives = drivesOf(log);
  const fixes = fixesOf(log);
  const changes = Array.from(count.keys()).filter((i) => i > 0 && count[i] !== count[i - 1]);
  const whole = changes.slice(1).map((to, k) => ({ from: changes[k]!, to }));
  const checked = whole.map(({ from, to }) => ({
    from,
    to,
    why: !drives.some((drive) => drive.from <= from + 1 && to <= drive.to)
      ? ('stands still' as const)
      : x !== undefined && !comesBack(log, fixes, from, to)
        ? ('elsewhere' as const)
        : undefined,
  }));
  const laps = checked.filter(({ why }) => why === undefined);
  // With no places the ways out and in are on the track as well, as far as anyone can tell.
  const ground =
    x === undefined && changes.length > 1
      ? [
          { from: changes[0]!, to: changes.at(-1)! },
          ...drives.filter(({ from, to }) => from < changes.at(-1)! && to > changes[0]!),
        ]
      : [...rounds, ...laps];
  const step = changes.reduce((sum, i) => sum + time[i]! - time[i - 1]!, 0) / Math.max(1, changes.length);
  return {
    laps: laps.map(({ from, to }) => ({
      start: time[from]!,
      time: time[to]! - time[from]!,
      way: way[to]! - way[from]!,
    })),
    noLaps: checked.flatMap(({ from, why }) => (why === undefined ? [] : [{ start: time[from]!, why }])),
    resolution: laps.length === 0 ? 0 : step / Math.sqrt(6),
    ground: ground.toSorted((a, b) => a.from - b.from),
  };
}

function comesBack({ x, y }: DriveLog, fixes: readonly number[], from: number, to: number): boolean {
  const about = (at: number) => {
    const k = Math.max(
      1,
      fixes.findIndex((i) => i >= at),
    );
    const [a, b] = [fixes[k - 1] ?? 0, fixes[k] ?? at];
    const [dx, dy] = [x![b]! - x![a]!, y![b]! - y![a]!];
    const length = Math.hypot(dx, dy);
    return { x: x![b]!, y: y![b]!, ux: dx / length, uy: dy / length, step: length };
  };
  const [a, b] = [about(from), about(to)];
  return (
    Math.hypot(a.x - b.x, a.y - b.y) <= SAME_PLACE + Math.max(a.step, b.step) &&
    !(a.ux * b.ux + a.uy * b.uy < ALIKE)
  );
}

function gateLaps(log: DriveLog, rounds: readonly Stretch[]): LapsFound {
  const none = { laps: [], noLaps: [], resolution: 0, ground: rounds };
  const { time, speed, x, y } = log;
  if (x === undefined || y === undefined || rounds.length === 0) return none;
  const ways = wayOf(log);
  const runs = rounds.map(({ from, to }) => fixesOf(log).filter((i) => i >= from && i < to));
  let [run, at] = [0, 1];
  for (const [r, fixes] of runs.entries())
    for (let k = 1; k + 1 < fixes.length; k++)
      if (speed[fixes[k]!]! > speed[runs[run]![at] ?? 0]!) [run, at] = [r, k];
  const [a, g, b] = [at - 1, at, at + 1].map((k) => runs[run]![k]);
  if (a === undefined || g === undefined || b === undefined) return none;
  const length = Math.hypot(x[b]! - x[a]!, y[b]! - y[a]!);
  if (!(length > 0)) return none;
  const [ux, uy] = [(x[b]! - x[a]!) / length, (y[b]! - y[a]!) / length];
  const along = (i: number) => (x[i]! - x[g]!) * ux + (y[i]! - y[g]!) * uy;
  const across = (i: number) => Math.abs((y[i]! - y[g]!) * ux - (x[i]! - x[g]!) * uy);
  const laps = runs.flatMap((fixes) => {
    const crossings: { t: number; way: number }[] = [];
    for (let k = 1; k < fixes.length; k++) {
      const [from, to] = [fixes[k - 1]!, fixes[k]!];
      const [before, after] = [along(from), along(to)];
      if (before > 0 || after <= 0 || across(to) > SAME_PLACE) continue;
      if (after - before < ALIKE * Math.hypot(x[to]! - x[from]!, y[to]! - y[from]!)) continue;
      const part = -before / (after - before);
      const t = time[from]! + part * (time[to]! - time[from]!);
      const way = ways[from]! + part * (ways[to]! - ways[from]!);
      const last = crossings.at(-1);
      if (last === undefined || way - last.way >= LEAST_ROUND) crossings.push({ t, way });
    }
    return crossings.slice(1).map((crossing, k): LoggedLap => {
      const before = crossings[k]!;
      return { start: before.t, time: crossing.t - before.t, way: crossing.way - before.way };
    });
  });
  const place = noiseOf(runs.flatMap((fixes) => bendsOf(fixes, x, y, time)));
  return {
    ...none,
    laps,
    resolution:
      laps.length === 0
        ? 0
        : Math.hypot(stampOf(time) / Math.sqrt(6), (2 / Math.sqrt(3)) * (place / speed[g]!)),
  };
}

/** Second differences of places at even steps. */
function bendsOf(fixes: readonly number[], x: Float64Array, y: Float64Array, time: Float64Array): number[] {
  return fixes.slice(2).flatMap((c, k) => {
    const [a, b] = [fixes[k]!, fixes[k + 1]!];
    if (Math.abs(time[c]! - 2 * time[b]! + time[a]!) > 0.1 * (time[c]! - time[a]!)) return [];
    return [x[a]! - 2 * x[b]! + x[c]!, y[a]! - 2 * y[b]! + y[c]!];
  });
}

/** Noise alone has sqrt(6) times its deviation in second differences; driving adds to them: on the wide side. */
function noiseOf(bends: readonly number[]): number {
  const sizes = bends.map(Math.abs).sort((a, b) => a - b);
  return (sizes[sizes.length >> 1] ?? 0) / (0.6745 * Math.sqrt(6));
}

/** The coarsest decimal step the log's times are written to, s; 0 where there is none. */
function stampOf(time: Float64Array): number {
  return (
    [1, 0.1, 0.01, 0.001, 0.0001].find((q) =>
      time.every((t) => Math.abs(t / q - Math.round(t / q)) < 1e-4),
    ) ?? 0
  );
}
