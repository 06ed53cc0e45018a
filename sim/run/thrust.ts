/**
 * Thrust against resistance over road speed: speeds in gears, top speed, the grades each gear holds.
 *
 * In: compiled kart, surface, grade. Out: curves over speed for the thrust plot, top speed per gear by
 * root finding, the steepest grade per gear, shift points. Straight running on level cross-section.
 */
import type { Gear } from '../compile/drivetrain.ts';
import { engineSpeedAt, overrunDragAt, speedsInGear, thrustAt } from '../compile/drivetrain.ts';
import type { CompiledKart, SurfacePair } from '../compile/kart.ts';
import { findRoot } from '../numerics/root.ts';
import { CONSTRAINT } from '../physics/grip/grip-inputs.ts';
import type { Envelope } from '../physics/grip-envelope.ts';
import { gripEnvelope } from '../physics/grip-envelope.ts';
import type { Outcome } from './outcome.ts';

export interface ThrustOptions {
  /** Rise over run, uphill positive */
  readonly grade?: number;
  /** Road speeds at which to give the curves, m/s; evenly spaced where absent */
  readonly speeds?: readonly number[];
}

export interface GearSummary {
  readonly name: string;
  /** Engine turns per wheel turn */
  readonly overall: number;
  /** Road speed at the limiter, m/s; of a belt that changes its ratio, where it has none left */
  readonly limitSpeed: number;
  /** Road speed of the upshift, m/s; null in the last gear */
  readonly upshiftSpeed: number | null;
  /** rad/s before and after the upshift */
  readonly upshiftEngineSpeed: number | null;
  readonly engineSpeedAfter: number | null;
  /** Highest steady speed, m/s; 0 where the gear cannot hold any */
  readonly topSpeed: number;
  /**
   * grip: the driven tyres carry no more than it takes, however strong the engine; belt: faster than that the belt is in
   * a higher ratio
   */
  readonly topSpeedBecause: 'drag' | 'grip' | 'limiter' | 'belt' | 'cannot hold';
  /** Steepest grade held (rise over run), the speed at which, and what stops it */
  readonly steepestGrade: number;
  readonly steepestAt: number;
  readonly steepestBecause: 'thrust' | 'grip' | 'front lift';
  /** Adhesion used by the driven axle on that grade, rolling resistance left out */
  readonly adhesionOnGrade: number;
  /** Highest road speed at which a downshift into this gear is safe for the engine, m/s */
  readonly safeDownshiftSpeed: number;
  /** Effective over real mass */
  readonly massFactor: number;
  /** Equivalent mass of the engine that the wheels slow on overrun, kg */
  readonly overrunEngineMass: number;
}

export interface ThrustResult {
  readonly surface: string;
  readonly grade: number;
  readonly topSpeed: number;
  readonly topGear: string;
  readonly gears: readonly GearSummary[];
  readonly speed: Float64Array;
  /** One row per gear: thrust at the wheels, N; 0 above the limiter, and where a belt is in another part of its range */
  readonly thrust: readonly Float64Array[];
  /** Closed-throttle drag at the wheels per gear, N */
  readonly overrun: readonly Float64Array[];
  readonly air: Float64Array;
  readonly rolling: Float64Array;
  readonly climbing: Float64Array;
  readonly resistance: Float64Array;
  /** Largest drive force the tyres carry, N */
  readonly gripCap: Float64Array;
}

const CURVE_POINTS = 240;
/** Largest grade looked at when searching the steepest, rise over run. */
const STEEPEST = 5;

