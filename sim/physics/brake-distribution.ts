/**
 * Sharing the braking force between the axles: the ideal share, adhesion used, lock order.
 *
 * In: static loads, height, wheelbase, shares, rate of braking z = a/g. Out: shares and adhesion
 * used per axle. Point mass with longitudinal transfer on level ground, no drag, no rotating mass.
 */

export interface AxleLoads {
  /** psi_r = rear share of static weight, 0 to 1 */
  readonly rearShare: number;
  /** chi = h/L */
  readonly heightOverWheelbase: number;
}

/**
 * Ideal front share of braking force at rate z: (1 - psi) + z chi. Both axles then use adhesion z.
 * Source: the parabola of ideal distribution, Limpert, Brake Design and Safety; Gillespie ch. 3.
 * Pinned by the `ideal-distribution` evidence.
 */
export function idealFrontShare(loads: AxleLoads, z: number): number {
  return Math.min(1, Math.max(0, 1 - loads.rearShare + z * loads.heightOverWheelbase));
}

/**
 * Adhesion used per axle at rate z, f = Fx/Fz:
 * f_f = phi z/((1 - psi) + z chi), f_r = (1 - phi) z/(psi - z chi).
 * `engine` is the engine's braking force over the weight, taken from the rear axle's share of z.
 * Infinity where an axle is off the ground.
 * Source: Crolla (ed.), Automotive Engineering (2009), eq. 12.1.61-64. Pinned by `adhesion-used`.
 */
export function adhesionUsed(
  loads: AxleLoads,
  frontShare: number,
  z: number,
  engine = 0,
): { front: number; rear: number } {
  const frontLoad = 1 - loads.rearShare + z * loads.heightOverWheelbase;
  const rearLoad = loads.rearShare - z * loads.heightOverWheelbase;
  const brake = Math.max(0, z - engine);
  const rearForce = (1 - frontShare) * brake + Math.min(engine, z);
  return {
    front: frontLoad > 0 ? (frontShare * brake) / frontLoad : Number.POSITIVE_INFINITY,
    rear: rearLoad > 0 ? rearForce / rearLoad : rearForce > 0 ? Number.POSITIVE_INFINITY : 0,
  };
}

/**
 * Rate of braking at which an axle first locks on friction mu:
 * front mu (1 - psi)/(phi - mu chi), rear mu psi/(1 - phi + mu chi); Infinity where it never does.
 * Source: as adhesionUsed, solved for z. Pinned by the `lock-order` evidence.
 */
export function lockRate(
  loads: AxleLoads,
  frontShare: number,
  friction: number,
): { front: number; rear: number } {
  const front = frontShare - friction * loads.heightOverWheelbase;
  const rear = 1 - frontShare + friction * loads.heightOverWheelbase;
  return {
    front: front > 0 ? (friction * (1 - loads.rearShare)) / front : Number.POSITIVE_INFINITY,
    rear: rear > 0 ? (friction * loads.rearShare) / rear : Number.POSITIVE_INFINITY,
  };
}

/** Where a front share keeps to the adhesion corridor; both 0 to 1, least above most where none does. */
export interface CorridorShares {
  readonly least: number;
  readonly most: number;
}

/**
 * Front shares of a fixed balance that keep both axles inside the adhesion-utilisation corridor for road vehicles,
 * f <= (z + 0.07)/0.85 for friction 0.2 to 0.8, that is for z from 0.1 to 0.61.
 * Front: phi <= ((1 - psi) + z chi)(1 + 0.07/z)/0.85, least at z = sqrt(0.07 (1 - psi)/chi) where that lies inside.
 * Rear: 1 - phi <= (psi - z chi)(1 + 0.07/z)/0.85, falling in z: binding at z = 0.61.
 * Clutch in. A kart is not bound by it: a yardstick for how well a balance uses the grip of both axles.
 * Source: UN R13 annex 10 (71/320/EEC annex II appendix), as quoted in Crolla (ed.), Automotive Engineering (2009),
 * ch. 12. Pinned by the `adhesion-corridor` evidence.
 */
export function corridorShares({ rearShare, heightOverWheelbase: chi }: AxleLoads): CorridorShares {
  const { from, to, offset, slope } = CORRIDOR;
  const front = (z: number) => ((1 - rearShare + z * chi) * (1 + offset / z)) / slope;
  const rear = (z: number) => ((rearShare - z * chi) * (1 + offset / z)) / slope;
  const tightest = chi > 0 ? Math.sqrt((offset * (1 - rearShare)) / chi) : to;
  return {
    least: Math.max(0, 1 - rear(to)),
    most: Math.min(1, front(Math.min(to, Math.max(from, tightest)))),
  };
}

/** z over the corridor, and f = (z + offset)/slope. */
const CORRIDOR = { from: 0.1, to: 0.61, offset: 0.07, slope: 0.85 } as const;
