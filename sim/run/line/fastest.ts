/**
 * The search for the fastest line: steps of a model in which the lap is driven anew, each tried on the true lap time.
 *
 * In: what times a line, a frame, bounds, the state so far. Out: the state after one step. A lap time is the least of a
 * greatest: where one station stops setting the speed the next one does, and slopes of the time alone lead nowhere - least
 * of all for a kart that lives by its slowest place. So the model of a step keeps the speed of every station as an unknown.
 * With z = dy/y of y = v^2 and c the controls of the change, it has the least
 *   T(z) + T'(length) c + rho/2 sum of dwell (dkappa/kappa_most)^2
 * inside the edges and with every y no greater than what curvature, driving from before and braking for what follows allow,
 * each to first order (speed-answers.ts): those that do not hold the kart now are there too, and stop the step where they
 * would. rho grows when a step fails and shrinks when it does what the model promised. The time also jumps, by a gear change
 * more or less: every step that fails is tried again without one. The search has converged when steps no longer gain. State is
 * plain data, so that a search can be laid aside and taken up again.
 */
import type { FrameStations, LineFrame } from '../../compile/line-frame.ts';
import type { LineShape, LineTrack } from '../../compile/line-track.ts';
import { lineTrack } from '../../compile/line-track.ts';
import { addTo, type BandedMatrix, bandedMatrix } from '../../numerics/banded.ts';
import { boundedMinimum, type QuadraticRows } from '../../numerics/bounded-quadratic.ts';
import type { LapProblem } from '../lap/lap-problem.ts';
import type { LapSolution, LapStart } from '../lap-solver.ts';
import type { Bounds } from './bounds.ts';
import { within } from './bounds.ts';
import { controlRows, type NodeSplines, nodeSplines, PER_PLACE, PER_STATION } from './shape-slopes.ts';
import { bentInside } from './smoothest.ts';
import { type ChainAnswers, speedAnswers } from './speed-answers.ts';

/** A line driven: its lap, and the time by which it is judged (Infinity where it cannot be driven). */
export interface DrivenLine {
  readonly time: number;
  readonly track: LineTrack;
  readonly shape: LineShape;
  readonly lap: LapProblem;
  readonly solution: LapSolution;
  readonly start: LapStart;
}

export interface Timer {
  readonly frame: LineFrame;
  readonly stations: FrameStations;
  readonly bounds: Bounds;
  readonly splines: NodeSplines;
  readonly drive: (offsets: ArrayLike<number>) => DrivenLine;
  /** Time with stations as close as the answer's: where a shift more or less decides, those of the search cannot tell */
  readonly judge?: (offsets: Float64Array) => number;
}

export interface TimedLine {
  readonly offsets: Float64Array;
  readonly time: number;
}

/** Where a search from one start stands. */
export interface Search {
  readonly offsets: Float64Array;
  readonly time: number;
  /** The quickest line met: by the search's own lap, and by the judge's, where there is one (else Infinity) */
  readonly best: TimedLine;
  readonly judged: TimedLine;
  readonly rho: number;
  readonly steps: number;
  /** Steps in a row that gained next to nothing */
  readonly idle: number;
  readonly ended: 'no' | 'converged' | 'most steps' | 'beaten' | 'undrivable';
}

export const LINE_SEARCH = {
  /** Tries of one step: first with upshifts coming and going, then without one more, then with rho this much greater */
  tries: 6,
  stiffer: 4,
  /** rho after a step that gained what was promised, and after one that gained most of it */
  softest: 0.25,
  softer: 0.5,
  leastRho: 1e-3,
  mostRho: 1e4,
  /** Shares of the gain promised */
  poor: 0.25,
  good: 0.6,
  best: 0.9,
  /** Share of the side grip from which on a station lies in a bend */
  bent: 0.5,
  /** Steps that change the time by less than this share are judged */
  late: 5e-4,
  /** A search that has had so many steps is beaten where not even this many times what its model promises betters another */
  leastSteps: 3,
  generous: 1.5,
  /** Share of y that a line keeps below an upshift it does without: closer than another spacing of stations tells apart */
  shortOfShift: 4e-3,
  /** Share of the time that a step may lose where none gains */
  mostLoss: 2e-3,
} as const;