export function runThrust(
  kart: CompiledKart,
  surface: SurfacePair,
  options: ThrustOptions = {},
): Outcome<ThrustResult> {
  const grade = options.grade ?? 0;
  const { drivetrain } = kart;
  const env = gripEnvelope(kart.envelope, surface.front.grip, surface.rear.grip);
  const fastest = drivetrain.gears.reduce(
    (most, g) => (Number.isFinite(g.limitSpeed) ? Math.max(most, g.limitSpeed) : most),
    0,
  );
  const speed =
    options.speeds === undefined
      ? Float64Array.from({ length: CURVE_POINTS }, (_, i) => (fastest * 1.02 * (i + 1)) / CURVE_POINTS)
      : Float64Array.from(options.speeds);
  const n = speed.length;
  const air = new Float64Array(n);
  const rolling = new Float64Array(n);
  const climbing = new Float64Array(n);
  const resistance = new Float64Array(n);
  const gripCap = new Float64Array(n);
  const sin = grade / Math.hypot(1, grade);
  for (let i = 0; i < n; i++) {
    placeStraight(env, speed[i]!, grade);
    const hold = env.holdForce();
    air[i] = env.dragForce();
    rolling[i] = env.rollingForce(hold);
    climbing[i] = kart.mass * kart.envelope.gravity * sin;
    resistance[i] = hold;
    gripCap[i] = driveCap(env, kart);
  }
  const gears = drivetrain.gears.map((_, k) => summarise(kart, env, k, grade));
  let top = 0;
  for (let k = 1; k < gears.length; k++) if (gears[k]!.topSpeed > gears[top]!.topSpeed) top = k;
  return {
    status: 'done',
    problems: [],
    diagnostics: { points: n },
    result: {
      surface: surface.id,
      grade,
      topSpeed: gears[top]!.topSpeed,
      topGear: gears[top]!.name,
      gears,
      speed,
      thrust: drivetrain.gears.map((gear, k) => {
        const { lowest, highest } = speedsInGear(drivetrain, k);
        // A clutch that slips pulls below the lowest speed of the first part.
        const isOut = (v: number) => drivetrain.isBelt && ((k > 0 && v < lowest) || v >= highest);
        return speed.map((v) => (isOut(v) ? 0 : thrustAt(drivetrain, gear, v)));
      }),
      overrun: drivetrain.gears.map((gear) =>
        speed.map((v) => (v > gear.safeSpeed ? 0 : overrunDragAt(drivetrain, gear, v))),
      ),
      air,
      rolling,
      climbing,
      resistance,
      gripCap,
    },
  };
}

/** Sets an envelope for straight running on a grade. */
export function placeStraight(env: Envelope, v: number, grade: number): void {
  const cos = 1 / Math.hypot(1, grade);
  env.place(v, 0, 0, 0, cos, grade * cos);
}

/** Largest drive force the tyres carry at the placed speed, N. */
export function driveCap(env: Envelope, kart: CompiledKart): number {
  const far = 20 * kart.mass * kart.envelope.gravity;
  return Math.max(0, env.upperForce(far, env.holdForce()));
}

function summarise(kart: CompiledKart, env: Envelope, k: number, grade: number): GearSummary {
  const { drivetrain } = kart;
  const gear = drivetrain.gears[k]!;
  const next = drivetrain.gears[k + 1];
  const { lowest, highest } = speedsInGear(drivetrain, k);
  const ends = highest < gear.limitSpeed ? 'belt' : 'limiter';
  const surplus = (v: number): number => {
    placeStraight(env, v, grade);
    return Math.min(thrustAt(drivetrain, gear, v), driveCap(env, kart)) - env.holdForce();
  };
  const slides = (v: number): boolean => {
    placeStraight(env, v, grade);
    return driveCap(env, kart) < thrustAt(drivetrain, gear, v);
  };
  const top = steadySpeed(surplus, slides, lowest, highest, ends);
  const steep = steepest(kart, env, gear, lowest, highest);
  const shifts = next !== undefined && Number.isFinite(gear.upshiftSpeed);
  return {
    name: gear.name,
    overall: gear.overall,
    limitSpeed: Number.isFinite(gear.limitSpeed) ? gear.limitSpeed : highest,
    upshiftSpeed: shifts ? gear.upshiftSpeed : null,
    upshiftEngineSpeed: shifts ? engineSpeedAt(drivetrain, gear, gear.upshiftSpeed) : null,
    engineSpeedAfter:
      shifts && next !== undefined ? engineSpeedAt(drivetrain, next, gear.upshiftSpeed) : null,
    ...top,
    ...steep,
    safeDownshiftSpeed: gear.safeSpeed,
    massFactor: gear.driveMass / kart.mass,
    overrunEngineMass: gear.overrunEngineMass,
  };
}

/**
 * Highest speed at which thrust, or what the tyres carry of it, meets resistance; searched from the top so that a second
 * crossing below is not taken.
 */
