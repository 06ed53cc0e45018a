/**
 * What a log shows, by rules that can be read: rolling out, pulls at full throttle, stops.
 *
 * In: a log, and how hard the kart is estimated to slow down when it rolls out. Out: stretches with their kind, and those
 * passed over with the reason. Rules:
 * acceleration is the slope of a straight line through the speeds within a window on either side, HALF_WINDOW long or as
 * much longer as the log's own noise asks for;
 * a pull gains speed at PULLING or more throughout (a shift ends it); a stop slows harder than STOP_FACTOR times the
 * estimated rolling out, or engine braking where the engine turns in a gear, and STOP_BEYOND on top; rolling out is slowing
 * less than ROLL_FACTOR times that estimate and ROLL_BEYOND on top: between the two somebody brakes a little. Of the rolls
 * those count that slow less than BRAKED harder than the gentlest, each against the estimate at its own speeds. Of the stops those count whose mean is HARD of the hardest or more: the others were short of the limit. Each must last and change the speed
 * by a least amount; its ends, where two kinds blend, are cut off. With engine speeds, a roll whose engine turns in step
 * with the wheels is engine braking, in the gear it turns in; a pull knows its gear the same way. With a throttle column
 * a pull needs FULL_THROTTLE throughout. With places, all of it must lie straight: less than LEAST_TURN sideways. What is of
 * laps is left out: its ground, its slope and how near the limit it was driven are not known.
 */
import type { DriveLog, Stretch } from './drive-log.ts';

export type SegmentKind = 'rolling out' | 'engine braking' | 'pull' | 'stop';

export interface Segment extends Stretch {
  readonly kind: SegmentKind;
  /** Counted from 1; absent where no engine speed tells it */
  readonly gear?: number;
}

/** A stretch that looks like one of a kind, but for a reason tells nothing. */
export interface PassedOver extends Segment {
  readonly why: 'a brake may have been touched' | 'short of the hardest stop';
}

export interface SegmentsFound {
  readonly segments: readonly Segment[];
  readonly passedOver: readonly PassedOver[];
}

export interface SegmentRules {
  /** Estimated slowing at a speed, m/s2: rolling out, or closed throttle in a gear (from 1). */
  readonly slowing: (speed: number, gear: number | undefined) => number;
  /** Engine speed over road speed in each gear, rad/m; with a belt none. */
  readonly engineTurns: readonly number[];
}

/** s */
const HALF_WINDOW = 0.4;
const LONGEST_HALF_WINDOW = 2;
/** m/s2: what noise may do to an acceleration, one standard deviation. */
const QUIET = 0.1;
const BRIDGE = 1.5;
/** m/s2 */
const PULLING = 0.35;
const ROLLING = -0.08;
const STOP_FACTOR = 1.6;
const STOP_BEYOND = 1;
/** The file's drag may be out by half and more; noise adds a little. */
const ROLL_FACTOR = 2;
const ROLL_BEYOND = 0.3;
/** m/s2; a run up 2 % and one down it, into a breeze and with it, leave less between them (0.4, and some 0.15 on average). */
const BRAKED = 0.6;
const FULL_THROTTLE = 0.95;
/** s and m/s: least length and change of speed of each kind. */
const LEAST: Readonly<Record<'roll' | 'pull' | 'stop', { readonly time: number; readonly speed: number }>> = {
  roll: { time: 2.5, speed: 2 },
  pull: { time: 1, speed: 2.5 },
  stop: { time: 0.6, speed: 3 },
};
/** m/s. Below, wheels and clutch slip, and receivers are at their worst. */
const SLOWEST = 2;
/** Share of the hardest stop's mean deceleration. */
const HARD = 0.85;
/** m/s2 sideways, and the way over which a heading is taken: m, and s of driving. */
const LEAST_TURN = 2;
const HEADING_WAY = 8;
const HEADING_TIME = 1;
/** Share by which an engine may be out of step and still be in a gear. */
const IN_STEP = 0.05;
/** Share of the samples of a stretch that must be in step. */
const MOSTLY = 0.8;

export function segmentsOf(log: DriveLog, rules: SegmentRules, laps: readonly Stretch[] = []): SegmentsFound {
  const half = halfWindowFor(log);
  const slope = slopes(log, half);
  const straight = straightness(log);
  const isOfLaps = new Uint8Array(log.time.length);
  for (const { from, to } of laps) isOfLaps.fill(1, from, to);
  const marks = bridged(
    log,
    Array.from(slope, (a, i) => (isOfLaps[i] === 0 && straight(i) ? markOf(log, i, a, rules) : undefined)),
  );
  const segments: Segment[] = [];
  for (let from = 0, to = 0; from < marks.length; from = to) {
    for (to = from + 1; to < marks.length && sameMark(marks[to], marks[from]) && !isGap(log, to); to++);
    const mark = marks[from];
    if (mark === undefined) continue;
    const cut = withoutEnds(log, { from, to }, half / 2);
    if (cut === undefined || !lasts(log, cut, LEAST[mark.kind])) continue;
    segments.push(named(log, cut, mark, rules));
  }
  const isBraked = brakedRolls(log, segments, rules);
  const isSoft = softStops(log, segments);
  const passedOver = segments.flatMap((segment): PassedOver[] => {
    if (isBraked(segment)) return [{ ...segment, why: 'a brake may have been touched' }];
    return isSoft(segment) ? [{ ...segment, why: 'short of the hardest stop' }] : [];
  });
  return { segments: segments.filter((segment) => !isBraked(segment) && !isSoft(segment)), passedOver };
}

