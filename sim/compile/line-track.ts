/**
 * A line across a track, compiled: stations along the line with the ground that lies under it.
 *
 * In: stations of a frame and one offset a node. Out: a `CompiledTrack` along the line - its own length, curvature,
 * grade and bank - with the drawn distance and the offset of every station. The surface at a drawn distance reaches
 * across the whole width. With n the offset, delta the angle between line and drawn line, kappa_r the drawn curvature,
 * t the tangent of the bank and ' along the drawn line:
 *   slope along the drawn line  g_T = (g + n t')/(1 - n kappa_r)
 *   grade  g_T cos delta + t sin delta,   cross slope  t cos delta - g_T sin delta,   height  z + n t
 * and the vertical curvature is the change of that grade along the line.
 */
import { GROUND_STRIDE } from '../physics/grip/place.ts';
import type { FrameStations } from './line-frame.ts';
import type { CompiledTrack } from './track.ts';

export interface LineTrack extends CompiledTrack {
  /** Drawn distance of each station, m */
  readonly along: Float64Array;
  /** To the left of the drawn line, m */
  readonly offset: Float64Array;
}

/** Slopes of the plan curve in the drawn distance, for those who ask how a line's shape answers its offsets. */
export interface LineShape {
  readonly dx: Float64Array;
  readonly dy: Float64Array;
  readonly ddx: Float64Array;
  readonly ddy: Float64Array;
}

/** The drawn line and a line may not come closer to the centre of the bend than this share of its radius. */
const CLOSEST = 0.05;

