/**
 * The lap time of a line near the one driven, as a convex program, and the step to its least.
 *
 * A lap time is the least of a greatest: where one station stops setting the speed the next one does, and slopes of the time
 * alone lead nowhere - least of all for a kart that lives by its slowest place. So the speed of every station stays an
 * unknown. With z = dy/y of y = v^2 and c the controls of the change, the model is the least of
 *   T(z) + T'(length) c + rho/2 sum of dwell (dkappa/kappa_most)^2
 * inside the edges and with every y no greater than what curvature, driving from before and braking for what follows allow,
 * each to first order (speed-answers.ts): those that do not hold the kart now are there too, and stop the step where they
 * would. In: a timer, a line and its lap. Out: the step in its offsets, and the gain it promises.
 */
import type { FrameStations, LineFrame } from '../../compile/line-frame.ts';
import { boundedMinimum, type QuadraticRows } from '../../numerics/bounded-quadratic.ts';
import { addTo, type SkylineMatrix, skylineMatrix } from '../../numerics/skyline.ts';
import type { DrivenLine, Timer } from './line-timer.ts';
import { controlRows, PER_PLACE, PER_STATION } from './shape-slopes.ts';
import { type ChainAnswers, type SpeedAnswers, speedAnswers } from './speed-answers.ts';

/** Share of the side grip from which on a station lies in a bend. */
const BENT = 0.5;
/** Share of y that a line keeps below an upshift it does without: closer than another spacing of stations tells apart. */
const SHORT_OF_SHIFT = 4e-3;
/** Of the bounded step: a step is tried on the true lap time anyway. */
const STEP_TOLERANCE = 1e-12;
/** A step this close to the model's least will do, s: a search ends at thirty times that. */
const ENOUGH = 3e-4;
/** z = dy/y stays between these. */
const SLOWER = -0.9;
const QUICKER = 3;
/** Keeps the system definite where nothing asks for an offset. */
const RIDGE = 1e-9;
/** m a control may move in one step. */
const FARTHEST = 20;
/** m2/s2 */
const LEAST_SQUARED = 1e-4;

export interface TimeModel {
  readonly frame: LineFrame;
  readonly unknowns: Unknowns;
  /** Slopes of the time in all unknowns, and its second slopes */
  readonly slopes: Float64Array;
  readonly second: Terms;
  /** Of the squares whose sum a step is kept small by */
  readonly squares: QuadraticRows;
  readonly rows: QuadraticRows;
  /** First unknown that each is met with in a term or row */
  readonly first: Int32Array;
  /** Rows that leave out the next upshift: where it comes the time jumps by what the shift costs */
  readonly upshifts: readonly number[];
  /** Change of each node's offset: three a node, of the controls about it */
  readonly offset: Float64Array;
}

/** Numbers of the unknowns: the control of each node, z of each station. */
interface Unknowns {
  readonly count: number;
  readonly control: Int32Array;
  readonly speed: Int32Array;
}

/** What the parts of a model are made from. */
interface Line {
  readonly timer: Timer;
  readonly offsets: Float64Array;
  readonly driven: DrivenLine;
  readonly unknowns: Unknowns;
  readonly answers: SpeedAnswers;
  /** A flying lap: the last station is followed by the first */
  readonly ring: boolean;
  /** v^2 of each station, m2/s2 */
  readonly y: Float64Array;
  /** Of the grade */
  readonly cos: Float64Array;
  readonly cosSquared: Float64Array;
  /** Slopes of each station's curvature and |dp/ds|, four a station, of the controls about it; and of each node's offset */
  readonly curvature: Float64Array;
  readonly speed: Float64Array;
  readonly offset: Float64Array;
}

export function timeModel(timer: Timer, offsets: Float64Array, driven: DrivenLine): TimeModel {
  const { frame, stations, splines } = timer;
  const { lap, solution, track, shape, start } = driven;
  const ring = frame.closed && start === 'flying';
  const cosSquared = track.sinGrade.map((sin) => 1 - sin * sin);
  const line: Line = {
    timer,
    offsets,
    driven,
    unknowns: unknownsOf(stations),
    answers: speedAnswers(lap, solution, ring),
    ring,
    y: solution.squared.map((squared) => Math.max(squared, LEAST_SQUARED)),
    cos: cosSquared.map(Math.sqrt),
    cosSquared,
    ...controlRows(stations, splines, shape),
  };
  const { slopes, second, dwell } = timeOf(line);
  const rows = new RowList();
  // Pairs first: the edges on either side, and what a bend allows to either side.
  addEdges(rows, line);
  addStraights(rows, line);
  const pairs = rows.count / 2;
  const upshifts = addSpeeds(rows, line);
  const all = rows.done(pairs);
  const squares = bendSquares(line, dwell);
  return {
    frame,
    unknowns: line.unknowns,
    slopes,
    second,
    squares,
    rows: all,
    first: firstMet(line.unknowns.count, second, [all, squares]),
    upshifts,
    offset: line.offset,
  };
}

