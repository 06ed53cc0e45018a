/**
 * The smoothest line: least integral of squared curvature between bounds on the offsets.
 *
 * In: a frame, bounds by node. Out: offsets. A bounded least-squares problem, solved by Gauss-Newton steps: curvature is
 * linear in the offsets but for the turning of the line, so that a few steps do. Between nodes curvature runs nearly
 * evenly: the integral over a span of length L is L (k0^2 + k0 k1 + k1^2)/3. Knows nothing of karts.
 */
import type { FrameStations, LineFrame } from '../../compile/line-frame.ts';
import { frameStations } from '../../compile/line-frame.ts';
import type { LineShape } from '../../compile/line-track.ts';
import { lineTrack } from '../../compile/line-track.ts';
import { boundedMinimum } from '../../numerics/bounded-quadratic.ts';
import { addTo, bandMatrix, type SkylineMatrix } from '../../numerics/skyline.ts';
import type { Bounds } from './bounds.ts';
import { within } from './bounds.ts';
import type { NodeRows } from './shape-slopes.ts';
import { bendRows, nodeRows, REACH, ROW, slopesInOffsets } from './shape-slopes.ts';

export interface SmoothLine {
  readonly offsets: Float64Array;
  /** Integral of squared curvature, 1/m */
  readonly bending: number;
  readonly steps: number;
}

const MOST_STEPS = 25;
/** Ends when a step gains less than this share of what is left: the line then moves by centimetres at most. */
const LEAST_GAIN = 1e-5;
const HALVINGS = 6;
const DOUBLINGS = 4;
/** Wider than any line answers alone: keeps the system definite where a straight leaves offsets open. */
const RIDGE = 1e-9;

export function smoothestLine(
  frame: LineFrame,
  bounds: Bounds,
  from?: ArrayLike<number>,
  leastGain = LEAST_GAIN,
): SmoothLine {
  const stations = frameStations(frame, Number.MAX_VALUE);
  const bends = bendRows(frame);
  let offsets = within(bounds, from ?? new Float64Array(frame.count));
  const bent = (n: Float64Array) => {
    const { shape } = lineTrack(stations, n);
    return { shape, ...bendingOf(stations, shape) };
  };
  let here = bent(offsets);
  let steps = 0;
  for (; steps < MOST_STEPS; steps++) {
    const { rows, speed } = nodeRows(frame, bends, offsets);
    const h = bendingModel(frame, rows, speed);
    const g = slopesInOffsets(stations, here.shape, here.perCurvature, here.perStep);
    const low = bounds.low.map((b, i) => b - offsets[i]!);
    const high = bounds.high.map((b, i) => b - offsets[i]!);
    const { x: step } = boundedMinimum(h, g, low, high, 1e-11);
    const before = here.bending;
    const tryShare = (share: number) => {
      const tried = within(
        bounds,
        offsets.map((n, i) => n + share * step[i]!),
      );
      return { tried, ...bent(tried) };
    };
    let share = 1;
    let best = tryShare(1);
    // Shorter where it went too far; longer where the model is too stiff, which it is for long slow waves.
    for (let k = 0; k < HALVINGS && !(best.bending < before); k++) {
      share /= 2;
      best = tryShare(share);
    }
    for (let k = 0; k < DOUBLINGS && share >= 1; k++) {
      const longer = tryShare(2 * share);
      if (!(longer.bending < best.bending)) break;
      share *= 2;
      best = longer;
    }
    if (!(best.bending < before)) break;
    const gained = before - best.bending;
    offsets = best.tried;
    here = best;
    if (gained <= leastGain * here.bending) break;
  }
  return { offsets, bending: here.bending, steps };
}

