/**
 * The numbers of one kart on one surface at one instant: constants `k` and working state `s`.
 *
 * In: kart and axles. Out: an `Instant` that the functions beside this file read and write. Numbers come and go by
 * fields of one object because V8 boxes them as arguments and results of functions it does not inline, and a lap needs
 * some ten thousand evaluations a millisecond. (Slots of a typed array would do too, but bundlers turn the constants
 * that name them into variables, which costs more than the arithmetic.) Knows nothing of stations or gears.
 */
import type { AxleGrip, EnvelopeKart } from './grip-inputs.ts';

export interface Instant {
  readonly k: Readonly<Constants>;
  readonly s: State;
  readonly coupling: EnvelopeKart['coupling'];
  readonly drivesFront: boolean;
  readonly drivesAll: boolean;
  /** One driven axle whose wheels turn as one, no shaft reaction: its capacity is that of both wheels. */
  readonly plainDrive: boolean;
  /** The driven axle's capacity is that of both wheels, whatever the axles driven. */
  readonly plainCoupling: boolean;
  /** Rolling resistance depends on speed. */
  readonly rollingGrows: boolean;
}

/**
 * First value of every field: a number that is no small integer, so that V8 gives all of them the same representation
 * whatever the kart.
 */
const UNSET = Number.NaN;

/** The kart on its surface. */
export class Constants {
  mass = UNSET;
  perMass = UNSET;
  gravity = UNSET;
  weight = UNSET;
  /** Share of a force at the centre of gravity that an axle carries: b/L and a/L */
  shareFront = UNSET;
  shareRear = UNSET;
  /** h/L */
  rise = UNSET;
  /** (h_a - h)/L */
  dragLever = UNSET;
  drag = UNSET;
  downFront = UNSET;
  downRear = UNSET;
  headwind = UNSET;
  rollFront = UNSET;
  rollFront1 = UNSET;
  rollFront2 = UNSET;
  rollRear = UNSET;
  rollRear1 = UNSET;
  rollRear2 = UNSET;
  /** H_f/t_f and H_r/t_r: load moved sideways per side force */
  sidewaysFront = UNSET;
  sidewaysRear = UNSET;
  /** (H_f + H_r)/((t_f + t_r)/4): roll moment over mean half track, per side force */
  tipping = UNSET;
  trackFront = UNSET;
  trackRear = UNSET;
  transferFront = UNSET;
  transferRear = UNSET;
  /** 1/2 over (t_f + t_r)/4 */
  halfInverse = UNSET;
  muFront = UNSET;
  fallFront = UNSET;
  topFront = UNSET;
  rhoFront = UNSET;
  muRear = UNSET;
  fallRear = UNSET;
  topRear = UNSET;
  rhoRear = UNSET;
  spinFront = UNSET;
  spinRear = UNSET;
  /** Spin of the axle the engine does not drive */
  spinFree = UNSET;
  brakeShare = UNSET;
  /** Part of the engine's drag on the front axle: 0, 1/2 or 1 */
  engineFront = UNSET;
  shaftTransfer = UNSET;
  biasRatio = UNSET;
}

