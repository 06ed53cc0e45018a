/**
 * Front share of the brakes at which both axles would reach their grip together over a stop.
 *
 * In: a stop with both axles at their grip (brakes 'ideal'). Out: the brakes' work in front over all of it,
 *   integral of F_f ds / integral of (F_f + F_r) ds
 * by the trapezoidal rule over the columns, 0 to 1. What engine, flywheel and wheels do themselves is left out.
 */
import type { BrakeResult } from './brake.ts';

/** No one setting can follow an engine as it slows. Undefined where the engine alone takes all the rear tyres have. */
export function bestFrontShare({ columns }: Pick<BrakeResult, 'columns'>): number | undefined {
  const { distance, frontBrake, rearBrake } = columns;
  let front = 0;
  let rear = 0;
  for (let i = 0; i + 1 < distance.length; i++) {
    const step = distance[i + 1]! - distance[i]!;
    front += ((frontBrake[i]! + frontBrake[i + 1]!) / 2) * step;
    rear += ((rearBrake[i]! + rearBrake[i + 1]!) / 2) * step;
  }
  return front > 0 && rear > 0 ? front / (front + rear) : undefined;
}
