/**
 * What the grip envelope is made of: one axle's tyres on one surface, the kart round them, the constraints.
 *
 * Plain SI numbers. Knows nothing of speeds or of the ground.
 */

/** One axle on one surface. */
export interface AxleGrip {
  /** Lateral load curve of one wheel: mu0 (1 + s), mu0 s/F0, top load. */
  readonly slope: number;
  readonly fall: number;
  readonly topLoad: number;
  /** rho, lateral over longitudinal peak friction. */
  readonly lateralRatio: number;
  /** Rolling resistance f0, f1, f2 in f0 (1 + f1 v + f2 v^2). */
  readonly rolling: number;
  readonly rollingPerSpeed: number;
  readonly rollingPerSpeedSquared: number;
}

export interface EnvelopeKart {
  readonly mass: number;
  readonly gravity: number;
  readonly wheelbase: number;
  /** a, front axle to centre of gravity; b, centre of gravity to rear axle; m */
  readonly toFront: number;
  readonly toRear: number;
  readonly cgHeight: number;
  readonly trackFront: number;
  readonly trackRear: number;
  /** H_f, H_r of load-transfer.ts, m */
  readonly transferFront: number;
  readonly transferRear: number;
  /** Spin inertia of both wheels of an axle over r^2, kg */
  readonly spinFront: number;
  readonly spinRear: number;
  /** rho CdA/2 and rho ClA/2 split by axle, kg/m */
  readonly drag: number;
  readonly downFront: number;
  readonly downRear: number;
  readonly dragHeight: number;
  /** Headwind, m/s */
  readonly headwind: number;
  readonly driven: 'rear' | 'front' | 'all';
  readonly coupling: 'spool' | 'open' | 'limited';
  readonly biasRatio: number;
  /** Lateral load moved on the driven axle per newton of drive by a lengthwise shaft; 0 with a chain. */
  readonly shaftTransfer: number;
  /** Front share of braking force, 0 to 1 */
  readonly brakeShare: number;
}

/** What stops x from growing or falling further. */
export const CONSTRAINT = { none: 0, front: 1, rear: 2, rollover: 3, frontLift: 4, rearLift: 5 } as const;
export type Constraint = (typeof CONSTRAINT)[keyof typeof CONSTRAINT];
