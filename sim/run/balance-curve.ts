/**
 * Brake balance over the rate of braking: the ideal front share, the adhesion each axle uses, the rate
 * at which each locks.
 *
 * In: compiled kart, surface, optionally the engine's drag in a gear at a speed. Out: columns over z = a/g
 * and lock rates. Level ground, no air drag: the textbook picture of the balance. The friction at which an axle locks is
 * that of its tyres under the load they bear at that rate, so that the order of locking is that of a stop.
 */
import { overrunDragAt } from '../compile/drivetrain.ts';
import type { CompiledKart, SurfacePair } from '../compile/kart.ts';
import {
  type AxleLoads,
  adhesionUsed,
  type CorridorShares,
  corridorShares,
  idealFrontShare,
  lockRate,
} from '../physics/brake-distribution.ts';
import { peakForce } from '../physics/tyre.ts';
import { problem } from '../project/problem.ts';
import type { Outcome } from './outcome.ts';

export interface BalanceCurveOptions {
  /** Gear (from 1) and road speed of the engine's drag; clutch in where absent */
  readonly gear?: number;
  readonly speed?: number;
  /** Rates of braking to give; 0.02 to 1.2 where absent */
  readonly rates?: readonly number[];
}

export interface BalanceCurveResult {
  readonly surface: string;
  readonly frontShare: number;
  readonly friction: { readonly front: number; readonly rear: number };
  /** Engine drag over weight */
  readonly engine: number;
  /** Rates at which each axle would lock first, clutch in; null where it never does */
  readonly frontLocksAt: number | null;
  readonly rearLocksAt: number | null;
  /** Rate at which both would lock together at this share; null where that needs negative braking */
  readonly bothLockAt: number | null;
  /** Front shares inside the adhesion corridor for road vehicles, clutch in: a yardstick, no rule for karts */
  readonly corridor: CorridorShares;
  readonly rate: Float64Array;
  readonly idealFrontShare: Float64Array;
  readonly adhesionFront: Float64Array;
  readonly adhesionRear: Float64Array;
}

export function runBalanceCurve(
  kart: CompiledKart,
  surface: SurfacePair,
  options: BalanceCurveOptions = {},
): Outcome<BalanceCurveResult> {
  const { envelope, drivetrain } = kart;
  const loads = {
    rearShare: 1 - kart.frontWeightShare,
    heightOverWheelbase: envelope.cgHeight / envelope.wheelbase,
  };
  const weight = kart.mass * envelope.gravity;
  let engine = 0;
  if (options.gear !== undefined) {
    const gear = drivetrain.gears[options.gear - 1];
    if (gear === undefined || options.speed === undefined) {
      return {
        status: 'problems',
        diagnostics: {},
        problems: [
          problem('no-gear', 'options', 'engine braking needs a gear there is and a speed', {
            value: String(options.gear),
            limit: `1 to ${drivetrain.gears.length}`,
          }),
        ],
      };
    }
    engine = overrunDragAt(drivetrain, gear, options.speed) / weight;
  }
  const rate =
    options.rates === undefined
      ? Float64Array.from({ length: 60 }, (_, i) => 0.02 * (i + 1))
      : Float64Array.from(options.rates);
  const share = kart.brakes.frontShare;
  const used = Array.from(rate, (z) => adhesionUsed(loads, share, z, engine));
  const front = lockOf('front', kart, surface, loads);
  const rear = lockOf('rear', kart, surface, loads);
  const friction = { front: front.friction, rear: rear.friction };
  const [frontLock, rearLock] = [front.rate, rear.rate];
  const both =
    loads.heightOverWheelbase > 0 ? (share - kart.frontWeightShare) / loads.heightOverWheelbase : 0;
  return {
    status: 'done',
    problems: [],
    diagnostics: { points: rate.length },
    result: {
      surface: surface.id,
      frontShare: share,
      friction,
      engine,
      frontLocksAt: Number.isFinite(frontLock) ? frontLock : null,
      rearLocksAt: Number.isFinite(rearLock) ? rearLock : null,
      bothLockAt: both > 0 ? both : null,
      corridor: corridorShares(loads),
      rate,
      idealFrontShare: rate.map((z) => idealFrontShare(loads, z)),
      adhesionFront: Float64Array.from(used, (u) => Math.min(u.front, 99)),
      adhesionRear: Float64Array.from(used, (u) => Math.min(u.rear, 99)),
    },
  };
}

/** Rounds of rate and load: friction falls by some hundredths over a doubled load, each round gains two digits and more. */
const ROUNDS = 20;

/** The rate at which an axle locks by itself, as a share of g, and the friction of its tyres then; Infinity: never. */
function lockOf(
  axle: 'front' | 'rear',
  kart: CompiledKart,
  surface: SurfacePair,
  loads: AxleLoads,
): { rate: number; friction: number } {
  const weight = kart.mass * kart.envelope.gravity;
  const frictionAt = (rate: number): number => {
    const shift = (axle === 'front' ? 1 : -1) * rate * loads.heightOverWheelbase;
    const still = axle === 'front' ? 1 - loads.rearShare : loads.rearShare;
    const load = (Math.max(0, Math.min(1, still + shift)) * weight) / 2;
    return load > 0 ? peakForce(surface[axle].lengthwise, load) / load : 0;
  };
  let friction = frictionAt(0);
  let { [axle]: rate } = lockRate(loads, kart.brakes.frontShare, friction);
  for (let round = 0; round < ROUNDS && Number.isFinite(rate); round++) {
    const now = frictionAt(rate);
    if (!(now > 0)) break;
    friction = now;
    rate = lockRate(loads, kart.brakes.frontShare, friction)[axle];
  }
  return { rate, friction };
}
