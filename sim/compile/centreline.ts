/**
 * The line a kart follows, as a curve over distance: from control points or from a list of stretches.
 *
 * In: validated points or stretches. Out: a `Centreline` that gives position, heading, curvature,
 * grade and ground at any distance, and the distances at which these jump. Points are joined by a
 * parametric cubic spline over chord length: curvature is continuous.
 */
import type { CubicSpline } from '../numerics/cubic-spline.ts';
import { cubicSpline, evaluateSpline, splineSlope } from '../numerics/cubic-spline.ts';
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

export interface Centreline {
  /** Along the road, m */
  readonly length: number;
  readonly breaks: readonly number[];
  /** Distances at which curvature turns a corner without jumping: stations must lie on them */
  readonly knots: readonly number[];
  /** Ground at distance s; `side` decides which value holds where something jumps. */
  at(s: number, side: 'before' | 'after'): GroundPoint;
}

type TrackPoint = NonNullable<TrackSpec['points']>[number];

/** Five-point Gauss-Legendre rule on [-1, 1]. */
const GAUSS = [
  [0, 128 / 225],
  [0.5384693101056831, 0.47862867049936647],
  [-0.5384693101056831, 0.47862867049936647],
  [0.906179845938664, 0.23692688505618908],
  [-0.906179845938664, 0.23692688505618908],
] as const;
/** Parts each span is cut into for arc length: relative error below 1e-9 on demo tracks. */
const SPAN_PARTS = 16;

/** Curvature-continuous line through two or more different points (three when closed). */
export function splineCentreline(points: readonly TrackPoint[], spec: TrackSpec): Centreline {
  const ring = spec.closed ? [...points, points[0]!] : [...points];
  const chord: number[] = [0];
  for (let i = 1; i < ring.length; i++) {
    chord.push(chord[i - 1]! + Math.hypot(ring[i]!.x - ring[i - 1]!.x, ring[i]!.y - ring[i - 1]!.y));
  }
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

  const speedAt = (u: number, interval: number): number => {
    const dx = splineSlope(curveX, u, interval);
    const dy = splineSlope(curveY, u, interval);
    const dz = curveZ === undefined ? 0 : splineSlope(curveZ, u, interval);
    return Math.sqrt(dx * dx + dy * dy + dz * dz);
  };
  // Arc length at the ends of SPAN_PARTS parts of every span.
  const partEnds: number[] = [0];
  const arc: number[] = [0];
  for (let i = 0; i + 1 < chord.length; i++) {
    for (let part = 0; part < SPAN_PARTS; part++) {
      const a = chord[i]! + ((chord[i + 1]! - chord[i]!) * part) / SPAN_PARTS;
      const b =
        part === SPAN_PARTS - 1
          ? chord[i + 1]!
          : chord[i]! + ((chord[i + 1]! - chord[i]!) * (part + 1)) / SPAN_PARTS;
      partEnds.push(b);
      arc.push(arc.at(-1)! + arcLength(speedAt, a, b, i));
    }
  }
  const length = arc.at(-1)!;
  const knotArc = chord.map((_, i) => arc[i * SPAN_PARTS]!);
  const breaks = surfaces.flatMap((surface, i) =>
    i > 0 && i < surfaces.length - 1 && surface !== surfaces[i - 1] ? [knotArc[i]!] : [],
  );

  const parameterAt = (s: number): { u: number; interval: number } => {
    const part = upperIndex(arc, s);
    const a = partEnds[part]!;
    const b = partEnds[part + 1]!;
    const interval = Math.min(Math.floor(part / SPAN_PARTS), chord.length - 2);
    let u = a + ((b - a) * (s - arc[part]!)) / (arc[part + 1]! - arc[part]!);
    for (let i = 0; i < 8; i++) {
      const error = arc[part]! + arcLength(speedAt, a, u, interval) - s;
      const next = Math.min(b, Math.max(a, u - error / speedAt(u, interval)));
      u = next;
      // Newton squares the error: what is left after a step this small is rounding.
      if (Math.abs(error) < 1e-7 * length) break;
    }
    return { u, interval };
  };

  return {
    length,
    breaks,
    knots: knotArc,
    at(s, side) {
      const { u, interval } = parameterAt(Math.min(Math.max(s, 0), length));
      const px = evaluateSpline(curveX, u, interval);
      const py = evaluateSpline(curveY, u, interval);
      const plan = Math.hypot(px.slope, py.slope);
      let height = heights[0]!;
      let grade = 0;
      let verticalCurvature = 0;
      if (curveZ !== undefined) {
        const pz = evaluateSpline(curveZ, u, interval);
        height = pz.value;
        grade = pz.slope / plan;
        const planBend = (px.slope * px.bend + py.slope * py.bend) / plan;
        const gradeSlope = (pz.bend - grade * planBend) / plan;
        // d(atan grade)/ds with ds = plan sqrt(1 + grade^2) du and gradeSlope = d(grade)/du
        verticalCurvature = gradeSlope / (plan * (1 + grade * grade) * Math.sqrt(1 + grade * grade));
      }
      const local = (u - chord[interval]!) / (chord[interval + 1]! - chord[interval]!);
      const mix = (values: readonly number[]) =>
        values[interval]! + (values[interval + 1]! - values[interval]!) * local;
      const nudge = 1e-6 * Math.max(1, length);
      const owner = ownerOf(knotArc, side === 'after' ? s + nudge : s - nudge);
      return {
        x: px.value,
        y: py.value,
        height,
        heading: Math.atan2(py.slope, px.slope),
        planCurvature: (px.slope * py.bend - py.slope * px.bend) / (plan * plan * plan),
        grade,
        verticalCurvature,
        bank: mix(banks),
        left: mix(lefts),
        right: mix(rights),
        surface: surfaces[owner]!,
        speedLimit: Number.POSITIVE_INFINITY,
      };
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
  return {
    length,
    breaks: starts.slice(1),
    knots: [],
    at(s, side) {
      const nudge = 1e-6 * Math.max(1, length);
      const piece = pieces[ownerOf(starts, side === 'after' ? s + nudge : s - nudge)]!;
      const plan = (Math.min(Math.max(s, 0), length) - piece.from) * piece.cos;
      const end = along(piece, plan);
      const grade = piece.stretch.grade ?? 0;
      return {
        // Named one by one: a spread here costs ten times the rest.
        x: end.x,
        y: end.y,
        heading: end.heading,
        height: piece.height + plan * grade,
        planCurvature: piece.curvature,
        grade,
        verticalCurvature: 0,
        bank: piece.stretch.bank ?? 0,
        ...(edgesOf(piece.stretch) ?? edgesOf(spec)!),
        surface: piece.stretch.surface ?? spec.surface,
        speedLimit: piece.stretch.speedLimit ?? Number.POSITIVE_INFINITY,
      };
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

function arcLength(speedAt: (u: number, hint: number) => number, a: number, b: number, hint: number): number {
  const half = (b - a) / 2;
  const middle = (a + b) / 2;
  let sum = 0;
  for (const [node, weight] of GAUSS) sum += weight * speedAt(middle + half * node, hint);
  return sum * half;
}

/** Index i with table[i] <= s < table[i+1], within the table. */
function upperIndex(table: readonly number[], s: number): number {
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
