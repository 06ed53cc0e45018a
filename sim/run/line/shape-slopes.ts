/**
 * How a line's curvature and length answer its offsets: slopes carried from stations back to nodes, and rows at nodes.
 *
 * In: stations of a frame, a line's shape and slopes of some figure in curvature and step by station. Out: slopes of
 * that figure in the offsets, exact (transpose of the spline); and, for the model of the next step, how the curvature at
 * each node answers the offsets nearby. Plan view: kappa = (x'y'' - y'x'')/|p'|^3.
 */
import type { FrameStations, LineFrame } from '../../compile/line-frame.ts';
import type { LineShape } from '../../compile/line-track.ts';

/** Slopes in the offsets of a figure whose slopes in plan curvature and in plan length of steps are given. */
export function slopesInOffsets(
  stations: FrameStations,
  shape: LineShape,
  perCurvature: ArrayLike<number>,
  perStep: ArrayLike<number>,
): Float64Array {
  const { frame, count, span, share, apart } = stations;
  const { spline, closed } = frame;
  const nodes = frame.count;
  const inX = new Float64Array(nodes);
  const inY = new Float64Array(nodes);
  const inBendX = new Float64Array(nodes);
  const inBendY = new Float64Array(nodes);
  for (let i = 0; i < count; i++) {
    const dx = shape.dx[i]!;
    const dy = shape.dy[i]!;
    const ddx = shape.ddx[i]!;
    const ddy = shape.ddy[i]!;
    const p = Math.sqrt(dx * dx + dy * dy);
    const p3 = p * p * p;
    const cross = dx * ddy - dy * ddx;
    const k = perCurvature[i]!;
    // A step's length is half of each end's speed times the drawn distance between them.
    const before = i > 0 ? apart[i - 1]! * perStep[i - 1]! : 0;
    const inSpeed = (apart[i]! * perStep[i]! + before) / 2;
    const bend = (-3 * cross * k) / (p3 * p * p) + inSpeed / p;
    const gdx = (k * ddy) / p3 + bend * dx;
    const gdy = (-k * ddx) / p3 + bend * dy;
    const gddx = (-k * dy) / p3;
    const gddy = (k * dx) / p3;
    const i0 = span[i]!;
    const i1 = closed && i0 + 1 === nodes ? 0 : i0 + 1;
    const h = spline.h[i0]!;
    const b = share[i]!;
    const a = 1 - b;
    const sa = (-(3 * a * a - 1) * h) / 6;
    const sb = ((3 * b * b - 1) * h) / 6;
    inX[i1] = inX[i1]! + gdx / h;
    inX[i0] = inX[i0]! - gdx / h;
    inY[i1] = inY[i1]! + gdy / h;
    inY[i0] = inY[i0]! - gdy / h;
    inBendX[i0] = inBendX[i0]! + sa * gdx + a * gddx;
    inBendX[i1] = inBendX[i1]! + sb * gdx + b * gddx;
    inBendY[i0] = inBendY[i0]! + sa * gdy + a * gddy;
    inBendY[i1] = inBendY[i1]! + sb * gdy + b * gddy;
  }
  const backX = spline.slopesFromBends(inBendX);
  const backY = spline.slopesFromBends(inBendY);
  return Float64Array.from(
    { length: nodes },
    (_, i) => (inX[i]! + backX[i]!) * frame.normalX[i]! + (inY[i]! + backY[i]!) * frame.normalY[i]!,
  );
}

/** Curvature at the nodes of a line, how it answers the offsets within REACH nodes, and each node's share of length. */
export interface NodeRows {
  readonly curvature: Float64Array;
  /** Row i, entry REACH + j - i: change of curvature at node i per offset of node j */
  readonly rows: Float64Array;
  /** Speed |dp/ds| at the nodes */
  readonly speed: Float64Array;
}

/** A node's bend answers ordinates this many nodes away; beyond, by less than a 270th of its answer to its own. */
export const REACH = 4;
export const ROW = 2 * REACH + 1;

/** How each bend answers the ordinates nearby: rows of S^-1 R, the same for every line of a frame. */
export function bendRows(frame: LineFrame): Float64Array {
  const { spline, count, closed } = frame;
  const rows = new Float64Array(count * ROW);
  // Unit ordinates far enough apart not to meet are answered in one go.
  const apart = 6 * REACH;
  const groups = count < 2 * apart ? count : Math.min(count, apart + (closed ? count % apart : 0));
  const unit = new Float64Array(count);
  for (let group = 0; group < groups; group++) {
    unit.fill(0);
    const chosen: number[] = [];
    const stride = groups === count ? count : apart;
    const end = closed && groups !== count ? count - (count % apart) : count;
    if (group < apart || groups === count) for (let j = group; j < end; j += stride) chosen.push(j);
    else chosen.push(end + group - apart);
    for (const j of chosen) unit[j] = 1;
    const bends = spline.bends(unit);
    for (const j of chosen)
      for (let d = -REACH; d <= REACH; d++) {
        const i = closed ? (j - d + count) % count : j - d;
        if (i >= 0 && i < count) rows[i * ROW + REACH + d] = bends[i]!;
      }
  }
  return rows;
}