/** The kart at one speed on one piece of ground, and what was last asked and answered. */
export class State {
  /** Given: v and v^2 */
  speed = UNSET;
  squared = UNSET;
  /** Set by `place`: side force, load and climbing resistance, N */
  side = UNSET;
  normal = UNSET;
  climb = UNSET;
  /** Fz_f = loadFront - T, Fz_r = loadRear + T, T = transfer + tau x */
  loadFront = UNSET;
  loadRear = UNSET;
  transfer = UNSET;
  tau = UNSET;
  drag = UNSET;
  /** R = rolling + rho x */
  rolling = UNSET;
  rho = UNSET;
  /** R + D + climb at x = 0 */
  fixed = UNSET;
  /** Load moved sideways per axle, side force per axle, overturning force */
  sidewaysFront = UNSET;
  sidewaysRear = UNSET;
  sideFront = UNSET;
  sideRear = UNSET;
  tipping = UNSET;
  /** Asked of the searches: wheel force and effective mass of a drive, drag and mass of the engine, first guess */
  force = UNSET;
  inertia = UNSET;
  engine = UNSET;
  engineMass = UNSET;
  guess = UNSET;
  /** Axle that probably limits braking, as a constraint */
  likely = UNSET;
  /** Answered: x, its acceleration, worst excess there and which constraint it is */
  x = UNSET;
  acceleration = UNSET;
  excess = UNSET;
  which = UNSET;
  /** Contact forces and their slopes about x */
  front = UNSET;
  frontSlope = UNSET;
  rear = UNSET;
  rearSlope = UNSET;
  /** Greatest x looked at */
  top = UNSET;
  /** Force of the brakes at x and its slope */
  brake = UNSET;
  brakeSlope = UNSET;
  /** Capacities and their slopes against x; load moved sideways on the driven axle and its slope */
  capacityFront = UNSET;
  capacityRear = UNSET;
  capacityFrontSlope = UNSET;
  capacityRearSlope = UNSET;
  drivenSideways = UNSET;
  drivenSidewaysSlope = UNSET;
}

/** Prepares the numbers of one kart on one surface. */
export function instantOf(kart: EnvelopeKart, front: AxleGrip, rear: AxleGrip): Instant {
  const { mass, gravity, wheelbase, cgHeight, trackFront, trackRear, transferFront, transferRear } = kart;
  const k = new Constants();
  const halfTracks = (trackFront + trackRear) / 4;
  k.mass = mass;
  k.perMass = 1 / mass;
  k.gravity = gravity;
  k.weight = mass * gravity;
  k.shareFront = kart.toRear / wheelbase;
  k.shareRear = kart.toFront / wheelbase;
  k.rise = cgHeight / wheelbase;
  k.dragLever = (kart.dragHeight - cgHeight) / wheelbase;
  k.drag = kart.drag;
  k.downFront = kart.downFront;
  k.downRear = kart.downRear;
  k.headwind = kart.headwind;
  k.rollFront = front.rolling;
  k.rollFront1 = front.rollingPerSpeed;
  k.rollFront2 = front.rollingPerSpeedSquared;
  k.rollRear = rear.rolling;
  k.rollRear1 = rear.rollingPerSpeed;
  k.rollRear2 = rear.rollingPerSpeedSquared;
  k.sidewaysFront = transferFront / trackFront;
  k.sidewaysRear = transferRear / trackRear;
  k.tipping = (transferFront + transferRear) / halfTracks;
  k.trackFront = trackFront;
  k.trackRear = trackRear;
  k.transferFront = transferFront;
  k.transferRear = transferRear;
  k.halfInverse = 0.5 / halfTracks;
  k.muFront = front.slope;
  k.fallFront = front.fall;
  k.topFront = front.topLoad;
  k.rhoFront = front.lateralRatio;
  k.muRear = rear.slope;
  k.fallRear = rear.fall;
  k.topRear = rear.topLoad;
  k.rhoRear = rear.lateralRatio;
  k.spinFront = kart.spinFront;
  k.spinRear = kart.spinRear;
  k.spinFree = kart.driven === 'front' ? kart.spinRear : kart.spinFront;
  k.brakeShare = kart.brakeShare;
  k.engineFront = kart.driven === 'front' ? 1 : kart.driven === 'all' ? 0.5 : 0;
  k.shaftTransfer = kart.shaftTransfer;
  k.biasRatio = kart.biasRatio;
  const plainCoupling = kart.coupling === 'spool' && kart.shaftTransfer === 0;
  return {
    k,
    s: new State(),
    coupling: kart.coupling,
    drivesFront: kart.driven === 'front',
    drivesAll: kart.driven === 'all',
    plainDrive: plainCoupling && kart.driven !== 'all',
    plainCoupling,
    rollingGrows:
      front.rollingPerSpeed !== 0 ||
      front.rollingPerSpeedSquared !== 0 ||
      rear.rollingPerSpeed !== 0 ||
      rear.rollingPerSpeedSquared !== 0,
  };
}
