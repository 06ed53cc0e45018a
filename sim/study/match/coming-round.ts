/**
 * Where a drive comes round: stretches of a log driven on a course that is driven again.
 *
 * In: a log with places. Out: stretches of its samples. Along the way a point is set every STEP; a point comes round where
 * the same drive, without standing still between, was within SAME_PLACE of it before, heading the same way, LEAST_ROUND of
 * way earlier. All between the two is of the round. There and back along a strip without stopping comes round too, but
 * meets itself: where more than half of the way is driven the other way within SAME_STRIP, it is no round. A round driven
 * once only, or with a stop in it, is not seen.
 */
import type { DriveLog, Stretch } from './drive-log.ts';

/** m: a track's width, and a receiver's error of some 3 m each time. */
export const SAME_PLACE = 12;
/** m: a strip's width and the same error; legs of a hairpin lie farther apart over most of a lap. */
const SAME_STRIP = 8;
/** m of way: less is a turn on the spot. */
export const LEAST_ROUND = 40;
/** m */
const STEP = 5;
/** cos 45 degrees: headings alike, and opposite. */
const ALIKE = Math.SQRT1_2;
/** m/s for s: below a walk for that long a kart stands. */
const WALK = 1;
const STANDS = 1;
/** s without a sample: the logger was off. */
const OFF = 2;
/** Cells from one column to the next: more than a log reaches across. */
const ROW = 2 ** 24;
/** m beyond what the speeds carry: the places jump, and the way between is not known. */
const JUMP = 30;

/** Stretches from one standstill to the next, or to a gap in the log. */
export function drivesOf({ time, speed }: DriveLog): Stretch[] {
  const drives: Stretch[] = [];
  const n = time.length;
  let begin = 0;
  const end = (at: number) => {
    if (at > begin) drives.push({ from: begin, to: at });
  };
  for (let i = 0; i < n; ) {
    if (i > begin && time[i]! - time[i - 1]! > OFF) {
      end(i);
      begin = i;
    }
    if (speed[i]! >= WALK) {
      i++;
      continue;
    }
    let moving = i + 1;
    while (moving < n && speed[moving]! < WALK) moving++;
    if (moving === n || time[moving]! - time[i]! >= STANDS) {
      end(i);
      begin = moving;
    }
    i = moving;
  }
  end(n);
  return drives;
}

/** Way since the beginning of the log by its speeds, m. */
export function wayOf({ time, speed }: DriveLog): Float64Array {
  const way = new Float64Array(time.length);
  for (let i = 1; i < way.length; i++)
    way[i] = way[i - 1]! + ((speed[i]! + speed[i - 1]!) / 2) * (time[i]! - time[i - 1]!);
  return way;
}

/** Samples with a place of their own: a receiver slower than the logger repeats its last. */
export function fixesOf({ x, y }: DriveLog): number[] {
  if (x === undefined || y === undefined) return [];
  return Array.from(x.keys()).filter((i) => i === 0 || x[i] !== x[i - 1] || y[i] !== y[i - 1]);
}

export function comingRound(log: DriveLog): Stretch[] {
  const way = wayOf(log);
  const fixes = fixesOf(log);
  return drivesOf(log).flatMap((drive) =>
    roundsIn(
      pointsAlong(
        log,
        way,
        fixes.filter((i) => i >= drive.from && i < drive.to),
      ),
    ),
  );
}

interface Point {
  /** The samples about it */
  readonly before: number;
  readonly after: number;
  readonly x: number;
  readonly y: number;
  readonly way: number;
}

function pointsAlong({ x, y }: DriveLog, way: Float64Array, fixes: readonly number[]): Point[] {
  const points: Point[] = [];
  let left = 0;
  for (let k = 1; k < fixes.length; k++) {
    const [a, b] = [fixes[k - 1]!, fixes[k]!];
    const [dx, dy] = [x![b]! - x![a]!, y![b]! - y![a]!];
    const length = Math.hypot(dx, dy);
    const carried = way[b]! - way[a]!;
    if (length > carried + JUMP) continue;
    for (; left < length; left += STEP) {
      const u = left / length;
      points.push({
        before: a,
        after: b,
        x: x![a]! + u * dx,
        y: y![a]! + u * dy,
        way: way[a]! + u * carried,
      });
    }
    left -= length;
  }
  return points;
}

function roundsIn(points: readonly Point[]): Stretch[] {
  const headings = points.map((_, k) => {
    const [a, b] = [points[Math.max(0, k - 1)]!, points[Math.min(points.length - 1, k + 1)]!];
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    return length > 0 ? [(b.x - a.x) / length, (b.y - a.y) / length] : [0, 0];
  });
  const cells = new Map<number, number[]>();
  const cell = (x: number, y: number) => Math.floor(x / SAME_PLACE) * ROW + Math.floor(y / SAME_PLACE);
  /** The last of the points before, after `first`, within a distance of which something holds; `first` where none is. */
  const lastNear = (
    k: number,
    first: number,
    within: number,
    holds: (i: number, alike: number) => boolean,
  ) => {
    const { x, y } = points[k]!;
    let last = first;
    for (const dx of [-SAME_PLACE, 0, SAME_PLACE])
      for (const dy of [-SAME_PLACE, 0, SAME_PLACE]) {
        const there = cells.get(cell(x + dx, y + dy)) ?? [];
        for (let n = there.length - 1; n >= 0 && there[n]! > last; n--) {
          const i = there[n]!;
          const alike = headings[i]![0]! * headings[k]![0]! + headings[i]![1]! * headings[k]![1]!;
          if (Math.hypot(points[i]!.x - x, points[i]!.y - y) <= within && holds(i, alike)) last = i;
        }
      }
    return last;
  };
  const met: number[] = [];
  const rounds: { from: number; to: number }[] = [];
  for (const [k, point] of points.entries()) {
    const last = lastNear(
      k,
      -1,
      SAME_PLACE,
      (i, alike) => alike > ALIKE && point.way - points[i]!.way >= LEAST_ROUND,
    );
    const from = nearest(points, last, point);
    // Within its own round; a course of many laps is not searched through for each point.
    const opposite = lastNear(k, from - 1, SAME_STRIP, (_, alike) => alike < -ALIKE);
    met.push(opposite < from ? -1 : opposite);
    const key = cell(point.x, point.y);
    const there = cells.get(key);
    if (there === undefined) cells.set(key, [k]);
    else there.push(k);
    if (from < 0) continue;
    let both = 0;
    for (let n = from; n <= k; n++) if (met[n]! >= from) both += 2;
    if (both > (k - from) / 2) continue;
    const stretch = { from: points[from]!.before, to: point.after + 1 };
    const before = rounds.at(-1);
    if (before !== undefined && stretch.from <= before.to) {
      before.from = Math.min(before.from, stretch.from);
      before.to = Math.max(before.to, stretch.to);
    } else rounds.push(stretch);
  }
  return rounds;
}

/** Back along the way from a point within reach to the one at the place itself. */
function nearest(points: readonly Point[], from: number, { x, y }: Point): number {
  const off = (i: number) => Math.hypot(points[i]!.x - x, points[i]!.y - y);
  let i = from;
  while (i > 0 && off(i - 1) < off(i)) i--;
  return i;
}
