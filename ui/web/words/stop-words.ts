/** A stop in sentences: how far, which axle reaches its grip first, what share would suit. Pure. */
import type { BrakeResult } from '../../../sim/index.ts';
import { percent, speed, stopMetres } from './numbers.ts';

export function axleWord(stop: BrakeResult): string {
  if (stop.firstToLock === 'both') return 'both together';
  return stop.firstToLock === 'none' ? 'neither' : `${stop.firstToLock} first`;
}

/**
 * Front share of the brakes at which both axles would reach their grip together, from a run with both at their
 * limit; near 1 where the engine alone takes all the rear tyres have. Read at the ground: what spins the wheels down
 is left out, which shifts it by up to two points; the words say "about" for that.
 */
export function bestShare(best: BrakeResult): number | undefined {
  const { frontForce, rearForce, engineForce } = best.columns;
  const front = frontForce[0];
  if (front === undefined) return undefined;
  const brakes = front + rearForce[0]! - engineForce[0]!;
  return brakes > 0 ? front / brakes : undefined;
}

export function stopSentence(clutch: BrakeResult, from: number, ground: string, unit: string): string {
  const axle =
    clutch.firstToLock === 'both'
      ? 'both axles reach their grip together'
      : `the ${clutch.firstToLock} axle reaches its grip first`;
  return `From ${speed(from, unit)} on ${ground}, clutch in, braking just short of locking: ${stopMetres(clutch.distance)}; ${axle}.`;
}

export function engineSentence(clutch: BrakeResult, gear: BrakeResult): string {
  const longer = gear.distance - clutch.distance;
  const change =
    Math.abs(longer) < 0.5
      ? 'about as short'
      : `${stopMetres(Math.abs(longer))} ${longer > 0 ? 'longer' : 'shorter'}`;
  return `Left in gear the same stop is ${change}, and ${axleWord(gear)}: the engine brakes the rear only.`;
}

/** False where the engine alone takes all the rear tyres have: then no share of the brakes suits. */
export function isUsable(best: number | undefined): best is number {
  return best !== undefined && best < 0.995;
}

/** Where the present share stands against the best one. */
export function shareSentence(
  share: number,
  best: number | undefined,
  how: 'clutch in' | 'in gear',
  ground: string,
): string {
  const place = `${how}, on ${ground}`;
  if (!isUsable(best))
    return `${place}: no share would suit; the engine alone takes all the rear tyres have.`;
  const points = Math.round((best - share) * 100);
  if (Math.abs(points) <= 1)
    return `${place}: about ${percent(best)} would use both axles fully, which is what you have.`;
  const move = `${Math.abs(points)} points ${points > 0 ? 'further forward' : 'further back'}`;
  return `${place}: about ${percent(best)} would use both axles fully, ${move}.`;
}