function steadySpeed(
  surplus: (v: number) => number,
  slides: (v: number) => boolean,
  lowest: number,
  highest: number,
  ends: 'belt' | 'limiter',
): { topSpeed: number; topSpeedBecause: GearSummary['topSpeedBecause'] } {
  if (surplus(highest) >= 0) return { topSpeed: highest, topSpeedBecause: ends };
  const steps = 200;
  let above = highest;
  for (let i = steps - 1; i >= 0; i--) {
    const v = lowest + ((highest - lowest) * i) / steps;
    if (v <= 0) break;
    if (surplus(v) >= 0) {
      const topSpeed = findRoot(surplus, v, above, 1e-12);
      return { topSpeed, topSpeedBecause: slides(topSpeed) ? 'grip' : 'drag' };
    }
    above = v;
  }
  return { topSpeed: 0, topSpeedBecause: 'cannot hold' };
}

/** Steepest grade on which some speed of the gear can be held, by thrust and by grip. */
function steepest(
  kart: CompiledKart,
  env: Envelope,
  gear: Gear,
  lowest: number,
  highest: number,
): Pick<GearSummary, 'steepestGrade' | 'steepestAt' | 'steepestBecause' | 'adhesionOnGrade'> {
  const { drivetrain } = kart;
  let at = highest;
  let most = Number.NEGATIVE_INFINITY;
  const steps = 400;
  const from = Math.max(lowest, highest * 1e-3);
  const spare = (v: number) => {
    placeStraight(env, v, 0);
    return thrustAt(drivetrain, gear, v) - env.dragForce();
  };
  for (let i = 0; i <= steps; i++) {
    const v = from + ((highest - from) * i) / steps;
    if (spare(v) > most) {
      most = spare(v);
      at = v;
    }
  }
  at = refineMaximum(spare, at, (highest - from) / steps, from, highest);
  const use = new Float64Array(2);
  const answer = (grade: number, because: GearSummary['steepestBecause']) => {
    placeStraight(env, at, grade);
    env.use(Math.max(0, env.holdForce() - env.rollingForce(env.holdForce())), false, 0, 0, use);
    const loads = new Float64Array(4);
    env.loads(env.holdForce(), loads);
    const driven =
      kart.envelope.driven === 'front'
        ? loads[0]!
        : kart.envelope.driven === 'rear'
          ? loads[1]!
          : loads[0]! + loads[1]!;
    const climb = Math.max(0, env.holdForce() - env.rollingForce(env.holdForce()));
    return {
      steepestGrade: grade,
      steepestAt: at,
      steepestBecause: because,
      adhesionOnGrade: driven > 0 ? climb / driven : 0,
    };
  };
  const short = (v: number) => (grade: number) => {
    placeStraight(env, v, grade);
    return env.holdForce() - thrustAt(drivetrain, gear, v);
  };
  const slides = (v: number) => (grade: number) => {
    placeStraight(env, v, grade);
    return env.driveExcess(Math.max(env.holdForce(), 0));
  };
  const limit = (excess: (grade: number) => number): number =>
    excess(0) > 0 ? 0 : excess(STEEPEST) > 0 ? findRoot(excess, 0, STEEPEST, 1e-12) : STEEPEST;
  const byThrust = limit(short(at));
  if (byThrust <= limit(slides(at))) return answer(byThrust, 'thrust');
  // Where grip ends it, slower is steeper, the air taking less of the grip: down to where the thrust just suffices.
  const spareGrade = (v: number) => limit(short(v)) - limit(slides(v));
  at = spareGrade(from) >= 0 ? from : findRoot(spareGrade, from, at, 1e-9);
  const byGrip = limit(slides(at));
  slides(at)(byGrip * 1.0001);
  return answer(byGrip, env.constraint() === CONSTRAINT.frontLift ? 'front lift' : 'grip');
}

function refineMaximum(f: (x: number) => number, at: number, step: number, from: number, to: number): number {
  let low = Math.max(from, at - step);
  let high = Math.min(to, at + step);
  const golden = (Math.sqrt(5) - 1) / 2;
  for (let i = 0; i < 60; i++) {
    const a = high - golden * (high - low);
    const b = low + golden * (high - low);
    if (f(a) >= f(b)) high = b;
    else low = a;
  }
  const middle = (low + high) / 2;
  return f(middle) >= f(at) ? middle : at;
}
