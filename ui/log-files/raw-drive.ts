/**
 * From columns as read to a drive: order, holes, units the numbers contradict, speed from places where none is logged.
 *
 * In: numbers by row, NaN where a cell is none. Out: a drive in SI and what was done, or the problem. Pure.
 */
import type { DriveLog, Problem } from '../../sim/index.ts';
import { problem } from '../../sim/index.ts';
import { type LogColumn, timesUnit } from './log-columns.ts';

export interface RawDrive {
  readonly time: readonly number[];
  readonly speed?: readonly number[];
  readonly engineSpeed?: readonly number[];
  readonly throttle?: readonly number[];
  readonly x?: readonly number[];
  readonly y?: readonly number[];
  readonly distance?: readonly number[];
  readonly lap?: readonly number[];
}

interface Made {
  readonly log: DriveLog;
  readonly columns: readonly LogColumn[];
  readonly remarks: readonly string[];
}

/** Fewer rows show nothing. */
const LEAST_ROWS = 20;
/** s between two rows, in the middle: above, a column of seconds holds milliseconds. */
const SLOWEST_LOGGER = 15;
/** m/s: a speed above is in another unit. */
const FASTEST = 75;
/** Share by which the way by speed may differ from the way by places before a unit is doubted. */
const DOUBT = 0.25;
/** Share by which the way over places, which wander, may miss that of a unit: less than lies between mph and knots. */
const ROUGH = 0.1;
const UNITS = [
  ['m/s', 1],
  ['km/h', 1 / 3.6],
  ['mph', 0.44704],
  ['kn', 1852 / 3600],
  ['m/s', 1],
] as const;
const RPM = Math.PI / 30;
/** rpm: a column that never reaches it holds thousands; no engine idles a tenth as fast (common practice, no source). */
const IN_THOUSANDS = 30;
/** rpm: below any idle (common practice, no source). */
const SLOWEST_ENGINE = 300;
/** rpm: above any limiter of a donor; the table of quantities ends at 25,000. */
const FASTEST_ENGINE = 30_000;

export function driveOf(raw: RawDrive, columns: readonly LogColumn[]): Made | { readonly problem: Problem } {
  const remarks: string[] = [];
  if (raw.speed === undefined && (raw.x === undefined || raw.y === undefined) && raw.distance === undefined)
    return { problem: noSpeed() };
  const kept = rowsInOrder(raw, remarks);
  if (kept.length < LEAST_ROWS)
    return {
      problem: problem('too-short', '', 'the log has too few rows with a time and a speed or place', {
        value: String(kept.length),
        limit: `${LEAST_ROWS} or more`,
        remedy: 'log a whole run, several times a second',
      }),
    };
  const column = (of: readonly number[] | undefined) =>
    of === undefined || !kept.some((i) => Number.isFinite(of[i]))
      ? undefined
      : filled(kept.map((i) => of[i]!));
  let time = kept.map((i) => raw.time[i]! - raw.time[kept[0]!]!);
  let shown = [...columns];
  const say = (role: LogColumn['role'], unit: string, factor: number) => {
    shown = shown.map((c) => (c.role === role ? { ...c, unit, factor } : c));
  };
  const steps = time
    .slice(1)
    .map((t, i) => t - time[i]!)
    .sort((a, b) => a - b);
  if (steps[steps.length >> 1]! > SLOWEST_LOGGER) {
    time = time.map((t) => t / 1000);
    say('time', 'ms', 1e-3);
    remarks.push('The times were read as milliseconds: as seconds the rows would lie minutes apart.');
  }
  const [x, y] = [column(raw.x), column(raw.y)];
  const places = x !== undefined && y !== undefined ? { x, y } : undefined;
  const logged = column(raw.speed);
  const distance = column(raw.distance);
  let speed: number[];
  if (logged !== undefined) {
    const asRead = columns.find((c) => c.role === 'speed');
    const found = speedUnit(logged, time, places, asRead, remarks);
    speed = logged.map((v) => Math.max(0, v * found.factor));
    if (found.label !== undefined)
      say('speed', found.label, found.factor * (asRead?.guessed === false ? asRead.factor : 1));
  } else if (places !== undefined) {
    speed = speedFromPlaces(time, places.x, places.y);
    remarks.push('No speed is logged: it was taken from the places, which is coarser.');
  } else if (distance !== undefined) {
    speed = speedFromPlaces(
      time,
      distance,
      distance.map(() => 0),
    );
    remarks.push('No speed is logged: it was taken from the distance.');
  } else return { problem: noSpeed() };
  const engine = engineUnit(
    column(raw.engineSpeed),
    columns.find((c) => c.role === 'engine speed'),
    say,
    remarks,
  );
  const throttle = column(raw.throttle);
  const lap = column(raw.lap);
  return {
    columns: shown,
    remarks,
    log: {
      time: Float64Array.from(time),
      speed: Float64Array.from(speed),
      ...(engine === undefined ? {} : { engineSpeed: Float64Array.from(engine) }),
      ...(throttle === undefined ? {} : { throttle: Float64Array.from(throttle, scaleOf(throttle)) }),
      ...(places === undefined ? {} : { x: Float64Array.from(places.x), y: Float64Array.from(places.y) }),
      ...(lap === undefined ? {} : { lap: Float64Array.from(lap) }),
    },
  };
}