export function nodeRows(frame: LineFrame, bends: Float64Array, offsets: ArrayLike<number>): NodeRows {
  const { spline, count, closed, x, y, normalX, normalY } = frame;
  const px = Float64Array.from({ length: count }, (_, i) => x[i]! + offsets[i]! * normalX[i]!);
  const py = Float64Array.from({ length: count }, (_, i) => y[i]! + offsets[i]! * normalY[i]!);
  const mx = spline.bends(px);
  const my = spline.bends(py);
  const curvature = new Float64Array(count);
  const speed = new Float64Array(count);
  const rows = new Float64Array(count * ROW);
  for (let i = 0; i < count; i++) {
    // Slope from the span ahead; at the end of an open line from the one behind.
    const back = !closed && i === count - 1;
    const from = back ? i - 1 : i;
    const to = from + 1 < count ? from + 1 : 0;
    const h = spline.h[from]!;
    const wf = back ? h / 6 : -h / 3;
    const wt = back ? h / 3 : -h / 6;
    const dx = (px[to]! - px[from]!) / h + wf * mx[from]! + wt * mx[to]!;
    const dy = (py[to]! - py[from]!) / h + wf * my[from]! + wt * my[to]!;
    const p = Math.hypot(dx, dy);
    const p3 = p * p * p;
    const cross = dx * my[i]! - dy * mx[i]!;
    curvature[i] = cross / p3;
    speed[i] = p;
    const inDx = my[i]! / p3 - (3 * cross * dx) / (p3 * p * p);
    const inDy = -mx[i]! / p3 - (3 * cross * dy) / (p3 * p * p);
    for (let d = -REACH; d <= REACH; d++) {
      const j = closed ? (i + d + count) % count : i + d;
      if (j < 0 || j >= count) continue;
      const bend = bends[i * ROW + REACH + d]!;
      const bendOf = (node: number) => {
        let e = j - node;
        if (closed) e -= count * Math.round(e / count);
        return Math.abs(e) > REACH ? 0 : bends[node * ROW + REACH + e]!;
      };
      const slope = ((j === to ? 1 : 0) - (j === from ? 1 : 0)) / h + wf * bendOf(from) + wt * bendOf(to);
      rows[i * ROW + REACH + d] =
        normalX[j]! * (inDx * slope - (dy / p3) * bend) + normalY[j]! * (inDy * slope + (dx / p3) * bend);
    }
  }
  return { curvature, rows, speed };
}

/** Of the cubic B-splines on a frame's nodes: what each station's slope and bend, and each node's place, have of them. */
export interface NodeSplines {
  /** Four a station, of the controls at nodes span - 1 to span + 2: of the slope and of the bend */
  readonly slope: Float64Array;
  readonly bend: Float64Array;
  /** Three a node, of the controls at the node before, itself and the next */
  readonly place: Float64Array;
  /** The first station at each node */
  readonly stationAt: Int32Array;
}

/** Controls that a station, and a node, answers. */
export const PER_STATION = 4;
export const PER_PLACE = 3;

/**
 * A curve through nodes answers every node far and wide, but few of its controls: steps are found in these (de Boor, A
 * Practical Guide to Splines, ch. IX). Beyond an open end lies a control that keeps the end free of bend: 2 C0 - C1.
 */
export function nodeSplines({ frame, count, span, share }: FrameStations): NodeSplines {
  const { closed, count: nodes, spline } = frame;
  const { h } = spline;
  const slope = new Float64Array(PER_STATION * count);
  const bend = new Float64Array(PER_STATION * count);
  const place = new Float64Array(PER_PLACE * nodes);
  const stationAt = new Int32Array(nodes);
  const spans = h.length;
  const lengthOf = (i: number) => {
    if (closed) return h[(i + spans) % spans]!;
    return h[i < 0 ? -1 - i : i >= spans ? 2 * spans - 1 - i : i]!;
  };
  /** Weights of the controls i - 1 to i + 2 in the slope at node i and in the bends at nodes i and i + 1 */
  const weights = (i: number) => {
    const [h0, h1, h2, h3, h4] = [-2, -1, 0, 1, 2].map((e) => lengthOf(i + e)) as [
      number,
      number,
      number,
      number,
      number,
    ];
    // Slopes between neighbouring controls, then how these change: the bend.
    const q1 = 3 / (h0 + h1 + h2);
    const q2 = 3 / (h1 + h2 + h3);
    const q3 = 3 / (h2 + h3 + h4);
    const r2 = 2 / (h1 + h2);
    const r3 = 2 / (h2 + h3);
    const from = (h2 / (h1 + h2)) * q1;
    const to = (h1 / (h1 + h2)) * q2;
    return {
      slope: [-from, from - to, to, 0],
      here: [r2 * q1, -r2 * (q1 + q2), r2 * q2, 0],
      there: [0, r3 * q2, -r3 * (q2 + q3), r3 * q3],
      place: [(h2 * h2) / ((h1 + h2) * (h0 + h1 + h2)), (h1 * h1) / ((h1 + h2) * (h1 + h2 + h3))] as const,
    };
  };
  let last = -1;
  let w = weights(0);
  for (let k = 0; k < count; k++) {
    const i = span[k]!;
    if (i !== last) w = weights(i);
    last = i;
    const b = share[k]!;
    const run = h[i]!;
    if (b === 0) stationAt[i] = k;
    if (!closed && b === 1 && i === spans - 1) stationAt[nodes - 1] = k;
    for (let e = 0; e < PER_STATION; e++) {
      const here = w.here[e]!;
      const there = w.there[e]!;
      bend[PER_STATION * k + e] = (1 - b) * here + b * there;
      slope[PER_STATION * k + e] = w.slope[e]! + run * b * (here + (b / 2) * (there - here));
    }
  }
  for (let i = 0; i < nodes; i++) {
    const [before, after] = weights(i).place;
    place[PER_PLACE * i] = before;
    place[PER_PLACE * i + 1] = 1 - (before + after);
    place[PER_PLACE * i + 2] = after;
  }
  return { slope, bend, place, stationAt };
}

