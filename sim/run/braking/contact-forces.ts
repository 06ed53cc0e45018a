/**
 * What a braking kart puts on the ground at one speed: free, just under lock, locked, or ideally balanced axles.
 *
 * In: kart, surface, mode of braking; a `BrakingState` (gear, locks, pedal build-up) that the run changes as events
 * happen. Out: contact forces, acceleration, and how far an axle is beyond its grip. Knows nothing of integration.
 */
import { overrunDragAt } from '../../compile/drivetrain.ts';
import type { CompiledKart, SurfacePair } from '../../compile/kart.ts';
import { gripEnvelope } from '../../physics/grip-envelope.ts';
import { placeStraight } from '../thrust.ts';
import type { BrakeMode } from './brake-options.ts';

/** Forces at the contact patches (braking negative), the engine's part, and what the brakes put in, N. */
export interface Ground {
  readonly brake: number;
  readonly front: number;
  readonly rear: number;
  readonly engine: number;
  readonly x: number;
}

/** What changes by events while a kart brakes. */
export interface BrakingState {
  /** Index of the gear, -1 with the clutch in */
  gear: number;
  /** A downshift holds the clutch in */
  clutchHeldIn: boolean;
  frontLocked: boolean;
  rearLocked: boolean;
  /** The pedal force builds up from this time, for so long, s */
  build: { readonly from: number; readonly time: number } | undefined;
}

export interface ContactForces {
  /** Forces at time t and speed v. */
  at(t: number, v: number): Ground;
  /**
   * What the brakes put on each axle at speed v for these forces, N: F_b = F_x - F_e - (J + M_e) a with braking counted
   * positive; below zero where the engine alone does more. Of a locked axle what the sliding tyre takes.
   */
  brakesOf(ground: Ground, v: number): readonly [front: number, rear: number];
  /** Acceleration at time t and speed v, m/s2. */
  acceleration(t: number, v: number): number;
  /** Acceleration that contact force x gives where the kart was last placed, m/s2. */
  accelerationOf(x: number): number;
  /** Braking asked of an axle over its capacity, minus one; locking starts above 0. */
  excess(axle: 'front' | 'rear', v: number): number;
  /** Drag of the engine, N, and its equivalent mass, kg. */
  engineAt(v: number): Engine;
  /** Writes the axles' capacities at x, where the kart was last placed, into `out`. */
  capacity(x: number, out: Float64Array): void;
  /** True once braking was bounded by the rear wheels lifting. */
  pitchesOver(): boolean;
}

interface Engine {
  readonly force: number;
  readonly mass: number;
}

export interface BrakingSetup {
  readonly kart: CompiledKart;
  readonly surface: SurfacePair;
  readonly mode: BrakeMode;
  /** Force of the brakes with the pedal held, N */
  readonly held: number;
  readonly grade: number;
}

const NO_ENGINE: Engine = { force: 0, mass: 0 };

