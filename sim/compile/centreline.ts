/**
 * The line a kart follows, as a curve over distance: from control points or from a list of stretches.
 *
 * In: validated points or stretches. Out: a `Centreline` that gives position, heading, curvature,
 * grade and ground at any distance, and the distances at which these jump. Points are joined by a
 * parametric cubic spline over chord length: curvature is continuous.
 */
import type { CubicSpline, SplinePoint } from '../numerics/cubic-spline.ts';
import { chordLengths, cubicSpline, evaluateSpline, splineSlope } from '../numerics/cubic-spline.ts';
import type { StretchSpec, TrackSpec } from '../project/schema.ts';

export interface GroundPoint {
  readonly x: number;
  readonly y: number;
  readonly height: number;
  readonly heading: number;
  /** Curvature of the plan view, 1/m, left positive */
  readonly planCurvature: number;
  /** Rise over horizontal run */
  readonly grade: number;
  /** d(slope angle)/ds, 1/m, positive in a hollow */
  readonly verticalCurvature: number;
  readonly bank: number;
  /** From the line to the edges */
  readonly left: number;
  readonly right: number;
  readonly surface: string;
  readonly speedLimit: number;
}

/** A `GroundPoint` to be filled in. */
export type WritableGround = { -readonly [K in keyof GroundPoint]: GroundPoint[K] };

export interface Centreline {
  /** Along the road, m */
  readonly length: number;
  readonly breaks: readonly number[];
  /** Distances at which curvature turns a corner without jumping: stations must lie on them */
  readonly knots: readonly number[];
  /**
   * Ground at distance s; `side` decides which value holds where something jumps. Written into `into` where one is
   * given: a caller that lays thousands of stations then makes no garbage.
   */
  at(s: number, side: 'before' | 'after', into?: WritableGround): GroundPoint;
}

export function emptyGround(): WritableGround {
  return {
    x: Number.NaN,
    y: Number.NaN,
    height: Number.NaN,
    heading: Number.NaN,
    planCurvature: Number.NaN,
    grade: Number.NaN,
    verticalCurvature: Number.NaN,
    bank: Number.NaN,
    left: Number.NaN,
    right: Number.NaN,
    surface: '',
    speedLimit: Number.POSITIVE_INFINITY,
  };
}

type TrackPoint = NonNullable<TrackSpec['points']>[number];

/** Five-point Gauss-Legendre rule on [-1, 1]. */
const GAUSS_NODES = [0, 0.5384693101056831, -0.5384693101056831, 0.906179845938664, -0.906179845938664];
const GAUSS_WEIGHTS = [
  128 / 225,
  0.47862867049936647,
  0.47862867049936647,
  0.23692688505618908,
  0.23692688505618908,
];
/** Parts each span is cut into for arc length: relative error below 1e-9 on demo tracks. */
const SPAN_PARTS = 16;

