/**
 * Braking while cornering: the deceleration left at a given side acceleration, over the brake balance.
 *
 * In: compiled kart, surface, speed, side acceleration, gear or clutch in, a row of front shares. Out: columns over the
 * front share - deceleration, the grip each axle uses, which axle is first at its limit - and the same on the straight.
 * One instant on level ground; combined slip by the friction ellipse of each axle, with load transfer both ways.
 * In gear the throttle is closed. Where the engine alone then asks more of its axle than that has left, the throttle is
 * held open just so far that the axle holds, with the brakes off: no share of the brakes changes that, for closing the
 * throttle slides the axle whatever the other one does. Brake and throttle at once, with the brakes of the other axle
 * alone, would slow more; it is not counted.
 */
import { overrunDragAt } from '../compile/drivetrain.ts';
import type { CompiledKart, SurfacePair } from '../compile/kart.ts';
import { findRoot } from '../numerics/root.ts';
import type { Envelope } from '../physics/grip-envelope.ts';
import { gripEnvelope } from '../physics/grip-envelope.ts';
import { problem } from '../project/problem.ts';
import type { Outcome } from './outcome.ts';
import { refused } from './outcome.ts';

export interface BrakeInCornerOptions {
  /** m/s */
  readonly speed: number;
  /** Side acceleration over the greatest that holds at this speed, 0 to 1 */
  readonly lateralShare: number;
  /** Counted from 1; clutch in where absent */
  readonly gear?: number;
  /** Front shares to try, 0 to 1; every 2 % where absent */
  readonly frontShares?: readonly number[];
}

export interface BrakeInCornerResult {
  readonly surface: string;
  readonly speed: number;
  /** Greatest side acceleration that holds at the speed, and the one asked for, m/s2 */
  readonly greatestLateral: number;
  readonly lateral: number;
  readonly frontShare: Float64Array;
  /** m/s2, positive when slowing */
  readonly deceleration: Float64Array;
  /** The same with no side acceleration */
  readonly straight: Float64Array;
  /** Of the brakes in the bend, N; below zero: brakes off, the throttle held open by so much of the engine's drag */
  readonly brakeForce: Float64Array;
  readonly useFront: Float64Array;
  readonly useRear: Float64Array;
}

const MOST_SHARES = 1000;

export function runBrakeInCorner(
  kart: CompiledKart,
  surface: SurfacePair,
  options: BrakeInCornerOptions,
): Outcome<BrakeInCornerResult> {
  const { speed, lateralShare } = options;
  const shares = options.frontShares ?? Array.from({ length: 51 }, (_, i) => i / 50);
  const gear = options.gear === undefined ? undefined : kart.drivetrain.gears[options.gear - 1];
  if (!(speed > 0) || !(lateralShare >= 0 && lateralShare < 1) || shares.length > MOST_SHARES)
    return refused([
      problem(
        'cornering',
        'options',
        'braking in a bend needs a speed and a share of the side grip below 1',
        {
          value: `${speed} m/s, ${lateralShare}`,
        },
      ),
    ]);
  if (options.gear !== undefined && gear === undefined)
    return refused([
      problem('no-gear', 'options', 'there is no such gear', {
        value: String(options.gear),
        limit: `1 to ${kart.drivetrain.gears.length}`,
      }),
    ]);
  const engine = gear === undefined ? 0 : overrunDragAt(kart.drivetrain, gear, speed);
  const engineMass = gear === undefined || engine <= 0 ? 0 : gear.overrunEngineMass;
  const envelopeAt = (brakeShare: number) =>
    gripEnvelope({ ...kart.envelope, brakeShare }, surface.front.grip, surface.rear.grip);
  const greatestLateral = greatestSide(envelopeAt(kart.brakes.frontShare), speed, kart.envelope.gravity);
  const lateral = lateralShare * greatestLateral;
  const n = shares.length;
  const columns = {
    frontShare: Float64Array.from(shares),
    deceleration: new Float64Array(n),
    straight: new Float64Array(n),
    brakeForce: new Float64Array(n),
    useFront: new Float64Array(n),
    useRear: new Float64Array(n),
  };
  const use = new Float64Array(2);
  const spin = kart.envelope.spinFront + kart.envelope.spinRear;
  const guess = -0.5 * kart.mass * kart.envelope.gravity;
  for (const [i, share] of shares.entries()) {
    const env = envelopeAt(share);
    const slowest = (side: number) => {
      placeAside(env, speed, side);
      const x = env.lowerForce(engine, engineMass, guess);
      env.use(x, true, engine, engineMass, use);
      const deceleration = -env.accelerationAt(x);
      columns.brakeForce[i] = -x - engine + (spin + engineMass) * deceleration;
      return deceleration;
    };
    columns.straight[i] = slowest(0);
    columns.deceleration[i] = slowest(lateral);
    columns.useFront[i] = use[0]!;
    columns.useRear[i] = use[1]!;
  }
  return {
    status: 'done',
    problems: [],
    diagnostics: { shares: n },
    result: { surface: surface.id, speed, greatestLateral, lateral, ...columns },
  };
}

/** Greatest side acceleration at which the speed can be held, sliding or tipping, m/s2. */
function greatestSide(env: Envelope, speed: number, gravity: number): number {
  const excess = (side: number) => {
    placeAside(env, speed, side);
    return env.holdExcess(0, 0);
  };
  const far = 10 * gravity;
  if (excess(0) >= 0) return 0;
  return excess(far) <= 0 ? far : findRoot(excess, 0, far, 1e-12);
}

/** Level ground, a bend whose side acceleration is `side` at the speed. */
function placeAside(env: Envelope, speed: number, side: number): void {
  env.place(speed, side / (speed * speed), 0, 0, 1, 0);
}
