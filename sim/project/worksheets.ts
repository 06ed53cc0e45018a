/**
 * Garage arithmetic: from what scales, tape and parts lists give to what the model needs.
 *
 * In and out: plain SI numbers, axes as in NOTATION.md (x forward, y left, z up; distances behind the
 * front axle positive rearward). Pure functions that a hand can follow; compile and the forms call them.
 * Knows nothing of project files. Sources stand beside the checks in tests/sim/project/worksheets.test.ts
 * and in sim/MODEL.md.
 */
import { STANDARD_GRAVITY } from '../quantities/units.ts';

/** Readings under the four wheels (kg). */
export interface CornerWeights {
  readonly frontLeft: number;
  readonly frontRight: number;
  readonly rearLeft: number;
  readonly rearRight: number;
}

export interface WeighedKart {
  /** Total mass (kg). */
  readonly mass: number;
  /** Share of the weight on the front wheels, 0 to 1. */
  readonly frontShare: number;
  /** Centre of gravity behind the front axle (m), 0 to wheelbase. */
  readonly behindFrontAxle: number;
  /** Centre of gravity left of the middle (m), positive left. */
  readonly leftOffset: number;
  /** Share on the front-left and rear-right diagonal, 0 to 1; 0.5 where the frame is square on its wheels. */
  readonly diagonalShare: number;
}

/**
 * Mass and plan position of the centre of gravity from the weights under the four wheels.
 *
 * Moments about the front axle and about the middle line:
 *   m = sum m_i,  a = L (m_RL + m_RR)/m,  y = (t_f (m_FL - m_FR) + t_r (m_RL - m_RR)) / (2 m)
 *
 * @param weights m_i, kg, each >= 0, kart level, driver aboard
 * @param wheelbase L, m, > 0
 * @param track t_f and t_r, m, > 0, middle to middle of the tyres
 * @returns zero shares and offsets for a total of zero (the caller refuses that)
 * Validity: level ground, all four readings at the same height. Source: statics.
 */
export function weighKart(
  weights: CornerWeights,
  wheelbase: number,
  track: { readonly front: number; readonly rear: number },
): WeighedKart {
  const front = weights.frontLeft + weights.frontRight;
  const rear = weights.rearLeft + weights.rearRight;
  const mass = front + rear;
  if (!(mass > 0)) return { mass: 0, frontShare: 0, behindFrontAxle: 0, leftOffset: 0, diagonalShare: 0 };
  const leftMoment =
    (track.front * (weights.frontLeft - weights.frontRight) +
      track.rear * (weights.rearLeft - weights.rearRight)) /
    2;
  return {
    mass,
    frontShare: front / mass,
    behindFrontAxle: (wheelbase * rear) / mass,
    leftOffset: leftMoment / mass,
    diagonalShare: (weights.frontLeft + weights.rearRight) / mass,
  };
}

export interface RaisedWeighing {
  /** Total mass (kg), > 0. */
  readonly mass: number;
  /** L (m), > 0. */
  readonly wheelbase: number;
  /** Front-axle reading with the kart level (kg). */
  readonly frontLevel: number;
  /** Front-axle reading with the rear raised (kg), at least frontLevel where the centre of gravity is above the hubs. */
  readonly frontRaised: number;
  /** Rise of the rear hubs (m), 0 < lift < wheelbase; 0.25 m or more to be worth doing. */
  readonly lift: number;
  /** Heights of the hubs above the ground, level (m). */
  readonly hubHeight: { readonly front: number; readonly rear: number };
  /** One standard deviation of the *change* of the front reading (kg); scale error of both readings. */
  readonly changeSpread: number;
  /** One standard deviation of the lift (m). */
  readonly liftSpread?: number;
}

/**
 * Height of the centre of gravity from the front weight, level and with the rear raised, with its error.
 *
 *   sin(theta) = lift/L
 *   h = h_hub + L dW / (W tan(theta)),   h_hub taken on the line between the hubs, at the centre of gravity
 *   sigma_h^2 = (L sigma_dW / (W tan(theta)))^2 + ((h - h_hub) sigma_lift / (lift cos^2(theta)))^2
 *
 * @param w see RaisedWeighing
 * @returns height and its standard deviation, m
 * Validity: suspension locked, tanks full or empty, brakes off, wheels free to roll, tyres not squashed
 * by the shift. A 2 kg error of the change is about 64 mm at 0.25 m lift and 25 mm at 0.6 m (380 kg, 1.75 m).
 * Errors: throws where lift is not between 0 and the wheelbase or mass is not positive (a caller's mistake).
 */
