/**
 * Engine, gearbox, clutch and final drive as the runs use them: thrust and drag per gear over road speed.
 *
 * In: a donor, the kart's final drive, the rolling radius of the driven tyres, the day. Out: torque
 * curves for the day and one entry per gear. A belt drive becomes three gears without shift time:
 * low ratio, engine held at its shift-out speed, high ratio.
 */
import type { CubicCurve } from '../numerics/monotone-cubic.ts';
import { evaluateCubic, monotoneCubic } from '../numerics/monotone-cubic.ts';
import type { AirState } from '../physics/air.ts';
import { REFERENCE_AIR, torqueFactor } from '../physics/air.ts';
import { closedThrottleTorque } from '../physics/engine-friction.ts';
import { readDragPoints, readPoints } from '../project/points.ts';
import type { DonorSpec, KartSpec } from '../project/schema.ts';

export interface Gear {
  readonly name: string;
  /** 'held': engine speed constant, the belt's ratio follows road speed. */
  readonly kind: 'fixed' | 'held';
  /** Engine turns per wheel turn; for a held engine the ratio at its low end. */
  readonly overall: number;
  /** Engine speed per road speed, 1/m */
  readonly enginePerSpeed: number;
  /** Thrust per crank torque, 1/m */
  readonly thrustPerTorque: number;
  /** Thrust times speed of a held engine, W; 0 for a fixed ratio. */
  readonly heldPower: number;
  readonly heldEngineSpeed: number;
  /** Mass plus spinning parts on drive and on closed throttle, kg */
  readonly driveMass: number;
  readonly overrunMass: number;
  /** Engine's part of the overrun mass, kg */
  readonly overrunEngineMass: number;
  /** Road speed below which the clutch slips with the engine at its lowest known point, m/s */
  readonly slipSpeed: number;
  /** Road speed at the rev limit, m/s */
  readonly limitSpeed: number;
  /** Road speed at which the driver shifts up, m/s; Infinity in the last gear */
  readonly upshiftSpeed: number;
  /** True where the upshift speed is the limiter and not a crossing of thrusts. */
  readonly upshiftAtLimit: boolean;
  /** Engine speed per road speed and drag per torque with the throttle shut, 1/m */
  readonly overrunPerSpeed: number;
  readonly dragPerTorque: number;
  /** Below this road speed a shut throttle would stall the engine: clutch in, m/s */
  readonly overrunFrom: number;
  /** Highest road speed at which this gear may be taken on a downshift, m/s */
  readonly safeSpeed: number;
}

export interface Drivetrain {
  readonly donor: string;
  readonly gears: readonly Gear[];
  readonly gearNames: readonly string[];
  /** The gears are the parts of a belt's range: no driver shifts them */
  readonly isBelt: boolean;
  /** Full-throttle torque on the day against engine speed, N m over rad/s */
  readonly torque: CubicCurve;
  /** Closed-throttle drag torque, positive, N m over rad/s */
  readonly drag: CubicCurve;
  readonly dragIsEstimate: boolean;
  /** Torque on the day over torque on the sheet. */
  readonly dayFactor: number;
  /** Torque of the sheet over torque at the crank: the drive's efficiency where the sheet was taken at the wheel, else 1. */
  readonly sheetOverCrank: number;
  readonly upshiftTime: number;
  readonly downshiftTime: number;
  readonly launch: Launch;
  readonly idle: number;
  /** The limiter, or the end of the torque sheet where that comes first: nothing is invented beyond it. */
  readonly revLimit: number;
  readonly safeRev: number;
  /** Engine turns per wheel turn outside the gearbox: primary times final. */
  readonly finalRatio: number;
  /** Of these, the final drive: rear over front teeth, or the ratio given. */
  readonly drive: number;
  /** Mass plus wheels with the clutch in, kg */
  readonly coastMass: number;
}

export interface Launch {
  /** Engine speed held while the clutch slips, rad/s */
  readonly engineSpeed: number;
  /** Torque passed while slipping, N m at the engine */
  readonly torque: number;
  /** Road speed at which the clutch locks in first, m/s */
  readonly lockSpeed: number;
  readonly assumed: boolean;
}

/** Name of the part of a belt drive in which the belt sets the ratio. */
const BELT_GEAR = 'belt';

/** Whether gears of these names are a belt's: no driver shifts them. Gears of a box are numbered. */
export function isBeltDrive(gearNames: readonly string[]): boolean {
  return gearNames.includes(BELT_GEAR);
}

/** Launch engine speed over the speed of peak torque, where the builder names none (assumed). */
const LAUNCH_SHARE = 0.8;