/** The time as a function of the speeds and of how long the line is; and how long the kart dwells on each step, s. */
function timeOf({ timer, driven, unknowns, ring, y, cos, speed }: Line) {
  const { frame, stations, splines } = timer;
  const { track, shape } = driven;
  const { count: nodes, closed } = frame;
  const { count, span, apart } = stations;
  const slopes = new Float64Array(unknowns.count);
  const second = new Terms();
  const last = closed ? count : count - 1;
  const dwell = new Float64Array(count);
  const perSpeed = new Float64Array(count);
  for (let k = 0; k < last; k++) {
    // The last step of a closed track not driven flying ends at no station of this lap.
    const next = k + 1 < count ? k + 1 : 0;
    const j = next > 0 || ring ? next : k;
    const h = track.step[k]!;
    if (h === 0) continue;
    const [vk, vj] = [Math.sqrt(y[k]!), Math.sqrt(y[j]!)];
    const sum = vk + vj;
    const [a, b] = [unknowns.speed[k]!, unknowns.speed[j]!];
    slopes[a] = slopes[a]! - (h * vk) / (sum * sum);
    slopes[b] = slopes[b]! - (h * vj) / (sum * sum);
    second.add(a, a, h * ((vk * vk) / sum ** 3 + vk / (2 * sum * sum)));
    second.add(b, b, h * ((vj * vj) / sum ** 3 + vj / (2 * sum * sum)));
    second.add(a, b, (h * vk * vj) / sum ** 3);
    dwell[k] = (2 * h) / sum;
    // A step is as long as half of each end's |dp/ds| says.
    const each = apart[k]! / (sum * cos[k]!);
    perSpeed[k] = perSpeed[k]! + each;
    perSpeed[next] = perSpeed[next]! + each;
  }
  for (let k = 0; k < count; k++)
    for (let e = 0; e < PER_STATION; e++) {
      const node = nodeAt(frame, span[k]! - 1 + e);
      if (node < 0 || node >= nodes) continue;
      const c = unknowns.control[node]!;
      slopes[c] = slopes[c]! + perSpeed[k]! * speed[PER_STATION * k + e]!;
    }
  // A line that bends away is longer by half the square of its turn.
  for (let i = 0; i < frame.spline.h.length; i++) {
    const k = splines.stationAt[i]!;
    const run = Math.hypot(shape.dx[k]!, shape.dy[k]!) * frame.spline.h[i]!;
    let time = 0;
    for (let at = k; at < count && span[at] === i; at++) time += dwell[at]!;
    const [a, b] = [unknowns.control[i]!, unknowns.control[i + 1 < nodes ? i + 1 : 0]!];
    const bend = time / (run * run);
    second.add(a, a, bend);
    second.add(b, b, bend);
    second.add(a, b, -bend);
  }
  return { slopes, second, dwell };
}

/** Both edges at every node. */
function addEdges(rows: RowList, { timer, offsets, unknowns, offset }: Line): void {
  const { frame, bounds } = timer;
  for (let i = 0; i < frame.count; i++)
    for (const side of [1, -1]) {
      for (let e = 0; e < PER_PLACE; e++) {
        const node = nodeAt(frame, i - 1 + e);
        if (node < 0 || node >= frame.count) continue;
        rows.add(unknowns.control[node]!, side * offset[PER_PLACE * i + e]!);
      }
      rows.end(side > 0 ? bounds.high[i]! - offsets[i]! : offsets[i]! - bounds.low[i]!);
    }
}

/** Where the line hardly bends, either side may come to hold the kart. */
function addStraights(rows: RowList, line: Line): void {
  const { driven, unknowns, answers, cosSquared } = line;
  for (let k = 0; k < line.y.length; k++) {
    const most = answers.most[k]!;
    if (!Number.isFinite(most)) continue;
    const used = driven.track.curvature[k]! / most;
    if (Math.abs(used) > BENT) continue;
    for (const side of [1, -1]) {
      addControls(rows, line, k, (side * cosSquared[k]!) / most, 0);
      rows.add(unknowns.speed[k]!, 1 / answers.power[k]!);
      rows.end(1 - side * used);
    }
  }
}