export function cgHeightFromLift(w: RaisedWeighing): { readonly height: number; readonly spread: number } {
  if (!(w.lift > 0 && w.lift < w.wheelbase)) {
    throw new Error(`cgHeightFromLift: lift ${w.lift} must lie between 0 and the wheelbase ${w.wheelbase}`);
  }
  if (!(w.mass > 0)) throw new Error(`cgHeightFromLift: mass ${w.mass} must be positive`);
  const rearShare = (w.mass - w.frontLevel) / w.mass;
  const hubLine = w.hubHeight.front + (w.hubHeight.rear - w.hubHeight.front) * rearShare;
  const tangent = Math.tan(Math.asin(w.lift / w.wheelbase));
  const aboveHubs = (w.wheelbase * (w.frontRaised - w.frontLevel)) / (w.mass * tangent);
  // d(ln tan)/d(lift) = 1/(lift cos^2 theta)
  const cosineSquared = 1 - (w.lift / w.wheelbase) ** 2;
  const fromScale = (w.wheelbase * w.changeSpread) / (w.mass * tangent);
  const fromLift = (aboveHubs * (w.liftSpread ?? 0)) / (w.lift * cosineSquared);
  return { height: hubLine + aboveHubs, spread: Math.hypot(fromScale, fromLift) };
}

/** A mass in the kart's plane of symmetry, and how sure its height is. */
export interface PlacedPart {
  /** kg */
  readonly mass: number;
  /** m behind the front axle */
  readonly behindFrontAxle: number;
  /** m above the ground */
  readonly height: number;
  /** One standard deviation of the height (m); 0 where absent. */
  readonly heightSpread?: number;
}

/**
 * Mass and place of what remains when known parts are taken off a weighed whole.
 *
 *   m = M - sum m_i,  x = (M x_M - sum m_i x_i)/m,  h = (M h_M - sum m_i h_i)/m
 *   sigma_h^2 = ((M sigma_M)^2 + sum (m_i sigma_i)^2) / m^2, heights independent, masses exact
 *
 * @param whole M (kg, > 0) as weighed
 * @param parts m_i (kg, >= 0) at their places
 * @returns undefined where nothing, or less, remains
 * Validity: the parts sat where they are said to sit when the whole was weighed. Source: statics.
 */
export function massWithout(
  whole: PlacedPart,
  parts: readonly PlacedPart[],
): Required<PlacedPart> | undefined {
  const mass = whole.mass - parts.reduce((sum, part) => sum + part.mass, 0);
  if (!(mass > 0)) return undefined;
  const moment = (arm: (part: PlacedPart) => number): number =>
    whole.mass * arm(whole) - parts.reduce((sum, part) => sum + part.mass * arm(part), 0);
  const variance = [whole, ...parts].reduce(
    (sum, part) => sum + (part.mass * (part.heightSpread ?? 0)) ** 2,
    0,
  );
  return {
    mass,
    behindFrontAxle: moment((part) => part.behindFrontAxle) / mass,
    height: moment((part) => part.height) / mass,
    heightSpread: Math.sqrt(variance) / mass,
  };
}

/**
 * Effective rolling radius from the roll-out: r = d / (2 pi n).
 *
 * @param rollOut d, m, ground covered, wheel loaded, no thrust
 * @param turns n, > 0
 * @returns m
 * Source: definition of effective rolling radius (free rolling).
 */
export function rollingRadius(rollOut: number, turns = 1): number {
  return rollOut / (2 * Math.PI * turns);
}

/** One hydraulic circuit: from the balance bar to the disc. */
export interface BrakeCircuit {
  /** Master-cylinder bore (m). */
  readonly masterBore: number;
  /** Caliper piston bore (m). */
  readonly pistonBore: number;
  /** Pistons pressing on one side of the disc, all calipers of the axle together. */
  readonly pistons: number;
  /** Friction of pad on disc. */
  readonly padFriction: number;
  /** Effective radius of the pads (m). */
  readonly discRadius: number;
}