export function lineTrack(
  stations: FrameStations,
  offsets: ArrayLike<number>,
): { track: LineTrack; shape: LineShape } {
  const { frame, count, span, share } = stations;
  const { spline, closed } = frame;
  const nodes = frame.count;
  const px = new Float64Array(nodes);
  const py = new Float64Array(nodes);
  for (let i = 0; i < nodes; i++) {
    px[i] = frame.x[i]! + offsets[i]! * frame.normalX[i]!;
    py[i] = frame.y[i]! + offsets[i]! * frame.normalY[i]!;
  }
  const mx = spline.bends(px);
  const my = spline.bends(py);
  const column = () => new Float64Array(count);
  const shape = { dx: column(), dy: column(), ddx: column(), ddy: column() };
  const track = {
    distance: column(),
    x: column(),
    y: column(),
    height: column(),
    heading: column(),
    curvature: column(),
    sinGrade: column(),
    bank: column(),
    width: column(),
    left: column(),
    right: column(),
    lateralV: column(),
    lateralG: column(),
    normalV: column(),
    normalG: column(),
    ground: new Float64Array(GROUND_STRIDE * count),
    step: column(),
    offset: column(),
  };
  let tightest = { radius: Number.POSITIVE_INFINITY, distance: 0 };
  let narrowest = { width: Number.POSITIVE_INFINITY, distance: 0 };
  let lastSpeed = 0;
  let lastChange = 0;
  let lastRoad = 1;
  let s = 0;
  for (let i = 0; i < count; i++) {
    const i0 = span[i]!;
    const i1 = closed && i0 + 1 === nodes ? 0 : i0 + 1;
    const h = spline.h[i0]!;
    const b = share[i]!;
    const a = 1 - b;
    const ca = (a * a * a - a) * ((h * h) / 6);
    const cb = (b * b * b - b) * ((h * h) / 6);
    const sa = (-(3 * a * a - 1) * h) / 6;
    const sb = ((3 * b * b - 1) * h) / 6;
    const x = a * px[i0]! + b * px[i1]! + ca * mx[i0]! + cb * mx[i1]!;
    const y = a * py[i0]! + b * py[i1]! + ca * my[i0]! + cb * my[i1]!;
    const dx = (px[i1]! - px[i0]!) / h + sa * mx[i0]! + sb * mx[i1]!;
    const dy = (py[i1]! - py[i0]!) / h + sa * my[i0]! + sb * my[i1]!;
    const ddx = a * mx[i0]! + b * mx[i1]!;
    const ddy = a * my[i0]! + b * my[i1]!;
    const speed = Math.sqrt(dx * dx + dy * dy);
    const plan = (dx * ddy - dy * ddx) / (speed * speed * speed);
    const cosRoad = stations.cosHeading[i]!;
    const sinRoad = stations.sinHeading[i]!;
    const tx = dx / speed;
    const ty = dy / speed;
    const cosDelta = cosRoad * tx + sinRoad * ty;
    const sinDelta = cosRoad * ty - sinRoad * tx;
    const n = cosRoad * (y - stations.y[i]!) - sinRoad * (x - stations.x[i]!);
    const drawn = stations.planCurvature[i]!;
    const t = stations.cross[i]!;
    const tRate = stations.crossRate[i]!;
    const g = stations.grade[i]!;
    const shrink = 1 / Math.max(CLOSEST, 1 - n * drawn);
    const along = (g + n * tRate) * shrink;
    const grade = along * cosDelta + t * sinDelta;
    const cross = t * cosDelta - along * sinDelta;
    // Of the drawn line, with the slope of the angle undone: z'' over plan distance.
    const vertical = stations.verticalCurvature[i]! * (1 + g * g) ** 1.5;
    const turning = plan - drawn * cosDelta * shrink;
    const bend =
      vertical * shrink * shrink * cosDelta * cosDelta +
      tRate * shrink * cosDelta * sinDelta +
      cross * turning;
    const road = Math.sqrt(1 + grade * grade);
    const cos = 1 / road;
    const sin = grade * cos;
    const kappa = plan * cos * cos;
    const hollow = bend * cos * cos * cos;
    const cosBank = 1 / Math.sqrt(1 + cross * cross);
    const sinBank = cross * cosBank;
    const change = (dx * ddx + dy * ddy) / speed;
    if (i > 0) {
      const apart = stations.apart[i - 1]!;
      if (apart > 0) {
        // Trapezoid with its end correction: fourth order.
        const run = (apart / 2) * (lastSpeed + speed) + ((apart * apart) / 12) * (lastChange - change);
        const step = (run * (lastRoad + road)) / 2;
        track.step[i - 1] = step;
        s += step;
      }
    }
    lastSpeed = speed;
    lastChange = change;
    lastRoad = road;
    track.distance[i] = s;
    track.x[i] = x;
    track.y[i] = y;
    track.height[i] = stations.height[i]! + n * t;
    track.heading[i] = Math.atan2(dy, dx);
    track.curvature[i] = kappa;
    track.sinGrade[i] = sin;
    track.bank[i] = Math.atan(cross);
    track.left[i] = stations.left[i]! - n;
    track.right[i] = stations.right[i]! + n;
    const width = stations.left[i]! + stations.right[i]!;
    track.width[i] = width;
    const lateralV = kappa * cosBank + hollow * sinBank;
    const normalV = hollow * cosBank - kappa * sinBank;
    const o = GROUND_STRIDE * i;
    track.lateralV[i] = lateralV;
    track.lateralG[i] = cos * sinBank;
    track.normalV[i] = normalV;
    track.normalG[i] = cos * cosBank;
    track.ground[o] = lateralV;
    track.ground[o + 1] = cos * sinBank;
    track.ground[o + 2] = normalV;
    track.ground[o + 3] = cos * cosBank;
    track.ground[o + 4] = sin;
    track.offset[i] = n;
    shape.dx[i] = dx;
    shape.dy[i] = dy;
    shape.ddx[i] = ddx;
    shape.ddy[i] = ddy;
    const radius = plan === 0 ? Number.POSITIVE_INFINITY : 1 / Math.abs(plan);
    if (radius < tightest.radius) tightest = { radius, distance: s };
    if (width < narrowest.width) narrowest = { width, distance: s };
  }
  const { survey } = frame;
  return {
    shape,
    track: {
      name: survey.spec.name,
      closed,
      length: s,
      count,
      ...track,
      along: stations.distance,
      surface: stations.surface,
      speedLimit: stations.speedLimit,
      surfaces: stations.surfaces,
      startSpeed: survey.spec.startSpeed,
      tightest,
      narrowest,
      closure: { gap: 0, turn: 0 },
    },
  };
}