export interface DrivetrainParts {
  readonly donor: DonorSpec;
  readonly kart: KartSpec;
  readonly radius: number;
  readonly air: AirState;
  /** Kart mass and mass plus spinning wheels, kg */
  readonly coastMass: number;
  /** Shift speed at the engine, rad/s; undefined: where the next gear pulls as hard. */
  readonly shiftAt?: number | undefined;
}

export function compileDrivetrain(parts: DrivetrainParts): Drivetrain {
  const { donor, kart, radius, air, coastMass } = parts;
  const sheet = readPoints(donor.torque.points, 'donor.torque.points').points;
  if (sheet === undefined) throw new Error('compileDrivetrain: torque points were not validated');
  const dayFactor = factorFor(donor, air);
  const torque = monotoneCubic(
    sheet.speed,
    // A clutch weaker than the engine slips: it passes no more than it carries, home or not.
    sheet.torque.map((t) => Math.min(t * dayFactor, donor.clutch?.torque ?? Number.POSITIVE_INFINITY)),
  );
  const { drag, isEstimate } = dragCurve(donor);
  const final =
    kart.sprockets !== undefined ? kart.sprockets.rear / kart.sprockets.front : (kart.finalRatio ?? 1);
  const chain = kart.sprockets !== undefined ? kart.chain.efficiency : 1;
  const finalRatio = donor.primary * final;
  const common = { donor, torque, radius, finalRatio, chain, coastMass };
  const raw = donor.belt === undefined ? boxGears(common) : beltGears(common, donor.belt);
  const gears = withUpshifts(raw, torque, donor.belt === undefined ? parts.shiftAt : undefined);
  return {
    donor: donor.name,
    gears,
    gearNames: gears.map(({ name }) => name),
    isBelt: donor.belt !== undefined,
    torque,
    drag,
    dragIsEstimate: isEstimate,
    dayFactor,
    sheetOverCrank:
      donor.torque.at === 'wheel' ? donor.efficiency * (donor.belt?.efficiency ?? 1) * chain : 1,
    upshiftTime: donor.belt === undefined ? donor.shift.up : 0,
    downshiftTime: donor.belt === undefined ? donor.shift.down : 0,
    launch: launchOf(donor, torque, gears[0]!),
    idle: donor.idle,
    revLimit: Math.min(donor.revLimit, sheet.speed.at(-1)!),
    safeRev: donor.safeRev,
    finalRatio,
    drive: final,
    coastMass,
  };
}

/** Full-throttle thrust of a gear at road speed v, N; 0 above the rev limit. */
export function thrustAt(drivetrain: Drivetrain, gear: Gear, v: number): number {
  return v > gear.limitSpeed * (1 + 1e-12) ? 0 : smoothThrustAt(drivetrain, gear, v);
}

/** As thrustAt without the cut at the limiter, for integrations that end there by an event. */
export function smoothThrustAt(drivetrain: Drivetrain, gear: Gear, v: number): number {
  if (gear.kind === 'held') return gear.heldPower / v;
  return evaluateCubic(drivetrain.torque, v * gear.enginePerSpeed) * gear.thrustPerTorque;
}

/** Closed-throttle drag of a gear at the wheels at road speed v, N, positive; 0 where the clutch is in. */
export function overrunDragAt(drivetrain: Drivetrain, gear: Gear, v: number): number {
  if (v < gear.overrunFrom) return 0;
  return evaluateCubic(drivetrain.drag, v * gear.overrunPerSpeed) * gear.dragPerTorque;
}

/** Engine speed in a gear at road speed v with the clutch home (or slipping at the lowest point), rad/s. */
export function engineSpeedAt(drivetrain: Drivetrain, gear: Gear, v: number): number {
  if (gear.kind === 'held') return gear.heldEngineSpeed;
  return Math.max(v * gear.enginePerSpeed, drivetrain.torque.knots[0]!);
}

/** Engine speed in a gear at road speed v on a closed throttle, a belt then in its high ratio, rad/s. */
export function overrunEngineSpeedAt(drivetrain: Drivetrain, gear: Gear, v: number): number {
  return Math.max(v * gear.overrunPerSpeed, drivetrain.torque.knots[0]!);
}

/**
 * Road speeds at which full throttle can be in gear k, m/s: from where the clutch is home up to the limiter; of a belt,
 * which a driver cannot keep in a ratio, from where the part before gives over to where it gives over to the next.
 */