export interface BrakeLayout {
  /** Pad to pivot over rod to pivot. */
  readonly pedalRatio: number;
  /** Share of the rod's force sent to the front master cylinder, 0 to 1. */
  readonly barFrontShare: number;
  readonly front?: BrakeCircuit;
  readonly rear?: BrakeCircuit;
}

export interface BrakeGain {
  /** Braking force at the ground of the whole axle per newton on the pedal (N/N). */
  readonly front: number;
  readonly rear: number;
  /** Front share of braking force, 0 to 1; 0 without any circuit. */
  readonly frontShare: number;
}

/**
 * Braking force per newton of pedal force at each axle, and the front share.
 *
 *   p = F_pedal i s / (pi d_m^2/4),  F_x = 2 mu n (pi d_p^2/4) p r_e / r
 *   so F_x/F_pedal = 2 mu n i s (d_p/d_m)^2 r_e / r
 *
 * i pedal ratio; s the bar's share to that axle; d_m, d_p bores; n pistons on one side of the disc (the
 * other side reacts, hence 2 friction faces, fixed or sliding caliper alike); r_e pad radius; r rolling
 * radius of that axle's tyres.
 *
 * @param layout an absent circuit brakes nothing
 * @param radius rolling radii, m, > 0
 * Validity: no booster, no seal friction or return-spring force, pads bedded, wheels not locked.
 */
export function brakeGain(
  layout: BrakeLayout,
  radius: { readonly front: number; readonly rear: number },
): BrakeGain {
  const front = circuitGain(layout.front, layout.pedalRatio * layout.barFrontShare) / radius.front;
  const rear = circuitGain(layout.rear, layout.pedalRatio * (1 - layout.barFrontShare)) / radius.rear;
  const sum = front + rear;
  return { front, rear, frontShare: sum > 0 ? front / sum : 0 };
}

/** Torque at the axle per newton of pedal force (N·m/N). */
function circuitGain(circuit: BrakeCircuit | undefined, rodGain: number): number {
  if (circuit === undefined) return 0;
  const hydraulicGain = (circuit.pistonBore / circuit.masterBore) ** 2;
  return 2 * circuit.padFriction * circuit.pistons * rodGain * hydraulicGain * circuit.discRadius;
}

/** Springs and anti-roll bar of one axle. */
export interface AxleSprings {
  /** Rate of one spring (N/m). */
  readonly rate: number;
  /** Spring travel over wheel travel. */
  readonly motionRatio: number;
  /** Roll stiffness of the anti-roll bar at the wheels (N·m/rad). */
  readonly bar: number;
}

/**
 * Roll stiffness of one axle about its roll centre: K = k MR^2 t^2/2 + K_bar.
 *
 * The wheel rate is k MR^2; in a roll angle phi each wheel moves t phi/2, two wheels with the arm t/2.
 *
 * @param springs k in N/m (one spring per wheel), MR, K_bar in N·m/rad
 * @param track t, m: for independent suspension the track, for a beam axle the distance between springs
 * @returns N·m/rad
 * Validity: small angles, constant motion ratio, tyres stiff against the springs.
 */
export function rollStiffness(springs: AxleSprings, track: number): number {
  return (springs.rate * springs.motionRatio ** 2 * track ** 2) / 2 + springs.bar;
}

/** Front share of roll stiffness, K_f/(K_f + K_r); one half where neither axle has any. */
export function rollStiffnessShare(front: number, rear: number): number {
  return front + rear > 0 ? front / (front + rear) : 0.5;
}

/**
 * Roll angle per g of lateral acceleration: phi = m g h_s / (K_f + K_r - m g h_s).
 *
 * @param sprungMass m, kg
 * @param arm h_s, m, height of the sprung centre of gravity above the roll axis
 * @param stiffness K_f + K_r, N·m/rad
 * @param gravity m/s2
 * @returns rad per g; Infinity where the springs cannot hold the kart upright
 * Validity: small angles, steady state.
 */
export function rollAnglePerG(
  sprungMass: number,
  arm: number,
  stiffness: number,
  gravity = STANDARD_GRAVITY,
): number {
  const overturning = sprungMass * gravity * arm;
  return stiffness > overturning ? overturning / (stiffness - overturning) : Number.POSITIVE_INFINITY;
}