/** sqrt(dwell) dkappa/kappa_most, by which a step is kept small where the first order holds least. */
function bendSquares(line: Line, dwell: Float64Array): QuadraticRows {
  const squares = new RowList();
  for (let k = 0; k < dwell.length; k++) {
    const most = line.answers.most[k]!;
    if (!Number.isFinite(most)) continue;
    addControls(squares, line, k, (Math.sqrt(dwell[k]!) * line.cosSquared[k]!) / most, 0);
    squares.end(0);
  }
  return squares.done(0);
}

/** What holds the speed of each station: its bend, an upshift it does without, a cap, and the stations on either side. */
function addSpeeds(rows: RowList, line: Line): number[] {
  const { driven, unknowns, answers, ring, y, cos, cosSquared } = line;
  const { apart } = line.timer.stations;
  const count = y.length;
  const upshifts: number[] = [];
  for (let k = 0; k < count; k++) {
    const z = unknowns.speed[k]!;
    const here = y[k]!;
    const most = answers.most[k]!;
    const [before, after] = [k > 0 ? k - 1 : count - 1, k + 1 < count ? k + 1 : 0];
    const used = driven.track.curvature[k]! / most;
    // In a bend only its own side can hold the kart.
    if (Math.abs(used) > BENT) {
      addControls(rows, line, k, (Math.sign(used) * cosSquared[k]!) / most, 0);
      rows.add(z, 1 / answers.power[k]!);
      rows.end(1 - Math.abs(used));
    }
    if (Number.isFinite(answers.upshift[k]!)) {
      rows.add(z, 1);
      rows.end((answers.upshift[k]! * (1 - SHORT_OF_SHIFT)) / here - 1);
      upshifts.push(rows.count - 1);
    }
    if (Number.isFinite(answers.cap[k]!)) {
      rows.add(z, 1);
      rows.end(Math.max(0, answers.cap[k]! / here - 1));
    }
    // What driving from before and braking for what follows allow.
    const chain = (other: number, step: number, of: ChainAnswers) => {
      rows.add(z, 1);
      rows.add(unknowns.speed[other]!, (-of.stay[k]! * y[other]!) / here);
      if (of.room[k] === 0)
        addControls(
          rows,
          line,
          k,
          (-of.curvature[k]! * cosSquared[k]!) / here,
          (-of.step[k]! * apart[step]!) / cos[k]! / here,
        );
      rows.end(of.room[k]! / here);
    };
    if ((ring || (k > 0 && k + 1 < count)) && answers.takenUp[k] === 1) {
      // The braking curve must still be met before the gear's own upshift is due.
      const { drive, brake } = answers;
      rows.add(unknowns.speed[after]!, (brake.stay[k]! * y[after]!) / here);
      rows.add(unknowns.speed[before]!, (-drive.stay[k]! * y[before]!) / here);
      addControls(
        rows,
        line,
        k,
        (brake.curvature[k]! * cosSquared[k]!) / here,
        (brake.step[k]! * apart[k]!) / cos[k]! / here,
      );
      rows.end(drive.room[k]! / here - SHORT_OF_SHIFT);
      upshifts.push(rows.count - 1);
    }
    if (ring || k > 0) chain(before, before, answers.drive);
    if (ring || k + 1 < count) chain(after, k, answers.brake);
  }
  return upshifts;
}

/** Adds what a station's curvature and |dp/ds| answer of the controls. */
function addControls(list: RowList, line: Line, k: number, perCurvature: number, perSpeed: number): void {
  const { timer, unknowns, curvature, speed } = line;
  const { frame, stations } = timer;
  for (let e = 0; e < PER_STATION; e++) {
    const node = nodeAt(frame, stations.span[k]! - 1 + e);
    if (node < 0 || node >= frame.count) continue;
    const at = PER_STATION * k + e;
    list.add(unknowns.control[node]!, perCurvature * curvature[at]! + perSpeed * speed[at]!);
  }
}

/** On a closed track the first node follows the last; else there is none beyond either end. */
function nodeAt({ count, closed }: LineFrame, j: number): number {
  return closed ? (j + count) % count : j;
}

/**
 * Stations in turn, and each control after the last station it moves, so that the rows of a factor are short: a station's
 * reaches to its neighbour, a control's over the four spans it moves. Round a ring the controls that move its first
 * spans and its last are the last.
 */
