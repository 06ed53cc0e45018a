/**
 * The record of a stop: forces and use of the grip at every sample, the work of brakes and engine.
 *
 * In: contact forces and times. Out: rows, and the columns of a result. Knows nothing of how the run goes on.
 */
import type { Drivetrain } from '../../compile/drivetrain.ts';
import { overrunEngineSpeedAt } from '../../compile/drivetrain.ts';
import type { BrakingState, ContactForces, Ground } from './contact-forces.ts';

/** A stop over time, station by station. */
export interface StopColumns {
  readonly time: Float64Array;
  readonly distance: Float64Array;
  readonly speed: Float64Array;
  /** Positive when slowing, m/s2 */
  readonly deceleration: Float64Array;
  /** Braking forces at the ground, N */
  readonly frontForce: Float64Array;
  readonly rearForce: Float64Array;
  readonly engineForce: Float64Array;
  /** Of the brakes alone: engine, flywheel and wheels left out, N; below zero where the engine alone does more */
  readonly frontBrake: Float64Array;
  readonly rearBrake: Float64Array;
  readonly useFront: Float64Array;
  readonly useRear: Float64Array;
  /** Gear counted from 1, in the order of `gearNames`; 0 with the clutch in */
  readonly gear: Uint8Array;
  readonly engineSpeed: Float64Array;
}

export interface StopRow {
  readonly t: number;
  readonly s: number;
  readonly v: number;
  readonly a: number;
  readonly ground: Ground;
  /** Index of the gear that drags, -1 where none does */
  readonly gear: number;
  /** Adhesion used, front and rear */
  readonly use: readonly [number, number];
  /** Of the brakes alone, front and rear, N */
  readonly brakes: readonly [number, number];
}

export function stopRow(
  forces: ContactForces,
  state: BrakingState,
  at: { t: number; s: number; v: number },
): StopRow {
  const ground = forces.at(at.t, at.v);
  const capacity = new Float64Array(2);
  forces.capacity(ground.x, capacity);
  return {
    ...at,
    a: forces.accelerationOf(ground.x),
    ground,
    gear: forces.engineAt(at.v).force > 0 ? state.gear : -1,
    use: [ratio(-ground.front, capacity[0]!), ratio(-ground.rear, capacity[1]!)],
    brakes: forces.brakesOf(ground, at.v),
  };
}

/** Work of the engine and of the brakes alone over the rows from one on, J; as a lap counts them, flywheel left out. */
export function workOf(rows: readonly StopRow[], from: number): { engine: number; brakes: number } {
  let engine = 0;
  let brakes = 0;
  for (let i = from; i + 1 < rows.length; i++) {
    const ds = rows[i + 1]!.s - rows[i]!.s;
    const meanEngine = (rows[i]!.ground.engine + rows[i + 1]!.ground.engine) / 2;
    const meanBrakes = (brakeForce(rows[i]!) + brakeForce(rows[i + 1]!)) / 2;
    engine += meanEngine * ds;
    brakes += meanBrakes * ds;
  }
  return { engine, brakes };
}

function brakeForce({ brakes: [front, rear] }: StopRow): number {
  return Math.max(0, front + rear);
}

export function stopColumns(rows: readonly StopRow[], drivetrain: Drivetrain): StopColumns {
  return {
    time: Float64Array.from(rows, (r) => r.t),
    distance: Float64Array.from(rows, (r) => r.s),
    speed: Float64Array.from(rows, (r) => r.v),
    deceleration: Float64Array.from(rows, (r) => -r.a),
    frontForce: Float64Array.from(rows, (r) => -r.ground.front),
    rearForce: Float64Array.from(rows, (r) => -r.ground.rear),
    engineForce: Float64Array.from(rows, (r) => r.ground.engine),
    frontBrake: Float64Array.from(rows, (r) => r.brakes[0]),
    rearBrake: Float64Array.from(rows, (r) => r.brakes[1]),
    useFront: Float64Array.from(rows, (r) => r.use[0]),
    useRear: Float64Array.from(rows, (r) => r.use[1]),
    gear: Uint8Array.from(rows, (r) => r.gear + 1),
    engineSpeed: Float64Array.from(rows, (r) =>
      r.gear < 0 ? drivetrain.idle : overrunEngineSpeedAt(drivetrain, drivetrain.gears[r.gear]!, r.v),
    ),
  };
}

function ratio(force: number, capacity: number): number {
  return capacity > 0 ? Math.max(0, force) / capacity : 0;
}
