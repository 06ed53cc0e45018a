/**
 * The few numbers a builder compares, out of the answer to a run: what studies vary inputs to move.
 *
 * In: a request's verb and its result. Out: named SI numbers; null where the run did not get that far.
 */
import type { AccelerationResult } from './accelerate.ts';
import { bestFrontShare } from './best-share.ts';
import type { BrakeResult } from './brake.ts';
import type { CornerResult } from './corner.ts';
import type { KartSheet } from './kart-sheet.ts';
import type { LapResult } from './lap.ts';
import type { Figures } from './named-figures.ts';
import type { ThrustResult } from './thrust.ts';

/** The same names and bits as sim/run/lap/lap-figures.ts gives without describing the lap. */
export const lapFigures = (lap: LapResult): Figures => ({
  'lap time': lap.time,
  'top speed': lap.topSpeed,
  'average speed': lap.averageSpeed,
  'tip margin': lap.tipMargin,
  'time on the limiter': lap.timeAtLimiter,
  'limiter before braking': lap.limiterBeforeBraking,
  shifts: lap.shifts,
});

/** Times to the marks, under the marks' own labels. */
export const accelerationFigures = (run: AccelerationResult): Figures =>
  Object.fromEntries(run.marks.map((mark) => [mark.label, mark.time]));

export const thrustFigures = (thrust: ThrustResult): Figures => ({ 'top speed': thrust.topSpeed });

export const brakeFigures = (stop: BrakeResult): Figures => ({
  'stopping distance': stop.distance,
  'stopping time': stop.time,
  'mean deceleration': stop.meanDeceleration,
  'front grip used': stop.useFront,
  'rear grip used': stop.useRear,
  'front locked for': stop.frontLockedFor,
  'rear locked for': stop.rearLockedFor,
  'engine share': stop.engineShare,
  'front share of the brakes': bestFrontShare(stop) ?? null,
});

export const cornerFigures = (corner: CornerResult): Figures => ({
  'cornering speed': corner.speed,
  'lateral acceleration': corner.lateralAcceleration,
  'tip margin': corner.tipAt > 0 ? 1 - corner.lateralAcceleration / (corner.tipAt * STANDARD_GRAVITY) : null,
});

export const sheetFigures = (sheet: KartSheet): Figures => ({
  mass: sheet.mass,
  'front weight share': sheet.frontWeightShare,
  'tip factor': sheet.tipFactor,
  'brake front share': sheet.brakeFrontShare,
  'cg height over wheelbase': sheet.cgHeight / sheet.wheelbase,
});

/** m/s2; `tipAt` is in multiples of it. */
const STANDARD_GRAVITY = 9.80665;
