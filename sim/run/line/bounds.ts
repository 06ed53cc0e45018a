/**
 * How far a line may leave the drawn one: inside the edges by half the kart's width and a margin, at every station.
 *
 * In: a frame, the kart's width, a margin. Out: bounds by node; and bounds drawn in where a curve between two nodes
 * goes over though neither node does (a straight part of a line cuts the inside of a bend by h^2/8 of its curvature).
 */
import type { FrameStations, LineFrame } from '../../compile/line-frame.ts';
import type { LineTrack } from '../../compile/line-track.ts';

export interface Bounds {
  readonly low: Float64Array;
  readonly high: Float64Array;
}

/** A line is inside when no station lies farther out than this, m: a tape on dirt reads no finer. */
export const OVER = 0.005;

/**
 * Bounds by node. `between`: drawn in on the inside of bends by the h^2/8 of the edge's curvature that a line between two
 * nodes may cut, for nodes so far apart that this counts.
 */
export function boundsOf(frame: LineFrame, kartWidth: number, margin: number, between = false): Bounds {
  const keep = kartWidth / 2 + margin;
  const low = frame.right.map((right) => keep - right);
  const high = frame.left.map((left) => left - keep);
  if (between) {
    const cutHigh = new Float64Array(frame.count);
    const cutLow = new Float64Array(frame.count);
    for (let i = 0; i < frame.count; i++) {
      const kappa = frame.curvature[i]!;
      if (kappa === 0) continue;
      const h = frame.spline.h[Math.min(i, frame.spline.h.length - 1)]!;
      const edge = kappa > 0 ? high[i]! : low[i]!;
      const radius = Math.max(LEAST_RADIUS, Math.abs(1 / kappa) - Math.abs(edge));
      const cut = Math.min(Math.max(0, high[i]! - low[i]!) / 4, (h * h) / 8 / radius);
      if (kappa > 0) cutHigh[i] = cut;
      else cutLow[i] = cut;
    }
    const easedHigh = eased(cutHigh, frame.closed);
    const easedLow = eased(cutLow, frame.closed);
    for (let i = 0; i < frame.count; i++) {
      high[i] = high[i]! - easedHigh[i]!;
      low[i] = low[i]! + easedLow[i]!;
    }
  }
  closeCrossed(low, high);
  return { low, high };
}

/** Where no room is left between two bounds, both go to their middle. */
function closeCrossed(low: Float64Array, high: Float64Array): void {
  for (let i = 0; i < low.length; i++) {
    if (low[i]! > high[i]!) {
      const middle = (low[i]! + high[i]!) / 2;
      low[i] = middle;
      high[i] = middle;
    }
  }
}

export function within(bounds: Bounds, offsets: ArrayLike<number>): Float64Array {
  return Float64Array.from({ length: offsets.length }, (_, i) =>
    Math.min(Math.max(offsets[i]!, bounds.low[i]!), bounds.high[i]!),
  );
}

/** Bounds drawn in by what a line goes over between nodes; undefined where it does not. */
export function drawnIn(
  bounds: Bounds,
  stations: FrameStations,
  track: LineTrack,
  kartWidth: number,
  margin: number,
): Bounds | undefined {
  const { frame, count, span } = stations;
  const keep = kartWidth / 2 + margin;
  const over = new Float64Array(frame.count);
  const under = new Float64Array(frame.count);
  let any = false;
  for (let i = 0; i < count; i++) {
    const n = track.offset[i]!;
    const high = stations.left[i]! - keep;
    const low = keep - stations.right[i]!;
    if (low > high) continue;
    const beyond = n > high ? n - high : n < low ? n - low : 0;
    if (Math.abs(beyond) <= OVER) continue;
    any = true;
    const i0 = span[i]!;
    const i1 = i0 + 1 < frame.count ? i0 + 1 : frame.closed ? 0 : i0;
    for (const node of [i0, i1]) {
      if (beyond > 0) over[node] = Math.max(over[node]!, beyond);
      else under[node] = Math.max(under[node]!, -beyond);
    }
  }
  if (!any) return undefined;
  const cutHigh = eased(over, frame.closed);
  const cutLow = eased(under, frame.closed);
  const high = bounds.high.map((b, i) => Math.max(bounds.low[i]!, b - cutHigh[i]!));
  const low = bounds.low.map((b, i) => Math.min(bounds.high[i]!, b + cutLow[i]!));
  closeCrossed(low, high);
  return { low, high };
}

/** m */
const LEAST_RADIUS = 2;

/** What is cut from a bound runs out over the next nodes, so that no line has to bend sharply for it. */
function eased(cut: Float64Array, closed: boolean): Float64Array {
  const n = cut.length;
  return cut.map((_, i) => {
    let most = 0;
    for (let d = -EASE; d <= EASE; d++) {
      const j = closed ? (i + d + n) % n : i + d;
      const here = cut[j] ?? 0;
      if (here > 0) most = Math.max(most, here * (1 - Math.abs(d) / (EASE + 1)));
    }
    return most;
  });
}

const EASE = 3;