function noSpeed(): Problem {
  return problem('no-speed', '', 'no column of speeds, places or distances was found');
}

/** Rows with a time and something to go by; what goes back in time is left out. */
function rowsInOrder(raw: RawDrive, remarks: string[]): number[] {
  const says = (i: number) =>
    Number.isFinite(raw.speed?.[i]) || Number.isFinite(raw.x?.[i]) || Number.isFinite(raw.distance?.[i]);
  const whole = raw.time.flatMap((t, i) => (Number.isFinite(t) && says(i) ? [i] : []));
  const holes = raw.time.length - whole.length;
  if (holes > 0) remarks.push(`${holes} rows without a time or a speed were left out.`);
  let last = Number.NEGATIVE_INFINITY;
  const rising = whole.filter((i) => {
    const later = raw.time[i]! > last;
    if (later) last = raw.time[i]!;
    return later;
  });
  if (rising.length < whole.length)
    remarks.push(`${whole.length - rising.length} rows that go back in time, or repeat one, were left out.`);
  return rising;
}

/** Holes take the value before them: a logger repeats what it knows. */
function filled(values: readonly number[]): number[] {
  let last = values.find(Number.isFinite) ?? 0;
  return values.map((v) => {
    if (Number.isFinite(v)) last = v;
    return last;
  });
}

function speedUnit(
  speed: readonly number[],
  time: readonly number[],
  places: { x: readonly number[]; y: readonly number[] } | undefined,
  column: LogColumn | undefined,
  remarks: string[],
): { readonly factor: number; readonly label?: string } {
  const said = column !== undefined && !column.guessed;
  const bySpeed = time
    .slice(1)
    .reduce((way, t, i) => way + ((speed[i]! + speed[i + 1]!) / 2) * (t - time[i]!), 0);
  const byPlaces = places === undefined ? 0 : wayAlong(places.x, places.y);
  if (byPlaces > 100 && bySpeed > 0) {
    // With places the unit is the one that covers the same ground. The speeds are in the header's unit, if it names one.
    const ratio = byPlaces / bySpeed;
    const header = said ? column.factor : 1;
    const off = (factor: number) => Math.abs(Math.log((header * ratio) / factor));
    const [label, factor] = UNITS.reduce((best, unit) => (off(unit[1]) < off(best[1]) ? unit : best));
    if (!said) return { factor, label };
    if (Math.abs(Math.log(ratio)) <= Math.log(1 + DOUBT)) return { factor: 1 };
    const lie = ratio < 1 ? `${(1 / ratio).toFixed(1)} times closer` : `${ratio.toFixed(1)} times farther`;
    const isThat = off(factor) <= Math.log(1 + ROUGH);
    remarks.push(
      `The header says ${column.unit}, but the places lie ${lie} than such speeds would carry: ${
        isThat
          ? `read as ${label}.`
          : 'no unit explains that, and the speeds are taken as the header has them.'
      }`,
    );
    return isThat ? { factor: factor / header, label } : { factor: 1 };
  }
  const fastest = speed.reduce((a, b) => Math.max(a, b), 0);
  if (said) {
    if (fastest <= FASTEST) return { factor: 1 };
    remarks.push(
      `The header says ${column.unit}, which would be ${(fastest * 3.6).toFixed(0)} km/h: read as km/h.`,
    );
    return { factor: 1 / 3.6 / column.factor, label: 'km/h' };
  }
  const factor = fastest > 45 ? 1 / 3.6 : 1;
  const label = factor === 1 ? 'm/s' : 'km/h';
  remarks.push(`No unit of speed is given: taken as ${label}, the highest being ${fastest.toFixed(1)}.`);
  return { factor, label };
}