function unknownsOf({ frame, count, span }: FrameStations): Unknowns {
  const { count: nodes, closed } = frame;
  const control = new Int32Array(nodes).fill(-1);
  const speed = new Int32Array(count);
  let next = 0;
  let k = 0;
  for (let i = 0; i < nodes; i++) {
    for (; k < count && span[k] === i; k++) speed[k] = next++;
    const done = i - 1;
    if (done >= (closed ? 2 : 0)) control[done] = next++;
  }
  for (let i = 0; i < nodes; i++) if (control[i]! < 0) control[i] = next++;
  return { count: next, control, speed };
}

/** The first unknown that each is met with. */
function firstMet(count: number, second: Terms, lists: readonly QuadraticRows[]): Int32Array {
  const first = Int32Array.from({ length: count }, (_, i) => i);
  const meet = (a: number, b: number) => {
    if (a > b) first[a] = Math.min(first[a]!, b);
    else first[b] = Math.min(first[b]!, a);
  };
  second.meet(meet);
  for (const { start, column, most } of lists)
    for (let r = 0; r < most.length; r++)
      for (let p = start[r]!; p < start[r + 1]!; p++)
        for (let q = p + 1; q < start[r + 1]!; q++) meet(column[p]!, column[q]!);
  return first;
}

/** The model's step in the offsets, and what it promises to gain, s. */
export function leastOf(
  { frame, unknowns, slopes, second, squares, rows: all, first, upshifts, offset }: TimeModel,
  rho: number,
  mayShift: boolean,
): { readonly step: Float64Array; readonly gain: number } {
  const { count, control } = unknowns;
  const { count: nodes, closed } = frame;
  const rows = { ...all, most: all.most.slice() };
  if (mayShift) for (const r of upshifts) rows.most[r] = 2 * QUICKER;
  const h = skylineMatrix(first);
  const low = new Float64Array(count).fill(SLOWER);
  const high = new Float64Array(count).fill(QUICKER);
  for (const c of control) {
    low[c] = -FARTHEST;
    high[c] = FARTHEST;
  }
  for (let i = 0; i < count; i++) addTo(h, i, i, RIDGE);
  second.addTo(h);
  const { start, column, value } = squares;
  for (let r = 0; r < squares.most.length; r++)
    for (let p = start[r]!; p < start[r + 1]!; p++)
      for (let q = p; q < start[r + 1]!; q++) addTo(h, column[p]!, column[q]!, rho * value[p]! * value[q]!);
  const { x } = boundedMinimum(h, slopes, low, high, STEP_TOLERANCE, rows, ENOUGH);
  let gain = -second.at(x);
  for (let i = 0; i < count; i++) gain -= slopes[i]! * x[i]!;
  const step = new Float64Array(nodes);
  for (let i = 0; i < nodes; i++)
    for (let e = 0; e < PER_PLACE; e++) {
      const j = closed ? (i - 1 + e + nodes) % nodes : i - 1 + e;
      if (j >= 0 && j < nodes) step[i] = step[i]! + offset[PER_PLACE * i + e]! * x[control[j]!]!;
    }
  return { step, gain };
}

/** Second slopes of a function: each of two unknowns and a value. */
class Terms {
  readonly #a: number[] = [];
  readonly #b: number[] = [];
  readonly #value: number[] = [];

  add(a: number, b: number, value: number): void {
    this.#a.push(a);
    this.#b.push(b);
    this.#value.push(value);
  }

  meet(pair: (a: number, b: number) => void): void {
    for (let i = 0; i < this.#a.length; i++) pair(this.#a[i]!, this.#b[i]!);
  }

  addTo(h: SkylineMatrix): void {
    for (let i = 0; i < this.#a.length; i++) addTo(h, this.#a[i]!, this.#b[i]!, this.#value[i]!);
  }

  /** 1/2 x'Hx */
  at(x: Float64Array): number {
    let sum = 0;
    for (let i = 0; i < this.#a.length; i++) {
      const [a, b] = [this.#a[i]!, this.#b[i]!];
      sum += (a === b ? 0.5 : 1) * this.#value[i]! * x[a]! * x[b]!;
    }
    return sum;
  }
}

/** Rows A x <= most as they are written. */
class RowList {
  readonly #start: number[] = [0];
  readonly #column: number[] = [];
  readonly #value: number[] = [];
  readonly #most: number[] = [];

  get count(): number {
    return this.#most.length;
  }

  add(column: number, value: number): void {
    this.#column.push(column);
    this.#value.push(value);
  }

  end(most: number): void {
    this.#start.push(this.#column.length);
    this.#most.push(most);
  }

  done(pairs: number): QuadraticRows {
    return {
      start: Int32Array.from(this.#start),
      column: Int32Array.from(this.#column),
      value: Float64Array.from(this.#value),
      most: Float64Array.from(this.#most),
      pairs,
    };
  }
}