/** How a line answers its controls, each moved along the line's own normal at its node. */
export interface ControlRows {
  /** Four a station, of the controls at nodes span - 1 to span + 2: change of plan curvature and of |dp/ds| */
  readonly curvature: Float64Array;
  readonly speed: Float64Array;
  /** Three a node, of the controls about it: change of its offset */
  readonly offset: Float64Array;
}

export function controlRows(stations: FrameStations, splines: NodeSplines, shape: LineShape): ControlRows {
  const { frame, count, span } = stations;
  const { closed, normalX, normalY, count: nodes } = frame;
  const mx = new Float64Array(nodes);
  const my = new Float64Array(nodes);
  for (let i = 0; i < nodes; i++) {
    const k = splines.stationAt[i]!;
    const p = Math.hypot(shape.dx[k]!, shape.dy[k]!);
    mx[i] = -shape.dy[k]! / p;
    my[i] = shape.dx[k]! / p;
  }
  const curvature = new Float64Array(PER_STATION * count);
  const speed = new Float64Array(PER_STATION * count);
  const offset = new Float64Array(PER_PLACE * nodes);
  /** Entry e of a row is the control at node `first` + e; one beyond an open end is made of the two next to it. */
  const spread = (out: Float64Array, at: number, first: number, size: number, of: ValueOf) => {
    for (let e = 0; e < size; e++) {
      const j = first + e;
      if (closed) {
        const node = (j + nodes) % nodes;
        out[at + e] = out[at + e]! + of(e, mx[node]!, my[node]!);
      } else if (j >= 0 && j < nodes) out[at + e] = out[at + e]! + of(e, mx[j]!, my[j]!);
      else {
        const step = j < 0 ? 1 : -1;
        out[at + e + step] = out[at + e + step]! + 2 * of(e, mx[j + step]!, my[j + step]!);
        out[at + e + 2 * step] = out[at + e + 2 * step]! - of(e, mx[j + 2 * step]!, my[j + 2 * step]!);
      }
    }
  };
  for (let k = 0; k < count; k++) {
    const dx = shape.dx[k]!;
    const dy = shape.dy[k]!;
    const ddx = shape.ddx[k]!;
    const ddy = shape.ddy[k]!;
    const p = Math.sqrt(dx * dx + dy * dy);
    const p3 = p * p * p;
    const turn = (3 * (dx * ddy - dy * ddx)) / (p3 * p * p);
    const inDx = ddy / p3 - turn * dx;
    const inDy = -ddx / p3 - turn * dy;
    const at = PER_STATION * k;
    spread(curvature, at, span[k]! - 1, PER_STATION, (e, nx, ny) => {
      const slope = splines.slope[at + e]!;
      const bend = splines.bend[at + e]!;
      return nx * (inDx * slope - (dy / p3) * bend) + ny * (inDy * slope + (dx / p3) * bend);
    });
    spread(
      speed,
      at,
      span[k]! - 1,
      PER_STATION,
      (e, nx, ny) => ((dx * nx + dy * ny) / p) * splines.slope[at + e]!,
    );
  }
  for (let i = 0; i < nodes; i++) {
    const cos = Math.max(LEAST_COS, mx[i]! * normalX[i]! + my[i]! * normalY[i]!);
    spread(
      offset,
      PER_PLACE * i,
      i - 1,
      PER_PLACE,
      (e, nx, ny) => (splines.place[PER_PLACE * i + e]! * (nx * mx[i]! + ny * my[i]!)) / cos,
    );
  }
  return { curvature, speed, offset };
}

type ValueOf = (e: number, normalX: number, normalY: number) => number;

/** A line never turns farther from the drawn one than this cosine. */
const LEAST_COS = 0.2;