function engineUnit(
  engine: readonly number[] | undefined,
  column: LogColumn | undefined,
  say: (role: LogColumn['role'], unit: string, factor: number) => void,
  remarks: string[],
): readonly number[] | undefined {
  if (engine === undefined || column === undefined) return engine;
  if (!column.guessed && !column.unit.startsWith('rpm')) return engine;
  // Engine speeds are as the header has them: in rad/s where it names a unit.
  const perRpm = column.guessed ? 1 : RPM;
  const most = engine.reduce((a, b) => Math.max(a, b), 0) / perRpm;
  const { times } = column;
  const as = (factor: number, label: number | undefined): readonly number[] => {
    say('engine speed', timesUnit('rpm', label), RPM * (label ?? 1));
    return engine.map((n) => (n / perRpm) * factor * RPM);
  };
  const shown = (n: number): string => String(Number(n.toPrecision(3)));
  if (times !== undefined && most > FASTEST_ENGINE) {
    remarks.push(
      `The header says engine speed times ${times}, which would be ${most.toFixed(0)} rpm: taken as rpm.`,
    );
    return as(1 / times, undefined);
  }
  if (times === undefined && most > 0 && most < IN_THOUSANDS) {
    remarks.push(`The engine speeds reach ${shown(most)} at most: taken as thousands of rpm.`);
    return as(1000, 1000);
  }
  if (most > 0 && most < SLOWEST_ENGINE)
    remarks.push(
      `The engine speeds reach ${shown(most)} rpm at most; no engine runs so slowly, and gears and pulls cannot be told from them.`,
    );
  return as(1, times);
}

/** A share, or a percentage without its sign. */
function scaleOf(values: readonly number[]): (v: number) => number {
  const most = values.reduce((a, b) => Math.max(a, b), 0);
  return most > 1.5 ? (v) => v / 100 : (v) => v;
}

/** Way over time across the neighbours: half a second either side or one row, whichever is more. */
function speedFromPlaces(time: readonly number[], x: readonly number[], y: readonly number[]): number[] {
  return time.map((t, i) => {
    let a = Math.max(0, i - 1);
    let b = Math.min(time.length - 1, i + 1);
    while (a > 0 && t - time[a - 1]! <= 0.5) a--;
    while (b < time.length - 1 && time[b + 1]! - t <= 0.5) b++;
    const span = time[b]! - time[a]!;
    return span > 0 ? Math.hypot(x[b]! - x[a]!, y[b]! - y[a]!) / span : 0;
  });
}

function wayAlong(x: readonly number[], y: readonly number[]): number {
  let way = 0;
  for (let i = 1; i < x.length; i++) way += Math.hypot(x[i]! - x[i - 1]!, y[i]! - y[i - 1]!);
  return way;
}
