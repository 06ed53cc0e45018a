/**
 * The frame in which lines across a track are described: nodes along the drawn line, and how far a line may leave it.
 *
 * In: a surveyed track. Out: nodes (position, normal, edges) and, for a spacing, the stations between them with the
 * ground of the drawn line. A line is one offset a node, left positive; its curve is the cubic spline through the
 * offset nodes, so that its curvature is continuous whatever the offsets. Knows nothing of karts.
 */
import { type SplineOperator, splineOperator } from '../numerics/spline-operator.ts';
import type { Survey } from './track.ts';
import { groundAt } from './track.ts';

export interface LineFrame {
  readonly survey: Survey;
  readonly closed: boolean;
  /** Nodes; on a closed track the last is followed by the first */
  readonly count: number;
  /** Distance along the drawn line, m; one more than nodes where closed */
  readonly distance: Float64Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly normalX: Float64Array;
  readonly normalY: Float64Array;
  readonly left: Float64Array;
  readonly right: Float64Array;
  /** Of the drawn line in plan, 1/m */
  readonly curvature: Float64Array;
  readonly spline: SplineOperator;
}

/** Stations of a frame at one spacing, with the ground of the drawn line: made once, used by every line. */
export interface FrameStations {
  readonly frame: LineFrame;
  readonly count: number;
  /** Span of nodes, and share of it gone through */
  readonly span: Int32Array;
  readonly share: Float64Array;
  /** From this station to the next, as a difference of drawn distance; 0 where the ground jumps and at the end */
  readonly apart: Float64Array;
  readonly distance: Float64Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly height: Float64Array;
  readonly cosHeading: Float64Array;
  readonly sinHeading: Float64Array;
  readonly planCurvature: Float64Array;
  readonly grade: Float64Array;
  readonly verticalCurvature: Float64Array;
  /** Tangent of the bank, and its change over plan distance */
  readonly cross: Float64Array;
  readonly crossRate: Float64Array;
  readonly left: Float64Array;
  readonly right: Float64Array;
  readonly surface: Uint8Array;
  readonly speedLimit: Float64Array;
  readonly surfaces: readonly string[];
}

/** Nodes lie about this far apart, m: a kart's tightest bend is some three of these long. */
export const NODE_SPACING = 2.5;
/** Longer tracks have wider spaced nodes, so that their number stays bounded. */
const MOST_NODES = 2000;
const LEAST_NODES = 6;

export function lineFrame(survey: Survey, nodeSpacing = NODE_SPACING): LineFrame {
  return frameAt(survey, evenNodes(survey, nodeSpacing));
}

/** Node distances: about evenly apart, and on every jump of the ground. */
function evenNodes({ line, breaks }: Survey, nodeSpacing: number): number[] {
  const apart = Math.max(line.length / MOST_NODES, Math.min(nodeSpacing, line.length / LEAST_NODES));
  const at: number[] = [0];
  for (let cell = 0; cell + 1 < breaks.length; cell++) {
    const from = breaks[cell]!;
    const to = breaks[cell + 1]!;
    const parts = Math.max(1, Math.round((to - from) / apart));
    for (let part = 1; part <= parts; part++)
      at.push(part === parts ? to : from + ((to - from) * part) / parts);
  }
  return at;
}