/** Curvature-continuous line through two or more different points (three when closed). */
export function splineCentreline(points: readonly TrackPoint[], spec: TrackSpec): Centreline {
  const ring = spec.closed ? [...points, points[0]!] : [...points];
  const chord = chordLengths(ring);
  const spline = (pickValue: (p: TrackPoint) => number): CubicSpline =>
    cubicSpline(chord, ring.map(pickValue), spec.closed);
  const curveX = spline((p) => p.x);
  const curveY = spline((p) => p.y);
  const heights = filled(
    ring.map((p) => p.height),
    chord,
    spec.closed,
    0,
  );
  const curveZ = heights.every((z) => z === heights[0])
    ? undefined
    : cubicSpline(chord, heights, spec.closed);
  const edge = (side: 'left' | 'right') =>
    filled(
      ring.map((p) => edgesOf(p)?.[side]),
      chord,
      spec.closed,
      edgesOf(spec)![side],
    );
  const lefts = edge('left');
  const rights = edge('right');
  const banks = filled(
    ring.map((p) => p.bank),
    chord,
    spec.closed,
    0,
  );
  const surfaces = carried(
    ring.map((p) => p.surface),
    spec.surface,
  );

  const curves: Curves = { x: curveX, y: curveY, z: curveZ };
  // Arc length and speed |dr/du| at the ends of SPAN_PARTS parts of every span.
  const parts = (chord.length - 1) * SPAN_PARTS;
  const partEnds = new Float64Array(parts + 1);
  const arc = new Float64Array(parts + 1);
  /** Just after the start and just before the end of each part: at a knot of an open end they are one span's. */
  const leaving = new Float64Array(parts);
  const arriving = new Float64Array(parts);
  for (let part = 0; part < parts; part++) {
    const span = Math.floor(part / SPAN_PARTS);
    const within = part % SPAN_PARTS;
    const [from, to] = [chord[span]!, chord[span + 1]!];
    const a = from + ((to - from) * within) / SPAN_PARTS;
    const b = within === SPAN_PARTS - 1 ? to : from + ((to - from) * (within + 1)) / SPAN_PARTS;
    partEnds[part + 1] = b;
    arc[part + 1] = arc[part]! + arcLength(curves, a, b, span);
    leaving[part] = speedAt(curves, a, span);
    arriving[part] = speedAt(curves, b, span);
  }
  const length = arc[parts]!;
  const knotArc = chord.map((_, i) => arc[i * SPAN_PARTS]!);
  const breaks = surfaces.flatMap((surface, i) =>
    i > 0 && i < surfaces.length - 1 && surface !== surfaces[i - 1] ? [knotArc[i]!] : [],
  );

  /** The parameter at distance s, which lies in `part`. */
  const parameterAt = (s: number, part: number): number => {
    const span = Math.floor(part / SPAN_PARTS);
    const a = partEnds[part]!;
    const b = partEnds[part + 1]!;
    const whole = arc[part + 1]! - arc[part]!;
    // The cubic of u over s with du/ds = 1/speed at both ends starts so near that one step of Newton is the rule.
    const t = (s - arc[part]!) / whole;
    const [out, home] = [whole / leaving[part]!, whole / arriving[part]!];
    const start = t * ((1 - t) * ((1 - t) * out - t * home) + t * (3 - 2 * t) * (b - a));
    let u = Math.min(b, Math.max(a, a + start));
    for (let i = 0; i < 8; i++) {
      const error = arc[part]! + arcLength(curves, a, u, span) - s;
      u = Math.min(b, Math.max(a, u - error / speedAt(curves, u, span)));
      // Newton squares the error: what is left after a step this small is rounding.
      if (Math.abs(error) < 1e-7 * length) break;
    }
    return u;
  };

  const px: SplinePoint = { value: Number.NaN, slope: Number.NaN, bend: Number.NaN, interval: 0 };
  const py: SplinePoint = { ...px };
  const pz: SplinePoint = { ...px };
  const nudge = 1e-6 * Math.max(1, length);
  return {
    length,
    breaks,
    knots: knotArc,
    at(s, side, into = emptyGround()) {
      const inside = Math.min(Math.max(s, 0), length);
      const part = upperIndex(arc, inside);
      const interval = Math.floor(part / SPAN_PARTS);
      const u = parameterAt(inside, part);
      evaluateSpline(curveX, u, interval, px);
      evaluateSpline(curveY, u, interval, py);
      const plan = Math.sqrt(px.slope * px.slope + py.slope * py.slope);
      into.height = heights[0]!;
      into.grade = 0;
      into.verticalCurvature = 0;
      if (curveZ !== undefined) {
        evaluateSpline(curveZ, u, interval, pz);
        const grade = pz.slope / plan;
        const planBend = (px.slope * px.bend + py.slope * py.bend) / plan;
        const gradeSlope = (pz.bend - grade * planBend) / plan;
        into.height = pz.value;
        into.grade = grade;
        // d(atan grade)/ds with ds = plan sqrt(1 + grade^2) du and gradeSlope = d(grade)/du
        into.verticalCurvature = gradeSlope / (plan * (1 + grade * grade) * Math.sqrt(1 + grade * grade));
      }
      const local = (u - chord[interval]!) / (chord[interval + 1]! - chord[interval]!);
      into.x = px.value;
      into.y = py.value;
      into.heading = Math.atan2(py.slope, px.slope);
      into.planCurvature = (px.slope * py.bend - py.slope * px.bend) / (plan * plan * plan);
      into.bank = mix(banks, interval, local);
      into.left = mix(lefts, interval, local);
      into.right = mix(rights, interval, local);
      into.surface = surfaces[ownerOf(knotArc, side === 'after' ? s + nudge : s - nudge)]!;
      into.speedLimit = Number.POSITIVE_INFINITY;
      return into;
    },
  };
}

/** Exact straights and arcs laid end to end from the origin along x. */
export function stretchCentreline(stretches: readonly StretchSpec[], spec: TrackSpec): Centreline {
  interface Piece {
    readonly from: number;
    readonly length: number;
    readonly x: number;
    readonly y: number;
    readonly height: number;
    readonly heading: number;
    readonly curvature: number;
    readonly cos: number;
    readonly stretch: StretchSpec;
  }
  const pieces: Piece[] = [];
  let from = 0;
  let x = 0;
  let y = 0;
  let height = 0;
  let heading = 0;
  for (const stretch of stretches) {
    const grade = stretch.grade ?? 0;
    const cos = 1 / Math.sqrt(1 + grade * grade);
    const curvature = 'turn' in stretch ? (stretch.turn === 'left' ? 1 : -1) / stretch.radius : 0;
    const plan = 'turn' in stretch ? stretch.radius * stretch.angle : stretch.straight * cos;
    const length = plan / cos;
    if (length > 0) pieces.push({ from, length, x, y, height, heading, curvature, cos, stretch });
    const end = along({ x, y, heading, curvature }, plan);
    x = end.x;
    y = end.y;
    heading = end.heading;
    height += plan * grade;
    from += length;
  }
  const length = from;
  const starts = pieces.map((p) => p.from);
  const ownEdges = edgesOf(spec)!;
  return {
    length,
    breaks: starts.slice(1),
    knots: [],
    at(s, side, into = emptyGround()) {
      const nudge = 1e-6 * Math.max(1, length);
      const piece = pieces[ownerOf(starts, side === 'after' ? s + nudge : s - nudge)]!;
      const plan = (Math.min(Math.max(s, 0), length) - piece.from) * piece.cos;
      const end = along(piece, plan);
      const { stretch } = piece;
      const grade = stretch.grade ?? 0;
      const edges = edgesOf(stretch) ?? ownEdges;
      into.x = end.x;
      into.y = end.y;
      into.heading = end.heading;
      into.height = piece.height + plan * grade;
      into.planCurvature = piece.curvature;
      into.grade = grade;
      into.verticalCurvature = 0;
      into.bank = stretch.bank ?? 0;
      into.left = edges.left;
      into.right = edges.right;
      into.surface = stretch.surface ?? spec.surface;
      into.speedLimit = stretch.speedLimit ?? Number.POSITIVE_INFINITY;
      return into;
    },
  };
}

