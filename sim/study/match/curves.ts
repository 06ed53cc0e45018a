/**
 * The estimate beside a log: for each kind of segment one run through the public path, whose speed over time every segment
 * of the kind must follow, moved in time.
 *
 * In: segments of a log, project and who. Out: requests, and curves from their answers. Rolling, stopping and pulling in one
 * gear depend on speed alone, so the same curve serves all segments of a kind; when each began is found for it by itself
 * (least squares in the shift of time: separable, G. H. Golub and V. Pereyra 1973), which leaves the noise of the first
 * sample out.
 */
import type { AccelerationResult } from '../../run/accelerate.ts';
import type { BrakeResult } from '../../run/brake.ts';
import type { Answer, RunRequest } from '../../run/perform.ts';
import type { DriveLog } from './drive-log.ts';
import type { MatchWho } from './fit-values.ts';
import type { Segment } from './segments.ts';

export interface Curve {
  readonly time: Float64Array;
  readonly speed: Float64Array;
  /** dv/dt */
  readonly slope: Float64Array;
}

/** Segments that share a curve. */
export interface CurveGroup {
  readonly request: RunRequest;
  readonly segments: readonly Segment[];
  /** Only samples of the run in this gear (from 1) count. */
  readonly gear?: number;
}

/** Of runs, relative: a thousandth of what a step of the differences moves a speed by. */
export const TOLERANCE = 1e-7;
/** m/s of room beyond the speeds logged: noise reaches past them. */
const ROOM = 1;
/** m/s, where a rolling kart's last metres depend on stiction and receivers on luck. */
const SLOWEST = 0.5;

export function curveGroups(log: DriveLog, segments: readonly Segment[], who: MatchWho): CurveGroup[] {
  const groups = new Map<string, Segment[]>();
  for (const segment of segments) {
    const key = `${segment.kind} ${segment.gear ?? ''}`;
    groups.set(key, [...(groups.get(key) ?? []), segment]);
  }
  return [...groups.values()].map((list) => {
    const { kind, gear } = list[0]!;
    const speeds = list.flatMap(({ from, to }) => Array.from(log.speed.subarray(from, to)));
    const high = maxOf(speeds) + ROOM;
    const low = Math.max(SLOWEST, minOf(speeds) - ROOM);
    const base = { kart: who.kart, day: who.day, surface: who.surface };
    const inGear = gear === undefined ? {} : { gear };
    const request: RunRequest =
      kind === 'pull'
        ? {
            ...base,
            verb: 'accelerate',
            options: { fromSpeed: low, toSpeed: high, tolerance: TOLERANCE, ...inGear },
          }
        : {
            ...base,
            verb: 'brake',
            options: {
              fromSpeed: high,
              toSpeed: low,
              tolerance: TOLERANCE,
              brakes: kind === 'stop' ? 'threshold' : 'none',
              engine: kind === 'engine braking' ? 'in gear' : 'clutch in',
              ...(kind === 'engine braking' ? inGear : {}),
            },
          };
    return { request, segments: list, ...(kind === 'pull' ? inGear : {}) };
  });
}

/** Undefined where the run could not be. */
export function curveOf({ request, gear }: CurveGroup, answer: Answer | undefined): Curve | undefined {
  if (answer?.result === undefined) return undefined;
  if (request.verb !== 'accelerate') {
    const { time, speed, deceleration } = (answer.result as BrakeResult).columns;
    return time.length < 2 ? undefined : { time, speed, slope: deceleration.map((a) => -a) };
  }
  const { time, speed, acceleration, gear: gears } = (answer.result as AccelerationResult).columns;
  // A shift ends what one gear can tell.
  const end = gear === undefined ? -1 : gears.findIndex((g) => g !== gear - 1);
  const count = end < 0 ? time.length : end;
  return count < 2
    ? undefined
    : { time: time.slice(0, count), speed: speed.slice(0, count), slope: acceleration.slice(0, count) };
}

/** Speed at a time by the cubic through speeds and slopes; straight on beyond the ends. */
export function speedAt(curve: Curve, t: number): { v: number; a: number } {
  const { time, speed, slope } = curve;
  const last = time.length - 1;
  if (t <= time[0]!) return { v: speed[0]! + slope[0]! * (t - time[0]!), a: slope[0]! };
  if (t >= time[last]!) return { v: speed[last]! + slope[last]! * (t - time[last]!), a: slope[last]! };
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (time[middle]! <= t) low = middle;
    else high = middle;
  }
  const h = time[high]! - time[low]!;
  const u = (t - time[low]!) / h;
  const [v0, v1, m0, m1] = [speed[low]!, speed[high]!, slope[low]! * h, slope[high]! * h];
  const v = v0 + u * (m0 + u * (3 * (v1 - v0) - 2 * m0 - m1 + u * (2 * (v0 - v1) + m0 + m1)));
  const a = (m0 + u * (2 * (3 * (v1 - v0) - 2 * m0 - m1) + 3 * u * (2 * (v0 - v1) + m0 + m1))) / h;
  return { v, a };
}

/** Estimated speeds at the samples of a segment, the curve moved to fit best. */
export function alongside(curve: Curve, log: DriveLog, { from, to }: Segment): Float64Array {
  const middle = (from + to) >> 1;
  let shift = log.time[middle]! - timeAt(curve, log.speed[middle]!);
  for (let round = 0; round < 30; round++) {
    let up = 0;
    let down = 0;
    for (let i = from; i < to; i++) {
      const { v, a } = speedAt(curve, log.time[i]! - shift);
      up += (log.speed[i]! - v) * a;
      down += a * a;
    }
    // d/d shift of v(t - shift) = -a.
    const step = down > 0 ? -up / down : 0;
    shift += step;
    if (Math.abs(step) < 1e-11 * (1 + Math.abs(shift))) break;
  }
  return Float64Array.from({ length: to - from }, (_, k) => speedAt(curve, log.time[from + k]! - shift).v);
}

/** First time at which the curve passes a speed, straight on beyond its ends. */
export function timeAt(curve: Curve, wanted: number): number {
  const { time, speed, slope } = curve;
  for (let i = 1; i < time.length; i++) {
    const [a, b] = [speed[i - 1]!, speed[i]!];
    if ((a - wanted) * (b - wanted) <= 0 && a !== b)
      return time[i - 1]! + ((wanted - a) / (b - a)) * (time[i]! - time[i - 1]!);
  }
  const last = time.length - 1;
  const near = Math.abs(speed[0]! - wanted) < Math.abs(speed[last]! - wanted) ? 0 : last;
  const m = slope[near]!;
  return time[near]! + (Math.abs(m) > 1e-6 ? (wanted - speed[near]!) / m : 0);
}

function maxOf(values: readonly number[]): number {
  return values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
}

function minOf(values: readonly number[]): number {
  return values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
}
