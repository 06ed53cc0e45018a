/**
 * The search for the fastest line: steps of a quadratic model, each tried on the true lap time.
 *
 * In: what times a line, a frame, bounds, the state so far. Out: the state after one step. The model of a step d is
 *   T + g'd + rho/2 d'(K'WK)d
 * with g the exact slopes of the lap time in the offsets, K how curvature at the nodes answers them, and W how dearly
 * curvature is paid for there (|dT/d(kappa)|/|kappa|, averaged over the steps so far: where a bend is held over a
 * stretch, the price must settle between its stations). rho grows when a step fails and shrinks when it gains. State is
 * plain data, so that a search can be laid aside and taken up again.
 */
import type { FrameStations, LineFrame } from '../../compile/line-frame.ts';
import type { LineShape, LineTrack } from '../../compile/line-track.ts';
import { lineTrack } from '../../compile/line-track.ts';
import { boundedMinimum } from '../../numerics/bounded-quadratic.ts';
import type { LapProblem } from '../lap/lap-problem.ts';
import type { LapSolution } from '../lap-solver.ts';
import type { Bounds } from './bounds.ts';
import { within } from './bounds.ts';
import { lapSlopes } from './lap-slopes.ts';
import { bendRows, nodeRows, slopesInOffsets } from './shape-slopes.ts';
import { addRow, bentInside, modelMatrix } from './smoothest.ts';

/** A line driven: its lap, and the time by which it is judged (Infinity where it cannot be driven). */
export interface DrivenLine {
  readonly time: number;
  readonly track: LineTrack;
  readonly shape: LineShape;
  readonly lap: LapProblem;
  readonly solution: LapSolution;
}

export interface Timer {
  readonly frame: LineFrame;
  readonly stations: FrameStations;
  readonly bounds: Bounds;
  readonly bends: Float64Array;
  readonly drive: (offsets: ArrayLike<number>) => DrivenLine;
}

/** Where a search from one start stands. */
export interface Search {
  readonly offsets: Float64Array;
  readonly time: number;
  readonly rho: number;
  readonly prices: Float64Array;
  readonly steps: number;
  /** Steps in a row that gained next to nothing */
  readonly idle: number;
  readonly ended: boolean;
}

export const LINE_SEARCH = {
  /** Steps from one start */
  mostSteps: 60,
  /** Of the new price in the average */
  newPrice: 0.4,
  /** A step that gains less than this is idle, s; so many idle steps end a search */
  leastGain: 2e-4,
  mostIdle: 5,
  /** Tries of one step, each with rho this much greater */
  tries: 6,
  stiffer: 2,
  softer: 0.6,
  leastRho: 0.05,
  mostRho: 50,
  beyond: 0.5,
  /** Curvature below which its price no longer grows, 1/m: straights stay free to bend */
  leastCurvature: 0.01,
  /** Prices are at least this share of their mean */
  leastPrice: 0.05,
  /** Share of v^2 within which a bend counts as about to hold the kart */
  nearly: 0.02,
} as const;

/** Nodes a row of the model reaches each way: the model may be rough, the slopes are exact. */
const MODEL_REACH = 4;
/** Of the bounded step: a step is tried on the true lap time anyway. */
const STEP_TOLERANCE = 1e-8;

export function startSearch(timer: Timer, from: ArrayLike<number>): Search {
  const offsets = bentInside(timer.frame, timer.bounds, from);
  const { time } = timer.drive(offsets);
  return {
    offsets,
    time,
    rho: 1,
    prices: new Float64Array(0),
    steps: 0,
    idle: 0,
    ended: !Number.isFinite(time),
  };
}