/** A roll is one roll where it seems to pause for less than BRIDGE: noise on a kart that hardly slows. */
function bridged({ time }: DriveLog, marks: readonly (Mark | undefined)[]): (Mark | undefined)[] {
  const whole = [...marks];
  let last = -1;
  for (const [i, mark] of marks.entries()) {
    if (mark === undefined) continue;
    if (mark.kind === 'roll' && last >= 0 && marks[last]!.kind === 'roll' && time[i]! - time[last]! < BRIDGE)
      whole.fill(mark, last, i);
    last = i;
  }
  return whole;
}

/** A kart that rolls with the brakes touched slows harder than another roll of the same log does. */
function brakedRolls(
  { time, speed }: DriveLog,
  segments: readonly Segment[],
  { slowing }: SegmentRules,
): (segment: Segment) => boolean {
  const excess = ({ from, to }: Segment): number => {
    let estimated = 0;
    for (let i = from; i + 1 < to; i++)
      estimated += slowing(speed[i]!, undefined) * (time[i + 1]! - time[i]!);
    return (speed[from]! - speed[to - 1]! - estimated) / (time[to - 1]! - time[from]!);
  };
  const gentlest = Math.min(...segments.filter(({ kind }) => kind === 'rolling out').map(excess));
  return (segment) => segment.kind === 'rolling out' && excess(segment) >= gentlest + BRAKED;
}

/** A stop that slows less than the hardest of the log was not at the limit of the tyres. */
function softStops(log: DriveLog, segments: readonly Segment[]): (segment: Segment) => boolean {
  const mean = ({ from, to }: Segment) =>
    (log.speed[from]! - log.speed[to - 1]!) / (log.time[to - 1]! - log.time[from]!);
  const hardest = Math.max(0, ...segments.filter(({ kind }) => kind === 'stop').map(mean));
  return (segment) => segment.kind === 'stop' && mean(segment) < HARD * hardest;
}

/** Does the kart go straight at a sample, as far as the log knows? */
function straightness({ speed, x, y }: DriveLog): (i: number) => boolean {
  if (x === undefined || y === undefined) return () => true;
  return (i) => {
    const way = Math.max(HEADING_WAY, HEADING_TIME * speed[i]!);
    const reach = (step: 1 | -1): number => {
      let k = i;
      for (; Math.hypot(x[k]! - x[i]!, y[k]! - y[i]!) < way; k += step) {
        const next = speed[k + step];
        // At a standstill a kart is turned round by hand, or the places wander: no part of this run.
        if (next === undefined || next < SLOWEST) break;
      }
      return k;
    };
    const [a, b] = [reach(-1), reach(1)];
    const [ax, ay, bx, by] = [x[i]! - x[a]!, y[i]! - y[a]!, x[b]! - x[i]!, y[b]! - y[i]!];
    const [before, after] = [Math.hypot(ax, ay), Math.hypot(bx, by)];
    // At either end of the log, or next to a standstill: nothing says it turns.
    if (before < way / 2 || after < way / 2) return true;
    const angle = Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
    return speed[i]! ** 2 * Math.abs(angle / ((before + after) / 2)) < LEAST_TURN;
  };
}

interface Mark {
  readonly kind: 'roll' | 'pull' | 'stop';
  readonly gear?: number;
}

function markOf(log: DriveLog, i: number, a: number, rules: SegmentRules): Mark | undefined {
  const v = log.speed[i]!;
  if (v < SLOWEST || Number.isNaN(a)) return undefined;
  if (a >= PULLING) {
    if (log.throttle !== undefined && log.throttle[i]! < FULL_THROTTLE) return undefined;
    if (log.engineSpeed === undefined) return { kind: 'pull' };
    // A shift or a slipping clutch is in no gear, and ends the pull.
    const gear = gearAt(log.engineSpeed[i]! / v, rules.engineTurns);
    return gear === undefined ? undefined : { kind: 'pull', gear };
  }
  const turning =
    log.engineSpeed === undefined ? undefined : gearAt(log.engineSpeed[i]! / v, rules.engineTurns);
  const slowing = rules.slowing(v, turning);
  if (-a > STOP_FACTOR * slowing + STOP_BEYOND) return { kind: 'stop' };
  return a <= ROLLING && -a <= ROLL_FACTOR * slowing + ROLL_BEYOND ? { kind: 'roll' } : undefined;
}

