/**
 * What the tyres allow at one instant: the margin between the forces asked of the axles and their
 * capacity, and the largest drive or braking force that still fits.
 *
 * In: an `EnvelopeKart` and its axles (constants of kart and surface) and, per call of `place`, the speed and the
 * ground under it. Out: forces in newtons at the contact patches. The unknown everywhere is x, the sum of
 * longitudinal tyre forces (drive positive). This is the face the runs see; the equations are in `grip/`: loads
 * (place), capacities, the search for the edge, drive, brakes, steady speed, adhesion used.
 */
import { brakeAt, lowerForce } from './grip/brake.ts';
import { driveAt, driveForce, upperForce } from './grip/drive.ts';
import type { AxleGrip, Constraint, EnvelopeKart } from './grip/grip-inputs.ts';
import { holdExcess } from './grip/hold.ts';
import { type Instant, instantOf } from './grip/instant.ts';
import { accelerationAt, holdForce, settle } from './grip/place.ts';
import { capacityAlong, loads, use } from './grip/use.ts';

export interface Envelope {
  /** The numbers behind, for the passes of a lap. */
  readonly instant: Instant;
  /**
   * Sets speed and ground.
   * @param lateralV,lateralG side force per mass: lateralV v^2 + lateralG g
   * @param normalV,normalG load per mass: normalV v^2 + normalG g
   * @param sinGrade sine of the uphill slope
   */
  place(
    speed: number,
    lateralV: number,
    lateralG: number,
    normalV: number,
    normalG: number,
    sinGrade: number,
  ): void;
  /** Sum of resistances D + R + m g sin at force x, N. */
  resistance(x: number): number;
  /** Acceleration that force x gives, m/s2. */
  accelerationAt(x: number): number;
  /** Air drag at the placed speed, N. */
  dragForce(): number;
  /** Rolling resistance at force x, N. */
  rollingForce(x: number): number;
  /** Force x that holds the speed. */
  holdForce(): number;
  /** Contact force x that gives acceleration a. */
  forceFor(acceleration: number): number;
  /** Contact force x that drive force F at the wheels of a kart with effective mass M gives. */
  driveForce(wheelForce: number, effectiveMass: number): number;
  /** Contact force x with a closed throttle (drag E, engine's equivalent mass) and brake force B. */
  brakeForce(engine: number, engineMass: number, brake: number): number;
  /** Excess in N of the worst constraint while holding speed; feasible at or below 0. */
  holdExcess(engine: number, engineMass: number): number;
  /** Excess of the worst constraint at drive force x. */
  driveExcess(x: number): number;
  /** Excess of the worst constraint at braking force x (negative) with the engine's part E. */
  brakeExcess(x: number, engine: number, engineMass: number): number;
  /** Largest feasible x not above `from`; searches down from `from`, starting at `guess` if that is outside. */
  upperForce(from: number, guess: number): number;
  /** Smallest feasible x under the set balance, from `guess`. */
  lowerForce(engine: number, engineMass: number, guess: number): number;
  /** Braking force x at which the rear axle leaves the ground, N; -Infinity where none does. */
  rearLiftForce(): number;
  /** Constraint that was active in the last search or excess. */
  constraint(): Constraint;
  /** Writes vertical loads [front axle, rear axle, front inner, rear inner] at x into `out`. */
  loads(x: number, out: Float64Array): void;
  /** Writes adhesion used [front, rear] (1 = all) at x, driving or braking, into `out`. */
  use(x: number, braking: boolean, engine: number, engineMass: number, out: Float64Array): void;
  /** Longitudinal capacity [front, rear] in N at x with no side force, into `out`. */
  capacity(x: number, out: Float64Array): void;
}

/** Prepares the envelope of one kart on one surface. */
export function gripEnvelope(kart: EnvelopeKart, front: AxleGrip, rear: AxleGrip): Envelope {
  const g = instantOf(kart, front, rear);
  const { k, s } = g;
  return {
    instant: g,
    place(v, lateralV, lateralG, normalV, normalG, sinGrade) {
      const mass = k.mass;
      const gravity = k.gravity;
      s.speed = v;
      s.squared = v * v;
      s.side = Math.abs(mass * (lateralV * v * v + lateralG * gravity));
      s.normal = mass * (normalV * v * v + normalG * gravity);
      s.climb = k.weight * sinGrade;
      settle(g);
    },
    accelerationAt: (x) => accelerationAt(g, x),
    resistance: (x) => s.rolling + s.rho * x + s.drag + s.climb,
    dragForce: () => s.drag,
    rollingForce: (x) => s.rolling + s.rho * x,
    holdForce: () => holdForce(g),
    forceFor: (a) => (k.mass * a + s.fixed) / (1 - s.rho),
    driveForce: (wheelForce, effectiveMass) => driveForce(g, wheelForce, effectiveMass),
    brakeForce(engine, engineMass, brake) {
      // -x = B + E - J d with d = (fixed - x (1 - rho))/m, J the spinning inertia.
      const inertia = (k.spinFront + k.spinRear + engineMass) / k.mass;
      const fixed = s.fixed;
      return -(brake + engine - inertia * fixed) / (1 + inertia * (1 - s.rho));
    },
    holdExcess(engine, engineMass) {
      holdExcess(g, engine, engineMass);
      return s.excess;
    },
    driveExcess(x) {
      driveAt(g, x);
      return s.excess;
    },
    brakeExcess(x, engine, engineMass) {
      brakeAt(g, x, engine, engineMass);
      return s.excess;
    },
    upperForce: (from, guess) => upperForce(g, from, guess),
    lowerForce: (engine, engineMass, guess) => lowerForce(g, engine, engineMass, guess),
    rearLiftForce: () => (s.tau > 0 ? -(s.loadRear + s.transfer) / s.tau : Number.NEGATIVE_INFINITY),
    constraint: () => s.which as Constraint,
    loads: (x, out) => loads(g, x, out),
    use: (x, braking, engine, engineMass, out) => use(g, x, braking, engine, engineMass, out),
    capacity: (x, out) => capacityAlong(g, x, out),
  };
}
