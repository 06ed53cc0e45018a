/**
 * Where the balance bar stands for a front share of braking force.
 *
 * In: the brakes of a project, rolling radii. Out: share of the pedal rod's force sent to the front master cylinder, by
 *   phi = b k_f / (b k_f + (1 - b) k_r), solved for b
 * with k the braking force per rod force of each circuit. Null without hydraulics on both axles.
 */

import type { BrakesSpec } from '../../project/schema.ts';
import { brakeGain } from '../../project/worksheets.ts';

export function barShareFor(
  { hydraulics }: BrakesSpec,
  radius: { readonly front: number; readonly rear: number },
  frontShare: number,
): number | null {
  if (hydraulics?.front === undefined || hydraulics.rear === undefined) return null;
  const { front, rear } = brakeGain(
    { pedalRatio: hydraulics.pedalRatio, barFrontShare: 0.5, front: hydraulics.front, rear: hydraulics.rear },
    radius,
  );
  const weight = frontShare * rear + (1 - frontShare) * front;
  return weight > 0 ? (frontShare * rear) / weight : null;
}