/** What a builder may say of width, wherever it is laid. */
export interface Widths {
  readonly width?: number;
  readonly widthLeft?: number;
  readonly widthRight?: number;
}

/** Distances from the drawn line to the edges; undefined where nothing is said. An edge not given takes what is left. */
export function edgesOf({
  width,
  widthLeft,
  widthRight,
}: Widths): { left: number; right: number } | undefined {
  if (widthLeft !== undefined && widthRight !== undefined) return { left: widthLeft, right: widthRight };
  if (widthLeft !== undefined)
    return { left: widthLeft, right: width === undefined ? widthLeft : Math.max(0, width - widthLeft) };
  if (widthRight !== undefined)
    return { left: width === undefined ? widthRight : Math.max(0, width - widthRight), right: widthRight };
  return width === undefined ? undefined : { left: width / 2, right: width / 2 };
}

/** Position and heading after a plan distance on a line or arc. */
function along(
  start: { readonly x: number; readonly y: number; readonly heading: number; readonly curvature: number },
  plan: number,
): { x: number; y: number; heading: number } {
  const { x, y, heading, curvature } = start;
  if (curvature === 0) return { x: x + plan * Math.cos(heading), y: y + plan * Math.sin(heading), heading };
  const end = heading + curvature * plan;
  return {
    x: x + (Math.sin(end) - Math.sin(heading)) / curvature,
    y: y - (Math.cos(end) - Math.cos(heading)) / curvature,
    heading: end,
  };
}

interface Curves {
  readonly x: CubicSpline;
  readonly y: CubicSpline;
  /** Undefined where the ground is level. */
  readonly z: CubicSpline | undefined;
}

/** |dr/du| at u in a known span, m of road per unit of u. */
function speedAt({ x, y, z }: Curves, u: number, span: number): number {
  const dx = splineSlope(x, u, span);
  const dy = splineSlope(y, u, span);
  const dz = z === undefined ? 0 : splineSlope(z, u, span);
  return Math.sqrt(dx * dx + dy * dy + dz * dz);
}

/** Of the road from a to b, both in one span, m. */
function arcLength(curves: Curves, a: number, b: number, span: number): number {
  const half = (b - a) / 2;
  const middle = (a + b) / 2;
  let sum = 0;
  for (let i = 0; i < GAUSS_NODES.length; i++)
    sum += GAUSS_WEIGHTS[i]! * speedAt(curves, middle + half * GAUSS_NODES[i]!, span);
  return sum * half;
}

/** Between the ends of an interval, by the share of it gone through. */
function mix(values: readonly number[], interval: number, share: number): number {
  return values[interval]! + (values[interval + 1]! - values[interval]!) * share;
}

/** Index i with table[i] <= s < table[i+1], within the table. */
function upperIndex(table: ArrayLike<number>, s: number): number {
  let low = 0;
  let high = table.length - 2;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (table[middle]! <= s) low = middle;
    else high = middle - 1;
  }
  return low;
}

function ownerOf(starts: readonly number[], s: number): number {
  let low = 0;
  let high = starts.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (starts[middle]! <= s) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** Fills gaps between given values linearly along the chord, round the lap when closed. */
function filled(
  values: readonly (number | undefined)[],
  chord: readonly number[],
  closed: boolean,
  fallback: number,
): number[] {
  const known = values.flatMap((value, i) => (value === undefined ? [] : [{ at: chord[i]!, value }]));
  if (known.length === 0) return values.map(() => fallback);
  const total = chord.at(-1)!;
  const first = known[0]!;
  const last = known.at(-1)!;
  const ring = closed
    ? [{ at: last.at - total, value: last.value }, ...known, { at: first.at + total, value: first.value }]
    : known;
  return values.map((value, i) => {
    if (value !== undefined) return value;
    const at = chord[i]!;
    const after = ring.find((k) => k.at >= at) ?? ring.at(-1)!;
    const before = ring.findLast((k) => k.at <= at) ?? ring[0]!;
    if (after.at === before.at) return after.value;
    return before.value + ((after.value - before.value) * (at - before.at)) / (after.at - before.at);
  });
}

/** Each point's surface: its own, or that of the point before it. */
function carried(values: readonly (string | undefined)[], fallback: string): string[] {
  let current = fallback;
  return values.map((value) => {
    current = value ?? current;
    return current;
  });
}