function sameMark(a: Mark | undefined, b: Mark | undefined): boolean {
  return a?.kind === b?.kind && a?.gear === b?.gear;
}

/** Shortest span over which the noise leaves an acceleration quiet: sd of a slope = sd of a speed / sqrt(sum of t^2). */
function halfWindowFor({ time, speed }: DriveLog): number {
  const n = time.length;
  if (n < 8) return HALF_WINDOW;
  // Second differences of noise alone have sqrt(6) times its deviation; the median leaves the driving out.
  const bends = Array.from({ length: n - 2 }, (_, i) =>
    Math.abs(speed[i]! - 2 * speed[i + 1]! + speed[i + 2]!),
  )
    .filter((bend) => bend > 0)
    .sort((a, b) => a - b);
  const noise = (bends[bends.length >> 1] ?? 0) / (0.6745 * Math.sqrt(6));
  const step = (time[n - 1]! - time[0]!) / (n - 1);
  let half = HALF_WINDOW;
  for (; half < LONGEST_HALF_WINDOW; half += step) {
    const m = Math.max(1, Math.floor(half / step + 1e-9));
    const squares = (step * step * m * (m + 1) * (2 * m + 1)) / 3;
    if (noise <= QUIET * Math.sqrt(squares)) break;
  }
  return Math.min(LONGEST_HALF_WINDOW, half);
}

/** Slope of the line of least squares through the neighbours in time; NaN where there are too few. */
function slopes({ time, speed }: DriveLog, half: number): Float64Array {
  const n = time.length;
  const slope = new Float64Array(n).fill(Number.NaN);
  let low = 0;
  let high = 0;
  for (let i = 0; i < n; i++) {
    while (time[i]! - time[low]! > half) low++;
    while (high < n && time[high]! - time[i]! <= half) high++;
    // Slow loggers: the neighbour on either side at least.
    const a = Math.max(0, Math.min(low, i - 1));
    const b = Math.min(n, Math.max(high, i + 2));
    if (b - a < 3) continue;
    let [st, sv, stt, stv] = [0, 0, 0, 0];
    for (let k = a; k < b; k++) {
      const t = time[k]! - time[i]!;
      st += t;
      sv += speed[k]!;
      stt += t * t;
      stv += t * speed[k]!;
    }
    const count = b - a;
    const spread = stt - (st * st) / count;
    if (spread > 0) slope[i] = (stv - (st * sv) / count) / spread;
  }
  return slope;
}

function isGap({ time }: DriveLog, at: number): boolean {
  return time[at]! - time[at - 1]! > 2;
}

/** The span of a slope reaches across an end: that much is left out. */
function withoutEnds({ time }: DriveLog, { from, to }: Stretch, margin: number): Stretch | undefined {
  const begin = time[from]! + margin;
  const end = time[to - 1]! - margin;
  let a = from;
  let b = to;
  while (a < b && time[a]! < begin) a++;
  while (b > a && time[b - 1]! > end) b--;
  return b - a >= 4 ? { from: a, to: b } : undefined;
}

function lasts(log: DriveLog, { from, to }: Stretch, least: { time: number; speed: number }): boolean {
  return (
    log.time[to - 1]! - log.time[from]! >= least.time &&
    Math.abs(log.speed[to - 1]! - log.speed[from]!) >= least.speed
  );
}

function named(
  log: DriveLog,
  stretch: Stretch,
  { kind, gear }: Mark,
  { engineTurns }: SegmentRules,
): Segment {
  if (kind === 'pull') return { ...stretch, kind, ...(gear === undefined ? {} : { gear }) };
  if (kind === 'stop') return { ...stretch, kind };
  const held = gearHeld(log, stretch, engineTurns);
  return held === undefined
    ? { ...stretch, kind: 'rolling out' }
    : { ...stretch, kind: 'engine braking', gear: held };
}

function gearHeld(
  { engineSpeed, speed }: DriveLog,
  { from, to }: Stretch,
  turns: readonly number[],
): number | undefined {
  if (engineSpeed === undefined) return undefined;
  const votes = turns.map(() => 0);
  for (let i = from; i < to; i++) {
    const gear = gearAt(engineSpeed[i]! / speed[i]!, turns);
    if (gear !== undefined) votes[gear - 1]! += 1;
  }
  const best = votes.indexOf(Math.max(...votes));
  return best >= 0 && votes[best]! >= MOSTLY * (to - from) ? best + 1 : undefined;
}

/** The gear whose engine turns come nearest, if near enough; counted from 1. */
function gearAt(turns: number, engineTurns: readonly number[]): number | undefined {
  let best: number | undefined;
  let least = IN_STEP;
  for (const [k, ratio] of engineTurns.entries()) {
    const off = Math.abs(turns / ratio - 1);
    if (off < least) [best, least] = [k + 1, off];
  }
  return best;
}