/** When a search ends. */
export interface SearchEnd {
  /** A step that gains, or is said to gain, less than this share of the time is idle; so many in a row end the search */
  readonly leastGain: number;
  readonly mostIdle: number;
  readonly mostSteps: number;
}

/** Of the bounded step: a step is tried on the true lap time anyway. */
const STEP_TOLERANCE = 1e-12;
/** A step this close to the model's least will do, s. */
const ENOUGH = 1e-4;
/** z = dy/y stays between these */
const SLOWER = -0.9;
const QUICKER = 3;
/** Keeps the system definite where nothing asks for an offset. */
const RIDGE = 1e-9;

export function startSearch(timer: Timer, from: ArrayLike<number>, rho: number): Search {
  const offsets = bentInside(timer.frame, timer.bounds, from);
  const { time } = timer.drive(offsets);
  const best = { offsets, time };
  const judged = { offsets, time: timer.judge?.(offsets) ?? Number.POSITIVE_INFINITY };
  return {
    offsets,
    time,
    best,
    judged,
    rho,
    steps: 0,
    idle: 0,
    ended: Number.isFinite(time) ? 'no' : 'undrivable',
  };
}

/**
 * One step: the model at the line so far and its least, tried up to `tries` times. `beat`: the time of another search;
 * where the model does not promise to better it, this one ends.
 */
export function stepSearch(
  timer: Timer,
  search: Search,
  end: SearchEnd,
  beat = Number.POSITIVE_INFINITY,
): Search {
  const { bounds, frame } = timer;
  const p = LINE_SEARCH;
  const model = makeModel(timer, search.offsets, timer.drive(search.offsets));
  let { rho } = search;
  const steps = search.steps + 1;
  const least = end.leastGain * search.time;
  let nearest: { readonly offsets: Float64Array; readonly time: number } | undefined;
  let took = false;
  for (let attempt = 0; !took && attempt < p.tries && rho <= p.mostRho; attempt++) {
    const free = attempt % 2 === 0;
    const { step, gain } = leastOf(model, frame, rho, free);
    if (attempt > 0 && gain < least) break;
    if (attempt === 0 && search.steps >= p.leastSteps && search.time - p.generous * gain > beat)
      return { ...search, ended: 'beaten' };
    const offsets = within(
      bounds,
      search.offsets.map((n, i) => n + step[i]!),
    );
    const { time } = timer.drive(offsets);
    if (nearest === undefined || time < nearest.time) nearest = { offsets, time };
    const share = (search.time - time) / gain;
    took = time < search.time;
    // The same again without a gear change more, before the step is made a smaller one.
    if (!took && free) continue;
    if (!took || share < p.poor) rho *= p.stiffer;
    else if (share > p.best) rho *= p.softest;
    else if (share > p.good) rho *= p.softer;
  }
  // Where the time jumps, as with one gear change more, every way may lead up at first: it is gone, and the best kept.
  const goes = nearest !== undefined && nearest.time < search.time * (1 + p.mostLoss);
  const next = goes ? nearest! : search;
  const gained = search.best.time - next.time;
  const idle = gained < least ? search.idle + 1 : 0;
  let { judged } = search;
  if (timer.judge !== undefined && goes && Math.abs(search.time - next.time) < p.late * next.time) {
    const time = timer.judge(next.offsets);
    if (time < judged.time) judged = { offsets: next.offsets, time };
  }
  return {
    offsets: next.offsets,
    time: next.time,
    judged,
    best: gained > 0 ? { offsets: next.offsets, time: next.time } : search.best,
    rho: Math.min(took ? p.mostRho : search.rho, Math.max(p.leastRho, rho)),
    steps,
    idle,
    ended: !goes || idle >= end.mostIdle ? 'converged' : steps >= end.mostSteps ? 'most steps' : 'no',
  };
}

/** Unknowns: of each node in turn its control, then z of its span's stations. */
interface Unknowns {
  readonly count: number;
  readonly control: Int32Array;
  readonly speed: Int32Array;
}

