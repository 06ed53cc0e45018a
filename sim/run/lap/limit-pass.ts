/**
 * The greatest speed at which the kart passes each station of a track, and what sets it.
 *
 * In: grip and ground of a kart on a track. Out: v^2 by station from lateral equilibrium of both axles while holding
 * speed - or, where that asks too much of the driven tyres, while passing on momentum - capped by the limiter of the top gear and posted speeds. Knows nothing of what lies before or after.
 */
import type { CompiledTrack } from '../../compile/track.ts';
import { CONSTRAINT } from '../../physics/grip/grip-inputs.ts';
import { passWithoutEngine } from '../../physics/grip/hold.ts';
import type { Instant } from '../../physics/grip/instant.ts';
import { GROUND_STRIDE, placeOn } from '../../physics/grip/place.ts';
import { LIMIT } from '../limit.ts';

export interface SpeedLimits {
  /** v^2, m2/s2 */
  readonly most: Float64Array;
  /** Index into LIMITS */
  readonly limit: Uint8Array;
  /** Station of the lowest speed */
  readonly slowest: number;
  /** First station that no speed holds; -1 where there is none */
  readonly failedAt: number;
}

export interface LimitInput {
  readonly track: CompiledTrack;
  readonly instants: readonly Instant[];
  readonly mass: number;
  readonly gravity: number;
  /** Of the top gear, m/s */
  readonly limitSpeed: number;
}

/** Without a limiter in reach, speeds above this are not looked at, m/s. */
const SPEED_CEILING = 150;
/** The search stops at this excess, N: v^2 to one part in 1e8 for the kart of the class. */
const SIDE_TOLERANCE = 3e-5;
/** A track that must be taken slower than 1 cm/s cannot be driven, m2/s2. */
const CRAWL_SQUARED = 1e-4;

export function limitPass({ track, instants, mass, gravity, limitSpeed }: LimitInput): SpeedLimits {
  const { count: n, ground, lateralV, lateralG, surface, speedLimit } = track;
  const limitTop = Math.min(limitSpeed, SPEED_CEILING);
  const most = new Float64Array(n);
  const limit = new Uint8Array(n);
  /** An excess small against the weight, N */
  const nearby = 1e-3 * mass * gravity;
  let failedAt = -1;
  let known = -1;
  let knownSlope = 0;
  /** d(y |lateralV|)/dy over the last two stations */
  let sideSlope = 0;
  for (let i = 0; i < n; i++) {
    const g = instants[surface[i]!]!;
    const o = GROUND_STRIDE * i;
    const posted = speedLimit[i]!;
    const cap = Math.min(limitTop, posted);
    const capSquared = cap * cap;
    const slant = lateralV[i]!;
    const capLimit = posted < limitTop ? LIMIT.postedSpeed : LIMIT.revLimiter;
    // From the stations before: y times curvature changes little, and nearly linearly with y.
    let guess =
      known >= 0 && slant !== 0
        ? (most[known]! * (Math.abs(lateralV[known]!) - sideSlope)) / (Math.abs(slant) - sideSlope)
        : Number.POSITIVE_INFINITY;
    if (!(guess < capSquared)) {
      if (excessAt(g, ground, o, capSquared) <= 0) {
        most[i] = capSquared;
        limit[i] = capLimit;
        known = -1;
        continue;
      }
      guess = capSquared / 2;
      knownSlope = 0;
    } else knownSlope *= Math.abs(slant / lateralV[known]!);
    // Speed at which a helping bank needs no side force; the band of possible speeds holds it.
    let low = Math.min(slant * lateralG[i]! < 0 ? (-lateralG[i]! * gravity) / slant : 0, capSquared);
    let high = capSquared;
    let lowTried = false;
    let y = guess;
    let lastY = Number.NaN;
    let lastExcess = 0;
    let excess = 0;
    let slope = knownSlope;
    for (let iteration = 0; iteration < 80; iteration++) {
      if (!(y > low && y < high)) {
        if (y <= low && !lowTried) {
          lowTried = true;
          if (excessAt(g, ground, o, low) > SIDE_TOLERANCE) {
            // Too fast for the air or over a crest; slower, the grip may hold the bank's own side force.
            if (!(low > CRAWL_SQUARED) || excessAt(g, ground, o, CRAWL_SQUARED) > SIDE_TOLERANCE) {
              y = 0;
              excess = 1;
              break;
            }
            high = low;
            low = CRAWL_SQUARED;
          }
        }
        y = (low + high) / 2;
      }
      excess = excessAt(g, ground, o, y);
      if (excess > 0) high = y;
      else low = y;
      if (Math.abs(excess) < SIDE_TOLERANCE || high - low < 1e-14 * high) break;
      if (!Number.isNaN(lastY) && y !== lastY) slope = (excess - lastExcess) / (y - lastY);
      lastY = y;
      lastExcess = excess;
      // Where the excess jumps (an inner wheel of an open axle lifts) only halving is sure.
      const halve = !(slope > 0) || (iteration >= 8 && iteration % 2 === 0);
      const step = halve ? (low + high) / 2 - y : -excess / slope;
      y += step;
      // A short step from close by with a known slope leaves an error of its square.
      if (!halve && Math.abs(step) < 1e-4 * y && Math.abs(excess) < nearby && y > low && y < high) break;
    }
    if (high - low < 1e-12 * high) y = low;
    limit[i] = limitOf(g.s.which);
    if (high >= capSquared && y >= capSquared * (1 - 1e-12)) {
      most[i] = capSquared;
      limit[i] = capLimit;
      known = -1;
      continue;
    }
    most[i] = y;
    if (known === i - 1 && Math.abs(y - most[known]!) > 1e-9 * y) {
      const slopeNow = (y * Math.abs(slant) - most[known]! * Math.abs(lateralV[known]!)) / (y - most[known]!);
      sideSlope = Math.abs(slopeNow) < 0.5 * Math.abs(slant) ? slopeNow : 0;
    } else sideSlope = 0;
    if (y < CRAWL_SQUARED && failedAt < 0) failedAt = i;
    known = i;
    knownSlope = slope;
  }
  let slowest = 0;
  for (let i = 1; i < n; i++) if (most[i]! < most[slowest]!) slowest = i;
  return { most, limit, slowest, failedAt };
}

/** The limit a lap shows for a constraint of the grip. */
export function limitOf(constraint: number): number {
  switch (constraint) {
    case CONSTRAINT.front:
      return LIMIT.frontGrip;
    case CONSTRAINT.rollover:
      return LIMIT.tip;
    case CONSTRAINT.frontLift:
      return LIMIT.frontLift;
    case CONSTRAINT.rearLift:
      return LIMIT.rearLift;
    default:
      return LIMIT.rearGrip;
  }
}

/** Worst excess at a station passed at v^2 = y, N. */
function excessAt(g: Instant, ground: Float64Array, offset: number, y: number): number {
  const { s } = g;
  s.squared = y;
  s.speed = Math.sqrt(y);
  placeOn(g, ground, offset);
  passWithoutEngine(g);
  return s.excess;
}
