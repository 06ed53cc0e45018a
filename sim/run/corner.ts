/**
 * Steady cornering: the highest speed round a constant radius, and what ends it - sliding or tipping.
 *
 * In: compiled kart, surface, radius, bank, grade. Out: speed, lateral acceleration, wheel loads, limit.
 */
import type { CompiledKart, SurfacePair } from '../compile/kart.ts';
import { findRoot } from '../numerics/root.ts';
import { CONSTRAINT } from '../physics/grip/grip-inputs.ts';
import { gripEnvelope } from '../physics/grip-envelope.ts';
import { problem } from '../project/problem.ts';
import type { Limit } from './limit.ts';
import type { Outcome } from './outcome.ts';

export interface CornerOptions {
  readonly radius: number;
  /** Towards the inside of the bend positive, rad */
  readonly bank?: number;
  readonly grade?: number;
  /** Speed at which loads are given; the highest where absent, m/s */
  readonly atSpeed?: number;
}

export interface CornerResult {
  readonly surface: string;
  readonly radius: number;
  /** Highest speed, m/s; null where the tyres hold at any speed looked at */
  readonly speed: number | null;
  readonly lateralAcceleration: number;
  readonly limit: Limit | null;
  /** Wheel loads at the speed of `atSpeed` or the highest, N */
  readonly loads: {
    readonly frontOuter: number;
    readonly frontInner: number;
    readonly rearOuter: number;
    readonly rearInner: number;
  };
  /** Lateral acceleration in g at which the inner wheels lift, loads included */
  readonly tipAt: number;
  /** The tightest radius the kart can be steered to, m */
  readonly turningRadius: number;
}

const FASTEST = 150;

export function runCorner(
  kart: CompiledKart,
  surface: SurfacePair,
  options: CornerOptions,
): Outcome<CornerResult> {
  const { radius } = options;
  const bank = options.bank ?? 0;
  const grade = options.grade ?? 0;
  if (!(radius > 0))
    return {
      status: 'problems',
      diagnostics: {},
      problems: [problem('radius', 'options', 'the radius must be positive', { value: `${radius} m` })],
    };
  const cos = 1 / Math.hypot(1, grade);
  const kappa = (cos * cos) / radius;
  const env = gripEnvelope(kart.envelope, surface.front.grip, surface.rear.grip);
  const place = (v: number) =>
    env.place(
      v,
      kappa * Math.cos(bank),
      -cos * Math.sin(bank),
      kappa * Math.sin(bank),
      cos * Math.cos(bank),
      grade * cos,
    );
  const excess = (v: number) => {
    place(v);
    return env.holdExcess(0, 0);
  };
  const neutral = bank > 0 ? Math.sqrt((kart.envelope.gravity * cos * Math.tan(bank)) / kappa) : 0;
  const from = Math.min(neutral, FASTEST);
  if (excess(from) > 1e-6) {
    return {
      status: 'failed',
      diagnostics: {},
      problems: [
        problem('cannot-hold', `karts.${kart.id}`, 'no speed holds on this bend', {
          remedy: 'look at grip, grade and bank',
        }),
      ],
    };
  }
  let speed: number | null = null;
  let limit: Limit | null = null;
  if (excess(FASTEST) > 0) {
    speed = excess(from) >= 0 ? from : findRoot(excess, from, FASTEST, 1e-13);
    excess(speed * (1 + 1e-9) + 1e-9);
    const c = env.constraint();
    limit =
      c === CONSTRAINT.rollover
        ? 'tip'
        : c === CONSTRAINT.front
          ? 'front grip'
          : c === CONSTRAINT.frontLift
            ? 'front lift'
            : c === CONSTRAINT.rearLift
              ? 'rear lift'
              : 'rear grip';
  }
  const at = options.atSpeed ?? speed ?? FASTEST;
  place(at);
  const x = env.holdForce();
  const loads = new Float64Array(4);
  env.loads(x, loads);
  const { trackFront, trackRear, transferFront, transferRear, gravity } = kart.envelope;
  const height = transferFront + transferRear;
  return {
    status: 'done',
    problems: [],
    diagnostics: {},
    result: {
      surface: surface.id,
      radius,
      speed,
      lateralAcceleration: at * at * kappa,
      limit,
      loads: {
        frontOuter: loads[0]! - loads[2]!,
        frontInner: loads[2]!,
        rearOuter: loads[1]! - loads[3]!,
        rearInner: loads[3]!,
      },
      tipAt:
        height > 0
          ? (loads[0]! * trackFront + loads[1]! * trackRear) / 2 / height / (kart.mass * gravity)
          : 99,
      turningRadius: kart.turningRadius,
    },
  };
}