interface Model {
  readonly unknowns: Unknowns;
  /** Farthest that two unknowns of one term lie apart */
  readonly apart: number;
  /** Slopes of the time in all unknowns */
  readonly slopes: Float64Array;
  readonly second: Terms;
  /** Of the squares whose sum a step is kept small by */
  readonly squares: QuadraticRows;
  readonly rows: QuadraticRows;
  /** Rows that leave out the next upshift: where it comes the time jumps by what the shift costs */
  readonly upshifts: readonly number[];
  /** Change of each node's offset: three a node, of the controls about it */
  readonly offset: Float64Array;
}

function makeModel(
  { frame, stations, bounds, splines }: Timer,
  offsets: Float64Array,
  driven: DrivenLine,
): Model {
  const { lap, solution, track, shape, start } = driven;
  const { count: nodes, closed } = frame;
  const { count, span, apart } = stations;
  const ring = closed && start === 'flying';
  const answers = speedAnswers(lap, solution, ring);
  const { curvature, speed, offset } = controlRows(stations, splines, shape);
  const y = solution.squared.map((squared) => Math.max(squared, LEAST_SQUARED));
  const unknowns = unknownsOf(stations);
  const slopes = new Float64Array(unknowns.count);
  const second = new Terms();
  const cosSquared = track.sinGrade.map((sin) => 1 - sin * sin);
  const cos = cosSquared.map(Math.sqrt);
  const nodeAt = (j: number) => (closed ? (j + nodes) % nodes : j);
  const rows = new RowList();
  const squares = new RowList();
  /** Adds what a station's curvature and |dp/ds| answer of the controls. */
  const addControls = (list: RowList, k: number, perCurvature: number, perSpeed: number) => {
    for (let e = 0; e < PER_STATION; e++) {
      const node = nodeAt(span[k]! - 1 + e);
      if (node < 0 || node >= nodes) continue;
      const at = PER_STATION * k + e;
      list.add(unknowns.control[node]!, perCurvature * curvature[at]! + perSpeed * speed[at]!);
    }
  };
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
  for (let k = 0; k < count; k++) {
    for (let e = 0; e < PER_STATION; e++) {
      const node = nodeAt(span[k]! - 1 + e);
      if (node < 0 || node >= nodes) continue;
      const c = unknowns.control[node]!;
      slopes[c] = slopes[c]! + perSpeed[k]! * speed[PER_STATION * k + e]!;
    }
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
  // Pairs first: the edges on either side, and what a bend allows to either side.
  for (let i = 0; i < nodes; i++)
    for (const side of [1, -1]) {
      for (let e = 0; e < PER_PLACE; e++) {
        const node = nodeAt(i - 1 + e);
        if (node < 0 || node >= nodes) continue;
        rows.add(unknowns.control[node]!, side * offset[PER_PLACE * i + e]!);
      }
      rows.end(side > 0 ? bounds.high[i]! - offsets[i]! : offsets[i]! - bounds.low[i]!);
    }
  for (let k = 0; k < count; k++) {
    const most = answers.most[k]!;
    if (!Number.isFinite(most)) continue;
    const used = track.curvature[k]! / most;
    addControls(squares, k, (Math.sqrt(dwell[k]!) * cosSquared[k]!) / most, 0);
    squares.end(0);
    // In a bend only its own side can hold the kart.
    if (Math.abs(used) > LINE_SEARCH.bent) continue;
    for (const side of [1, -1]) {
      addControls(rows, k, (side * cosSquared[k]!) / most, 0);
      rows.add(unknowns.speed[k]!, 1 / answers.power[k]!);
      rows.end(1 - side * used);
    }
  }
  const pairs = rows.count / 2;
  const upshifts: number[] = [];
  for (let k = 0; k < count; k++) {
    const z = unknowns.speed[k]!;
    const here = y[k]!;
    const most = answers.most[k]!;
    const used = track.curvature[k]! / most;
    if (Math.abs(used) > LINE_SEARCH.bent) {
      addControls(rows, k, (Math.sign(used) * cosSquared[k]!) / most, 0);
      rows.add(z, 1 / answers.power[k]!);
      rows.end(1 - Math.abs(used));
    }
    if (Number.isFinite(answers.upshift[k]!)) {
      rows.add(z, 1);
      rows.end((answers.upshift[k]! * (1 - LINE_SEARCH.shortOfShift)) / here - 1);
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
          k,
          (-of.curvature[k]! * cosSquared[k]!) / here,
          (-of.step[k]! * apart[step]!) / cos[k]! / here,
        );
      rows.end(of.room[k]! / here);
    };
    if ((ring || (k > 0 && k + 1 < count)) && answers.takenUp[k] === 1) {
      // The braking curve must still be met before the gear's own upshift is due.
      const { drive, brake } = answers;
      const [before, after] = [k > 0 ? k - 1 : count - 1, k + 1 < count ? k + 1 : 0];
      rows.add(unknowns.speed[after]!, (brake.stay[k]! * y[after]!) / here);
      rows.add(unknowns.speed[before]!, (-drive.stay[k]! * y[before]!) / here);
      addControls(
        rows,
        k,
        (brake.curvature[k]! * cosSquared[k]!) / here,
        (brake.step[k]! * apart[k]!) / cos[k]! / here,
      );
      rows.end(drive.room[k]! / here - LINE_SEARCH.shortOfShift);
      upshifts.push(rows.count - 1);
    }
    if (ring || k > 0) chain(k > 0 ? k - 1 : count - 1, k > 0 ? k - 1 : count - 1, answers.drive);
    if (ring || k + 1 < count) chain(k + 1 < count ? k + 1 : 0, k, answers.brake);
  }
  return {
    unknowns,
    apart: farthest(unknowns, frame),
    slopes,
    second,
    squares: squares.done(0),
    rows: rows.done(pairs),
    upshifts,
    offset,
  };
}