/** The integral of squared curvature, and its slopes in curvature and length of the spans. */
function bendingOf(stations: FrameStations, shape: LineShape) {
  const { count, apart } = stations;
  const perCurvature = new Float64Array(count);
  const perStep = new Float64Array(count);
  let bending = 0;
  const at = (i: number) => {
    const speed = Math.hypot(shape.dx[i]!, shape.dy[i]!);
    return { speed, k: (shape.dx[i]! * shape.ddy[i]! - shape.dy[i]! * shape.ddx[i]!) / speed ** 3 };
  };
  let here = at(0);
  for (let i = 0; i + 1 < count; i++) {
    const there = at(i + 1);
    if (apart[i]! > 0) {
      const length = (apart[i]! * (here.speed + there.speed)) / 2;
      const square = (here.k * here.k + here.k * there.k + there.k * there.k) / 3;
      bending += length * square;
      perStep[i] = square;
      perCurvature[i] = perCurvature[i]! + (length / 3) * (2 * here.k + there.k);
      perCurvature[i + 1] = perCurvature[i + 1]! + (length / 3) * (2 * there.k + here.k);
    }
    here = there;
  }
  return { bending, perCurvature, perStep };
}

/** 2 K'WK with W of the spans: the Gauss-Newton matrix. */
function bendingModel(frame: LineFrame, rows: NodeRows['rows'], speed: Float64Array): SkylineMatrix {
  const { count, closed, spline } = frame;
  const h = bandMatrix(count, 2 * REACH + 1, closed);
  for (let i = 0; i < count; i++) addTo(h, i, i, RIDGE);
  const spans = closed ? count : count - 1;
  for (let i = 0; i < spans; i++) {
    const next = i + 1 < count ? i + 1 : 0;
    const length = (spline.h[i]! * (speed[i]! + speed[next]!)) / 2;
    // L/3 (k0^2 + k0 k1 + k1^2) = L/4 (k0 + k1)^2 + L/12 (k0 - k1)^2
    addRowPair(h, rows, i, next, 1, length / 2, closed);
    addRowPair(h, rows, i, next, -1, length / 6, closed);
  }
  return h;
}

/** Adds weight (row_i + sign row_j)(row_i + sign row_j)' for neighbouring nodes i and j = i + 1. */
function addRowPair(
  h: SkylineMatrix,
  rows: Float64Array,
  i: number,
  j: number,
  sign: number,
  weight: number,
  cyclic: boolean,
): void {
  const entries = Array.from({ length: ROW + 1 }, (_, p) => {
    const first = p < ROW ? rows[i * ROW + p]! : 0;
    return p === 0 ? first : first + sign * rows[j * ROW + p - 1]!;
  });
  for (let p = 0; p <= ROW; p++) {
    const row = wrap(i - REACH + p, h.size, cyclic);
    const a = weight * entries[p]!;
    if (a === 0 || row < 0) continue;
    for (let q = p; q <= ROW; q++) {
      const column = wrap(i - REACH + q, h.size, cyclic);
      if (column >= 0) addTo(h, row, column, a * entries[q]!);
    }
  }
}

/** The offsets inside the bounds that differ from those given by the least bending. */
export function bentInside(frame: LineFrame, bounds: Bounds, offsets: ArrayLike<number>): Float64Array {
  const start = within(bounds, offsets);
  let moved = 0;
  for (let i = 0; i < frame.count; i++) moved = Math.max(moved, Math.abs(start[i]! - offsets[i]!));
  if (moved < NEXT_TO_NOTHING) return start;
  const { rows, speed } = nodeRows(frame, bendRows(frame), start);
  const h = bendingModel(frame, rows, speed);
  for (let i = 0; i < frame.count; i++) addTo(h, i, i, STAY);
  const low = bounds.low.map((b, i) => b - offsets[i]!);
  const high = bounds.high.map((b, i) => b - offsets[i]!);
  const { x } = boundedMinimum(h, new Float64Array(frame.count), low, high);
  return within(
    bounds,
    x.map((d, i) => offsets[i]! + d),
  );
}

/** m */
const NEXT_TO_NOTHING = 1e-6;
/** Holds what need not move: against bending, a metre's move over some 15 m counts as much as staying. */
const STAY = 1e-4;

function wrap(i: number, n: number, cyclic: boolean): number {
  if (i >= 0 && i < n) return i;
  return cyclic ? (i + n) % n : -1;
}