/** A frame with its nodes at given distances, such as those of a line kept in a file. */
export function frameAt(survey: Survey, at: ArrayLike<number>): LineFrame {
  const { line, spec } = survey;
  const count = spec.closed ? at.length - 1 : at.length;
  const column = () => new Float64Array(count);
  const curvature = column();
  const [x, y, normalX, normalY, left, right] = [column(), column(), column(), column(), column(), column()];
  for (let i = 0; i < count; i++) {
    const s = at[i]!;
    const ahead = i + 1 < at.length ? at[i + 1]! : s;
    const behind = i > 0 ? at[i - 1]! : spec.closed ? at[count - 1]! - line.length : s;
    const after = groundAt(survey, s, ahead > s ? 'after' : 'before', (s + ahead) / 2);
    const middleBehind = (s + behind) / 2;
    const before =
      behind === s
        ? after
        : s > 0
          ? groundAt(survey, s, 'before', middleBehind)
          : groundAt(survey, line.length, 'before', middleBehind + line.length);
    x[i] = after.x;
    y[i] = after.y;
    normalX[i] = -Math.sin(after.heading);
    normalY[i] = Math.cos(after.heading);
    curvature[i] = after.planCurvature;
    left[i] = Math.min(before.left, after.left);
    right[i] = Math.min(before.right, after.right);
  }
  return {
    survey,
    closed: spec.closed,
    count,
    distance: Float64Array.from(at),
    x,
    y,
    normalX,
    normalY,
    left,
    right,
    curvature,
    spline: splineOperator(at, spec.closed),
  };
}

export function frameStations(frame: LineFrame, spacing: number): FrameStations {
  const { survey, distance: nodes } = frame;
  const jumps = new Set(survey.breaks.slice(1, -1));
  const spans = nodes.length - 1;
  const places: { span: number; share: number; side: 'before' | 'after'; apart: number }[] = [];
  for (let span = 0; span < spans; span++) {
    const h = nodes[span + 1]! - nodes[span]!;
    const steps = Math.max(1, Math.ceil(h / spacing - 1e-9));
    for (let step = 0; step < steps; step++)
      places.push({ span, share: step / steps, side: 'after', apart: h / steps });
    if (span === spans - 1 || jumps.has(nodes[span + 1]!))
      places.push({ span, share: 1, side: 'before', apart: 0 });
  }
  const count = places.length;
  const column = () => new Float64Array(count);
  const surfaces: string[] = [];
  const out = {
    span: new Int32Array(count),
    share: column(),
    apart: column(),
    distance: column(),
    x: column(),
    y: column(),
    height: column(),
    cosHeading: column(),
    sinHeading: column(),
    planCurvature: column(),
    grade: column(),
    verticalCurvature: column(),
    cross: column(),
    crossRate: column(),
    left: column(),
    right: column(),
    surface: new Uint8Array(count),
    speedLimit: column(),
  };
  for (const [i, { span, share, side, apart }] of places.entries()) {
    const from = nodes[span]!;
    const to = nodes[span + 1]!;
    const s = share === 1 ? to : from + share * (to - from);
    const ground = groundAt(survey, s, side, (from + to) / 2);
    out.span[i] = span;
    out.share[i] = share;
    out.apart[i] = apart;
    out.distance[i] = s;
    out.x[i] = ground.x;
    out.y[i] = ground.y;
    out.height[i] = ground.height;
    out.cosHeading[i] = Math.cos(ground.heading);
    out.sinHeading[i] = Math.sin(ground.heading);
    out.planCurvature[i] = ground.planCurvature;
    out.grade[i] = ground.grade;
    out.verticalCurvature[i] = ground.verticalCurvature;
    out.cross[i] = Math.tan(ground.bank);
    out.left[i] = ground.left;
    out.right[i] = ground.right;
    const known = surfaces.indexOf(ground.surface);
    out.surface[i] = known >= 0 ? known : surfaces.push(ground.surface) - 1;
    out.speedLimit[i] = ground.speedLimit;
  }
  // Within a span the bank runs evenly between its ends.
  for (let i = 0; i < count; i++) {
    const other = out.apart[i]! > 0 ? i + 1 : i - 1;
    const run = out.distance[other]! - out.distance[i]!;
    const plan = run / Math.sqrt(1 + out.grade[i]! ** 2);
    out.crossRate[i] = run === 0 ? 0 : (out.cross[other]! - out.cross[i]!) / plan;
  }
  return { frame, count, ...out, surfaces };
}