/** One step: the slopes at the line so far, then the model's step, tried up to `tries` times. */
export function stepSearch(timer: Timer, search: Search): Search {
  const { frame, bounds } = timer;
  const p = LINE_SEARCH;
  const first = answersAt(timer, timer.drive(search.offsets));
  let { slopes } = first;
  const { rows } = nodeRows(frame, timer.bends, search.offsets);
  let prices = averaged(search.prices, first.prices, p.newPrice);
  let { rho } = search;
  const low = bounds.low.map((b, i) => b - search.offsets[i]!);
  const high = bounds.high.map((b, i) => b - search.offsets[i]!);
  const steps = search.steps + 1;
  for (let attempt = 0; attempt < p.tries; attempt++) {
    const h = modelMatrix(frame, MODEL_REACH);
    for (let i = 0; i < frame.count; i++) addRow(h, rows, i, rho * prices[i]!, MODEL_REACH);
    const { x: step } = boundedMinimum(h, slopes, low, high, STEP_TOLERANCE);
    const tried = within(
      bounds,
      search.offsets.map((n, i) => n + step[i]!),
    );
    const there = timer.drive(tried);
    if (there.time < search.time) {
      const idle = search.time - there.time < p.leastGain ? search.idle + 1 : 0;
      return {
        offsets: tried,
        time: there.time,
        rho: attempt === 0 ? Math.max(p.leastRho, rho * p.softer) : rho,
        prices,
        steps,
        idle,
        ended: idle >= p.mostIdle || steps >= p.mostSteps,
      };
    }
    rho *= p.stiffer;
    // Where one station hands the limit to another the slopes jump: those beyond belong into the model too.
    if (Number.isFinite(there.time) && attempt + 1 < p.tries) {
      const beyond = answersAt(timer, there);
      const mixed = slopes;
      slopes = mixed.map((slope, i) => slope + p.beyond * (beyond.slopes[i]! - slope));
      prices = averaged(prices, beyond.prices, p.newPrice * p.beyond);
    }
  }
  const idle = search.idle + 1;
  return {
    ...search,
    rho: Math.min(rho, p.mostRho),
    prices,
    steps,
    idle,
    ended: idle >= p.mostIdle || steps >= p.mostSteps,
  };
}

/** Slopes of the lap time in the offsets, and the prices, at a driven line. */
function answersAt({ stations }: Timer, { lap, solution, track, shape }: DrivenLine) {
  const found = lapSlopes(lap, solution, LINE_SEARCH.nearly);
  const { perCurvature, perStep } = inPlan(track, found.curvature, found.step);
  return {
    slopes: slopesInOffsets(stations, shape, perCurvature, perStep),
    prices: pricesOf(stations, track, perCurvature),
  };
}

/** Slopes in plan curvature and plan length: the track stores kappa cos^2 and steps along the road. */
function inPlan(track: LineTrack, curvature: Float64Array, step: Float64Array) {
  const perCurvature = new Float64Array(track.count);
  const perStep = new Float64Array(track.count);
  for (let i = 0; i < track.count; i++) {
    const cosSquared = 1 - track.sinGrade[i]! ** 2;
    perCurvature[i] = curvature[i]! * cosSquared;
    perStep[i] = step[i]! / Math.sqrt(cosSquared);
  }
  return { perCurvature, perStep };
}

/** Price of squared curvature at the nodes, from the stations on either side. */
function pricesOf(stations: FrameStations, track: LineTrack, perCurvature: Float64Array): Float64Array {
  const { frame, count, span, share } = stations;
  const prices = new Float64Array(frame.count);
  for (let i = 0; i < count; i++) {
    const kappa = track.curvature[i]!;
    const paid = Math.max(0, perCurvature[i]! * Math.sign(kappa));
    const price = paid / Math.max(Math.abs(kappa), LINE_SEARCH.leastCurvature);
    const i0 = span[i]!;
    const i1 = i0 + 1 < frame.count ? i0 + 1 : frame.closed ? 0 : i0;
    prices[i0] = prices[i0]! + (1 - share[i]!) * price;
    prices[i1] = prices[i1]! + share[i]! * price;
  }
  return prices;
}

function averaged(before: Float64Array, now: Float64Array, newPrice: number): Float64Array {
  const { leastPrice } = LINE_SEARCH;
  let mean = 0;
  for (const price of now) mean += price / now.length;
  return now.map((price, i) => {
    const floored = Math.max(price, leastPrice * mean);
    return before.length === 0 ? floored : before[i]! + newPrice * (floored - before[i]!);
  });
}

export function makeTimer(
  frame: LineFrame,
  stations: FrameStations,
  bounds: Bounds,
  lapOn: (track: LineTrack) => { time: number; lap: LapProblem; solution: LapSolution },
): Timer {
  return {
    frame,
    stations,
    bounds,
    bends: bendRows(frame),
    drive(offsets) {
      const { track, shape } = lineTrack(stations, offsets);
      return { track, shape, ...lapOn(track) };
    },
  };
}