export function speedsInGear({ gears, isBelt }: Drivetrain, k: number): { lowest: number; highest: number } {
  const { slipSpeed, limitSpeed, upshiftSpeed } = gears[k]!;
  if (!isBelt) return { lowest: slipSpeed, highest: limitSpeed };
  const lowest = k === 0 ? slipSpeed : gears[k - 1]!.upshiftSpeed;
  return { lowest, highest: Math.max(lowest, Math.min(upshiftSpeed, limitSpeed)) };
}

/** Index of the gear a driver would be in at road speed v: the first whose upshift speed is above v. */
export function gearFor(drivetrain: Drivetrain, v: number): number {
  const { gears } = drivetrain;
  let k = 0;
  while (k + 1 < gears.length && v >= gears[k]!.upshiftSpeed) k++;
  return k;
}

/** Index of the gear that drags on a closed throttle at road speed v: of a box the driver's, of a belt the high ratio. */
export function draggingGearFor(drivetrain: Drivetrain, v: number, asked?: number): number {
  return drivetrain.isBelt ? drivetrain.gears.length - 1 : (asked ?? gearFor(drivetrain, v));
}

function factorFor(donor: DonorSpec, air: AirState): number {
  const { standard, correctBy, measuredIn } = donor.torque;
  if (standard === 'as on the day') return 1;
  if (standard === 'as measured')
    return measuredIn === undefined ? 1 : torqueFactor(correctBy, measuredIn, air);
  return torqueFactor(correctBy, REFERENCE_AIR[standard], air);
}

function dragCurve(donor: DonorSpec): { drag: CubicCurve; isEstimate: boolean } {
  if (donor.closedThrottle !== undefined) {
    const points = readDragPoints(donor.closedThrottle, 'donor.closedThrottle').points;
    if (points === undefined) throw new Error('compileDrivetrain: closed-throttle points were not validated');
    return { drag: monotoneCubic(points.speed, points.torque), isEstimate: false };
  }
  // The estimate is a parabola in engine speed: three values give its coefficients exactly.
  const at = (speed: number) =>
    closedThrottleTorque(speed, donor.displacement, donor.strokes, donor.pumping, donor.stroke);
  const h = donor.safeRev / 2;
  const y0 = at(0);
  const y1 = at(h);
  const y2 = at(2 * h);
  const c2 = (y2 - 2 * y1 + y0) / (2 * h * h);
  const c1 = (y1 - y0) / h - c2 * h;
  return {
    drag: { knots: Float64Array.of(0, donor.safeRev), coefficients: Float64Array.of(y0, c1, c2, 0) },
    isEstimate: true,
  };
}

type RawGear = Omit<Gear, 'upshiftSpeed' | 'upshiftAtLimit'> & { readonly nextAt?: number };

interface Common {
  readonly donor: DonorSpec;
  readonly torque: CubicCurve;
  readonly radius: number;
  readonly finalRatio: number;
  readonly chain: number;
  readonly coastMass: number;
}

function boxGears(c: Common): RawGear[] {
  return (c.donor.gears ?? [1]).map((ratio, i) =>
    fixedGear(c, String(i + 1), ratio, c.donor.efficiency, ratio, c.donor.idle),
  );
}

function beltGears(c: Common, belt: NonNullable<DonorSpec['belt']>): RawGear[] {
  const efficiency = c.donor.efficiency * belt.efficiency;
  const speedAt = (ratio: number) => (belt.shiftsOut * c.radius) / (ratio * c.finalRatio);
  const low = fixedGear(c, 'low', belt.low, efficiency, belt.high, belt.engages);
  const high = fixedGear(c, 'high', belt.high, efficiency, belt.high, belt.engages);
  const held: RawGear = {
    ...low,
    name: BELT_GEAR,
    kind: 'held',
    heldPower:
      evaluateCubic(c.torque, belt.shiftsOut) * belt.shiftsOut * efficiency * wheelLoss(c, efficiency),
    heldEngineSpeed: belt.shiftsOut,
    driveMass: c.coastMass,
    slipSpeed: 0,
    limitSpeed: Number.POSITIVE_INFINITY,
    nextAt: speedAt(belt.high),
  };
  return [{ ...low, nextAt: speedAt(belt.low) }, held, high];
}

/** Loss between crank and wheel that the torque sheet still owes: none when it was taken at the wheel. */
function wheelLoss(c: Common, boxEfficiency: number): number {
  return c.donor.torque.at === 'wheel' ? 1 / boxEfficiency : c.chain;
}

