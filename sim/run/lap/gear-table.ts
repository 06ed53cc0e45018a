/**
 * The gears of a drivetrain as flat columns, with thrust and engine drag for the inner loops of a lap.
 *
 * In: a compiled drivetrain. Out: columns by gear, SI. The last interval of each torque curve is remembered, because
 * the next speed asked for lies close to the last one; it changes no answer.
 */
import type { Drivetrain } from '../../compile/drivetrain.ts';

export interface GearTable {
  readonly top: number;
  readonly perSpeed: Float64Array;
  readonly perTorque: Float64Array;
  readonly heldPower: Float64Array;
  readonly driveMass: Float64Array;
  readonly coastMass: number;
  readonly engineMass: Float64Array;
  readonly overPerSpeed: Float64Array;
  readonly overPerTorque: Float64Array;
  readonly overFrom: Float64Array;
  /** Squares of speeds, m2/s2 */
  readonly overFromSquared: Float64Array;
  readonly limitSquared: Float64Array;
  readonly upSquared: Float64Array;
  readonly slipSquared: Float64Array;
  readonly limitSpeed: number;
  readonly knots: Float64Array;
  readonly coefficients: Float64Array;
  readonly dragKnots: Float64Array;
  readonly dragCoefficients: Float64Array;
  /** Intervals last used: torque, drag */
  readonly last: Int32Array;
}

export function gearTable(drivetrain: Drivetrain): GearTable {
  const { gears, torque, drag } = drivetrain;
  return {
    top: gears.length - 1,
    perSpeed: Float64Array.from(gears, (g) => g.enginePerSpeed),
    perTorque: Float64Array.from(gears, (g) => g.thrustPerTorque),
    heldPower: Float64Array.from(gears, (g) => g.heldPower),
    driveMass: Float64Array.from(gears, (g) => g.driveMass),
    coastMass: drivetrain.coastMass,
    engineMass: Float64Array.from(gears, (g) => g.overrunEngineMass),
    overPerSpeed: Float64Array.from(gears, (g) => g.overrunPerSpeed),
    overPerTorque: Float64Array.from(gears, (g) => g.dragPerTorque),
    overFrom: Float64Array.from(gears, (g) => g.overrunFrom),
    overFromSquared: Float64Array.from(gears, (g) => g.overrunFrom ** 2),
    limitSquared: Float64Array.from(gears, (g) => g.limitSpeed ** 2),
    upSquared: Float64Array.from(gears, (g) => g.upshiftSpeed ** 2),
    slipSquared: Float64Array.from(gears, (g) => g.slipSpeed ** 2),
    limitSpeed: gears.at(-1)!.limitSpeed,
    knots: torque.knots,
    coefficients: torque.coefficients,
    dragKnots: drag.knots,
    dragCoefficients: drag.coefficients,
    last: new Int32Array(2),
  };
}

/** Full-throttle torque at an engine speed, N m; the nearest end value outside the sheet. */
export function torqueAt(t: GearTable, speed: number): number {
  return cubicAt(t.knots, t.coefficients, t.last, 0, speed);
}

/** Full-throttle thrust in gear k at road speed v, N. */
export function thrustIn(t: GearTable, k: number, v: number): number {
  const held = t.heldPower[k]!;
  if (held > 0) return held / v;
  return cubicAt(t.knots, t.coefficients, t.last, 0, v * t.perSpeed[k]!) * t.perTorque[k]!;
}

/** Drag of the engine on closed throttle in gear k at road speed v, N; 0 with the clutch in (k < 0). */
export function overrunIn(t: GearTable, k: number, v: number): number {
  if (k < 0 || v < t.overFrom[k]!) return 0;
  return cubicAt(t.dragKnots, t.dragCoefficients, t.last, 1, v * t.overPerSpeed[k]!) * t.overPerTorque[k]!;
}

/** Gear a driver is in at v^2: the first that does not ask for an upshift. */
export function gearAt(t: GearTable, y: number): number {
  let k = 0;
  while (k < t.top && y >= t.upSquared[k]!) k++;
  return k;
}

function cubicAt(
  knots: Float64Array,
  coefficients: Float64Array,
  last: Int32Array,
  which: number,
  x: number,
): number {
  const end = knots.length - 1;
  const at = Math.min(Math.max(x, knots[0]!), knots[end]!);
  let j = last[which]!;
  while (j > 0 && at < knots[j]!) j--;
  while (j < end - 1 && at > knots[j + 1]!) j++;
  last[which] = j;
  const d = at - knots[j]!;
  const c = 4 * j;
  return (
    coefficients[c]! + d * (coefficients[c + 1]! + d * (coefficients[c + 2]! + d * coefficients[c + 3]!))
  );
}
