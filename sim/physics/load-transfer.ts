/**
 * Where the weight stands: masses to centre of gravity, roll stiffness to lateral transfer, tip margin.
 *
 * In: masses with places, springs, heights (SI, heights above ground). Out: axle distances, moments
 * carried by each axle per newton of side force. ISO 8855 axes.
 */

export interface PlacedMass {
  readonly mass: number;
  /** x behind the front axle, m */
  readonly behindFrontAxle: number;
  /** z above ground, m */
  readonly height: number;
}

/**
 * Centre of gravity of several masses: x = sum(m x)/sum(m), h = sum(m z)/sum(m).
 * @returns total mass, kg, with the place of its centre; zero mass gives the origin.
 */
export function combineMasses(parts: readonly PlacedMass[]): PlacedMass {
  const mass = parts.reduce((sum, p) => sum + p.mass, 0);
  if (mass === 0) return { mass: 0, behindFrontAxle: 0, height: 0 };
  return {
    mass,
    behindFrontAxle: parts.reduce((sum, p) => sum + p.mass * p.behindFrontAxle, 0) / mass,
    height: parts.reduce((sum, p) => sum + p.mass * p.height, 0) / mass,
  };
}

export interface RollSetup {
  readonly mass: number;
  readonly wheelbase: number;
  readonly cg: PlacedMass;
  /** lambda, front share of roll stiffness, 0 to 1 */
  readonly frontShare: number;
  /** K_phi, N m/rad; absent: the frame does not lean */
  readonly stiffness?: number | undefined;
  /** roll-centre heights, m; 0 where not given */
  readonly rollCentres: { readonly front: number; readonly rear: number };
  readonly unsprung: {
    readonly front: { readonly mass: number; readonly height: number };
    readonly rear: { readonly mass: number; readonly height: number };
  };
  readonly gravity: number;
}

/**
 * Transfer heights H_f, H_r, m: the roll moment an axle carries per newton of total side force, so
 * that its lateral load transfer is m ay H/t.
 *
 * Springless, no roll centres: H = lambda h. Otherwise, with sprung mass m_s, its height above the
 * roll axis d and lean phi = m_s ay d/(K - m_s g d):
 *   H_i m = m_s,i z_rc,i + m_u,i z_u,i + lambda_i m_s d (1 + m_s g d/(K - m_s g d)).
 * Source: Barton and Fieldhouse, Automotive Chassis Engineering (2018), p. 174. Pinned by the
 * `lateral-transfer` evidence.
 */
export function transferHeights(setup: RollSetup): { front: number; rear: number; lean: number } {
  const { mass, wheelbase, cg, frontShare, unsprung, rollCentres, gravity } = setup;
  if (mass === 0) return { front: 0, rear: 0, lean: 0 };
  const sprungMass = mass - unsprung.front.mass - unsprung.rear.mass;
  const sprungHeight =
    (mass * cg.height -
      unsprung.front.mass * unsprung.front.height -
      unsprung.rear.mass * unsprung.rear.height) /
    sprungMass;
  const sprungBehind = (mass * cg.behindFrontAxle - unsprung.rear.mass * wheelbase) / sprungMass;
  const rearPart = sprungBehind / wheelbase;
  const axisHeight = rollCentres.front + (rollCentres.rear - rollCentres.front) * rearPart;
  const arm = sprungHeight - axisHeight;
  // phi per g; the same number by which the leaning sprung mass adds to its own transfer.
  const lean =
    setup.stiffness === undefined
      ? 0
      : (sprungMass * gravity * arm) / (setup.stiffness - sprungMass * gravity * arm);
  const elastic = sprungMass * arm * (1 + lean);
  const front =
    sprungMass * (1 - rearPart) * rollCentres.front +
    unsprung.front.mass * unsprung.front.height +
    frontShare * elastic;
  const rear =
    sprungMass * rearPart * rollCentres.rear +
    unsprung.rear.mass * unsprung.rear.height +
    (1 - frontShare) * elastic;
  return { front: front / mass, rear: rear / mass, lean };
}

/**
 * Static stability factor: the lateral acceleration, in g, at which the inner wheels of a rigid
 * vehicle lift, t/(2h).
 * Source: NHTSA, Rollover rating, SSF definition. Pinned by the `rollover-factor` evidence.
 */
export function staticStabilityFactor(track: number, cgHeight: number): number {
  return cgHeight > 0 ? track / (2 * cgHeight) : Number.POSITIVE_INFINITY;
}