function fixedGear(
  c: Common,
  name: string,
  ratio: number,
  boxEfficiency: number,
  overrunRatio: number,
  overrunFrom: number,
): RawGear {
  const { donor, radius, finalRatio, chain, coastMass, torque } = c;
  const overall = ratio * finalRatio;
  const overrunOverall = overrunRatio * finalRatio;
  const efficiency = boxEfficiency * chain;
  const thrustEfficiency = boxEfficiency * wheelLoss(c, boxEfficiency);
  const perSpeed = overall / radius;
  const overrunPerSpeed = overrunOverall / radius;
  const overrunEngineMass = (donor.inertia * overrunPerSpeed * overrunPerSpeed) / efficiency;
  return {
    name,
    kind: 'fixed',
    overall,
    enginePerSpeed: perSpeed,
    thrustPerTorque: perSpeed * thrustEfficiency,
    heldPower: 0,
    heldEngineSpeed: 0,
    driveMass: coastMass + donor.inertia * perSpeed * perSpeed * efficiency,
    overrunMass: coastMass + overrunEngineMass,
    overrunEngineMass,
    slipSpeed: torque.knots[0]! / perSpeed,
    limitSpeed: Math.min(donor.revLimit, torque.knots[torque.knots.length - 1]!) / perSpeed,
    overrunPerSpeed,
    dragPerTorque: overrunPerSpeed / efficiency,
    overrunFrom: overrunFrom / overrunPerSpeed,
    // On closed throttle: a belt then stands in its high ratio.
    safeSpeed: donor.safeRev / overrunPerSpeed,
  };
}

/** Upshift speeds: where the next gear pulls as hard, at a set engine speed, or at the limiter. */
function withUpshifts(raw: readonly RawGear[], torque: CubicCurve, shiftAt: number | undefined): Gear[] {
  return raw.map(({ nextAt, ...gear }, k) => {
    const next = raw[k + 1];
    if (next === undefined) return { ...gear, upshiftSpeed: Number.POSITIVE_INFINITY, upshiftAtLimit: false };
    if (nextAt !== undefined) return { ...gear, upshiftSpeed: nextAt, upshiftAtLimit: false };
    if (shiftAt !== undefined) {
      const upshiftSpeed = Math.min(shiftAt / gear.enginePerSpeed, gear.limitSpeed);
      return { ...gear, upshiftSpeed, upshiftAtLimit: upshiftSpeed >= gear.limitSpeed };
    }
    const crossing = crossingSpeed(gear, next, torque);
    return { ...gear, upshiftSpeed: crossing ?? gear.limitSpeed, upshiftAtLimit: crossing === undefined };
  });
}

/** Lowest road speed beyond the torque peak at which the next gear pulls as hard; undefined where it never does. */
function crossingSpeed(gear: RawGear, next: RawGear, torque: CubicCurve): number | undefined {
  const pull = (g: RawGear, v: number) => evaluateCubic(torque, v * g.enginePerSpeed) * g.thrustPerTorque;
  const surplus = (v: number) => pull(gear, v) - pull(next, v);
  const top = gear.limitSpeed;
  if (surplus(top) >= 0) return undefined;
  const steps = 400;
  let low = Math.max(gear.slipSpeed, next.slipSpeed);
  if (low >= top) return undefined;
  for (let i = steps - 1; i >= 0; i--) {
    const v = low + ((top - low) * i) / steps;
    if (surplus(v) >= 0) {
      low = v;
      break;
    }
    if (i === 0) return low;
  }
  let high = low + (top - Math.max(gear.slipSpeed, next.slipSpeed)) / steps;
  for (let i = 0; i < 60; i++) {
    const v = (low + high) / 2;
    if (surplus(v) >= 0) low = v;
    else high = v;
  }
  return high;
}

function launchOf(donor: DonorSpec, torque: CubicCurve, first: Gear): Launch {
  const asked = donor.clutch?.launchSpeed ?? donor.belt?.engages;
  const lowest = torque.knots[0]!;
  const highest = Math.min(torque.knots[torque.knots.length - 1]!, donor.revLimit);
  const wanted = asked ?? LAUNCH_SHARE * peakTorqueSpeed(torque);
  const engineSpeed = Math.min(Math.max(wanted, lowest), highest);
  const available = evaluateCubic(torque, engineSpeed);
  return {
    engineSpeed,
    torque: Math.min(available, donor.clutch?.torque ?? Number.POSITIVE_INFINITY),
    lockSpeed: engineSpeed / first.enginePerSpeed,
    assumed: asked === undefined,
  };
}

function peakTorqueSpeed(torque: CubicCurve): number {
  let best = torque.knots[0]!;
  let most = Number.NEGATIVE_INFINITY;
  for (const knot of torque.knots) {
    const value = evaluateCubic(torque, knot);
    if (value > most) {
      most = value;
      best = knot;
    }
  }
  return best;
}
