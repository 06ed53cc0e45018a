/** How a kart is slowed: how hard, with what, from which speed. As a caller asks for it. */

/**
 * threshold: just under the first lock; held: a constant pedal force, wheels may lock; locked: every
 * braked wheel locked; ideal: both axles at their limit, the bound no fixed balance reaches; none: no brakes.
 */
export type BrakeMode = 'threshold' | 'held' | 'locked' | 'ideal' | 'none';
/** Clutch in; closed throttle staying in gear, as a belt does; closed throttle shifting down as soon as it is safe. */
export type EngineMode = 'clutch in' | 'in gear' | 'shifting down';

export interface BrakeOptions {
  readonly fromSpeed: number;
  readonly toSpeed?: number;
  readonly grade?: number;
  readonly brakes?: BrakeMode;
  readonly engine?: EngineMode;
  /**
   * Gear at the start, counted from 1; the one a driver would be in where absent. Of a belt always the high ratio, which a
   * closed throttle goes with
   */
  readonly gear?: number;
  /** For 'held': force on the pedal, N (needs hydraulics), or braking force of all brakes, N */
  readonly pedalForce?: number;
  readonly brakeForce?: number;
  /** Add the driver's reaction and the pedal's build-up time */
  readonly withDelays?: boolean;
  readonly tolerance?: number;
}