export function contactForces(setup: BrakingSetup, state: BrakingState): ContactForces {
  const { kart, surface, mode, held, grade } = setup;
  const { drivetrain, envelope } = kart;
  const share = kart.brakes.frontShare;
  const env = gripEnvelope(envelope, surface.front.grip, surface.rear.grip);
  const slide = { front: surface.front.slidingShare, rear: surface.rear.slidingShare };
  const capacity = new Float64Array(2);
  const drivesFront = envelope.driven === 'front';
  const enginePart = envelope.driven === 'all' ? 0.5 : drivesFront ? 1 : 0;
  let guess = -0.5 * kart.mass * envelope.gravity;
  let pitches = false;

  const accelerationOf = (x: number) => (x - env.resistance(x)) / kart.mass;
  const brakeOf = (x: number, engine: Engine) =>
    -x - engine.force - (envelope.spinFront + envelope.spinRear + engine.mass) * accelerationOf(x);

  function engineAt(v: number): Engine {
    if (state.gear < 0 || state.clutchHeldIn) return NO_ENGINE;
    const gear = drivetrain.gears[state.gear]!;
    const force = overrunDragAt(drivetrain, gear, v);
    return force > 0 ? { force, mass: gear.overrunEngineMass } : NO_ENGINE;
  }

  function at(t: number, v: number): Ground {
    const g = grounded(full(v));
    const { build } = state;
    if (build === undefined || build.time <= 0) return g;
    const part = Math.min(1, Math.max(0, (t - build.from) / build.time));
    if (part >= 1) return g;
    const engine = engineAt(v);
    const coast = split(env.brakeForce(engine.force, engine.mass, 0), engine, 0);
    const mix = (a: number, b: number) => a + part * (b - a);
    return {
      front: mix(coast.front, g.front),
      rear: mix(coast.rear, g.rear),
      engine: engine.force,
      brake: mix(0, g.brake),
      x: mix(coast.x, g.x),
    };
  }

  /** Contact forces at speed v with the brakes on in full. */
  function full(v: number): Ground {
    placeStraight(env, v, grade);
    const engine = engineAt(v);
    if (mode === 'threshold') {
      const x = env.lowerForce(engine.force, engine.mass, guess);
      guess = x;
      return split(x, engine, Math.max(0, brakeOf(x, engine)));
    }
    if (mode === 'ideal') return ideal(engine);
    return lockedOrFree(engine, mode === 'locked' ? Number.POSITIVE_INFINITY : mode === 'none' ? 0 : held);
  }

  /** No braking carries the kart past the point at which its rear wheels lift. */
  function grounded(g: Ground): Ground {
    const lift = env.rearLiftForce();
    if (g.x >= lift) return g;
    pitches = true;
    return { ...g, front: lift, rear: 0, engine: 0, x: lift };
  }

  /** Both axles at their limit. */
  function ideal(engine: Engine): Ground {
    const x = fixedPoint((at) => {
      env.capacity(at, capacity);
      return -(capacity[0]! + capacity[1]!);
    });
    env.capacity(x, capacity);
    return {
      front: -capacity[0]!,
      rear: -capacity[1]!,
      engine: Math.min(engine.force, capacity[drivesFront ? 0 : 1]!),
      brake: Math.max(0, brakeOf(x, engine)),
      x,
    };
  }

  /** Each axle free or locked as the state says; an infinite brake force locks what it reaches. */
  function lockedOrFree(engine: Engine, brake: number): Ground {
    const { frontLocked, rearLocked } = state;
    const finite = brake === Number.POSITIVE_INFINITY ? 0 : brake;
    const front = (x: number) => {
      if (!frontLocked)
        return (
          -(share * finite + enginePart * engine.force) -
          (envelope.spinFront + enginePart * engine.mass) * accelerationOf(x)
        );
      env.capacity(x, capacity);
      return -slide.front * capacity[0]!;
    };
    const rear = (x: number) => {
      if (!rearLocked)
        return (
          -((1 - share) * finite + (1 - enginePart) * engine.force) -
          (envelope.spinRear + (1 - enginePart) * engine.mass) * accelerationOf(x)
        );
      env.capacity(x, capacity);
      return -slide.rear * capacity[1]!;
    };
    const x =
      !frontLocked && !rearLocked && Number.isFinite(brake)
        ? env.brakeForce(engine.force, engine.mass, brake)
        : fixedPoint((at) => front(at) + rear(at));
    return {
      front: front(x),
      rear: rear(x),
      engine: (rearLocked && !drivesFront) || (frontLocked && drivesFront) ? 0 : engine.force,
      brake: Number.isFinite(brake) ? brake : Math.max(0, brakeOf(x, engine)),
      x,
    };
  }

  /** Both axles free: the set balance and the engine share out x. */
  function split(x: number, engine: Engine, brake: number): Ground {
    const a = accelerationOf(x);
    const front =
      -(share * brake + enginePart * engine.force) - (envelope.spinFront + enginePart * engine.mass) * a;
    return { front, rear: x - front, engine: Math.min(engine.force, Math.max(0, -x)), brake, x };
  }

  /** Fixed point x = f(x) for an f of slope below 1 (load transfer), by secant. */
  function fixedPoint(f: (x: number) => number): number {
    let x0 = -0.5 * kart.mass * envelope.gravity;
    let g0 = f(x0) - x0;
    let x1 = x0 + g0;
    for (let i = 0; i < 60; i++) {
      const g1 = f(x1) - x1;
      if (Math.abs(g1) < 1e-10 * Math.max(1, Math.abs(x1)) || g1 === g0) break;
      const x2 = x1 - (g1 * (x1 - x0)) / (g1 - g0);
      x0 = x1;
      g0 = g1;
      x1 = x2;
    }
    return x1;
  }

  function excess(axle: 'front' | 'rear', v: number): number {
    placeStraight(env, Math.max(0, v), grade);
    const g = lockedOrFree(engineAt(v), held);
    env.capacity(g.x, capacity);
    const most = capacity[axle === 'front' ? 0 : 1]! * Math.max(1, slide[axle]);
    return most > 0 ? -(axle === 'front' ? g.front : g.rear) / most - 1 : 1;
  }

  function brakesOf({ front, rear, x }: Ground, v: number): readonly [front: number, rear: number] {
    const a = accelerationOf(x);
    const { force, mass } = engineAt(v);
    return [
      -front - enginePart * force - (envelope.spinFront + enginePart * mass) * a,
      -rear - (1 - enginePart) * force - (envelope.spinRear + (1 - enginePart) * mass) * a,
    ];
  }

  return {
    at,
    brakesOf,
    acceleration: (t, v) => accelerationOf(at(t, Math.max(0, v)).x),
    accelerationOf,
    excess,
    engineAt,
    capacity: (x, out) => env.capacity(x, out),
    pitchesOver: () => pitches,
  };
}

/** Locks the axles that are asked for more than they carry: the one further beyond its grip first. */
export function settleLocks(forces: ContactForces, state: BrakingState, v: number): void {
  for (let i = 0; i < 4; i++) {
    const f = !state.frontLocked && forces.excess('front', v) > 1e-12;
    const r = !state.rearLocked && forces.excess('rear', v) > 1e-12;
    if (!f && !r) return;
    if (f && (!r || forces.excess('front', v) >= forces.excess('rear', v))) state.frontLocked = true;
    else state.rearLocked = true;
  }
}

/** Frees a locked rear axle that no longer is asked for more than it carries, now that the engine lets go. */
export function releaseRear(forces: ContactForces, state: BrakingState, v: number): void {
  if (!state.rearLocked) return;
  state.rearLocked = false;
  state.rearLocked = forces.excess('rear', v) > 0;
}