/** m2/s2 */
const LEAST_SQUARED = 1e-4;

function unknownsOf({ frame, count, span }: FrameStations): Unknowns {
  const control = new Int32Array(frame.count);
  const speed = new Int32Array(count);
  let next = 0;
  let k = 0;
  for (let i = 0; i < frame.count; i++) {
    control[i] = next++;
    for (; k < count && span[k] === i; k++) speed[k] = next++;
  }
  return { count: next, control, speed };
}

/** A row reaches from the control before a span to the second one after it. */
function farthest({ count, control }: Unknowns, { count: nodes, closed }: LineFrame): number {
  let most = 1;
  for (let i = 0; i < nodes; i++) {
    const end = i + PER_STATION - 1;
    const to = end < nodes ? control[end]! : closed ? count + control[end % nodes]! : count - 1;
    most = Math.max(most, to - control[i]!);
  }
  return Math.min(most, count - 1);
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

  addTo(h: BandedMatrix): void {
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

/** The model's step in the offsets, and what it promises to gain, s. */
function leastOf(
  { unknowns, apart, slopes, second, squares, rows: all, upshifts, offset }: Model,
  frame: LineFrame,
  rho: number,
  mayShift: boolean,
) {
  const { count, control } = unknowns;
  const { count: nodes, closed } = frame;
  const rows = { ...all, most: all.most.slice() };
  if (mayShift) for (const r of upshifts) rows.most[r] = 2 * QUICKER;
  const h = bandedMatrix(count, Math.min(apart, closed ? count >> 1 : count - 1), closed);
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
/** m */
const FARTHEST = 20;

export function makeTimer(
  frame: LineFrame,
  stations: FrameStations,
  bounds: Bounds,
  lapOn: (track: LineTrack) => Omit<DrivenLine, 'track' | 'shape'>,
  judge?: (offsets: Float64Array) => number,
): Timer {
  return {
    frame,
    stations,
    bounds,
    splines: nodeSplines(stations),
    ...(judge === undefined ? {} : { judge }),
    drive(offsets) {
      const { track, shape } = lineTrack(stations, offsets);
      return { track, shape, ...lapOn(track) };
    },
  };
}
