/** Slide or tip, in sentences, from cornering runs. Pure. */
import type { CornerCurveResult, CornerResult, KartSheet } from '../../../sim/index.ts';
import { percent, speed } from './numbers.ts';

/** m/s2 in a g */
const G = 9.80665;

export function cornerSentence(corner: CornerResult, ground: string, unit: string): string {
  const radius = `${Number(corner.radius.toPrecision(3))} m`;
  if (corner.radius < corner.turningRadius)
    return `Round ${radius} this kart cannot be steered: ${corner.turningRadius.toFixed(1)} m is its tightest. What follows is what its tyres and its stance alone would do.`;
  if (corner.speed === null || corner.limit === null)
    return `Round ${radius} on ${ground} it holds at any speed this kart can reach.`;
  const first =
    corner.limit === 'tip'
      ? 'it tips before it slides'
      : corner.limit === 'front lift' || corner.limit === 'rear lift'
        ? `the ${corner.limit.split(' ')[0]} wheels lift first`
        : `it slides before it tips, the ${corner.limit.split(' ')[0]} tyres first`;
  return `Round ${radius} on ${ground} ${first}: at ${speed(corner.speed, unit)}, pulling ${(corner.lateralAcceleration / G).toFixed(2)} g.`;
}

/** Share of the tip limit still in hand when the tyres give way; negative never, 0 where it tips first. */
export function tipMargin(corner: CornerResult): number {
  return Math.max(0, 1 - corner.lateralAcceleration / G / corner.tipAt);
}

export function marginSentence(corner: CornerResult): string {
  const margin = tipMargin(corner);
  return corner.limit === 'tip'
    ? `The inner wheels lift at ${corner.tipAt.toFixed(2)} g, and the tyres would hold more.`
    : `The inner wheels would lift at ${corner.tipAt.toFixed(2)} g: ${percent(margin)} of that is in hand when the tyres let go. More grip than assumed eats into it.`;
}

/** How both grounds compare over all radii. */
export function groundsSentence(curve: CornerCurveResult, ground: string): string {
  const tips = curve.limit.reduce((n, limit) => n + (curve.limits[limit] === 'tip' ? 1 : 0), 0);
  if (tips === 0) return `On ${ground} it slides first at every radius looked at.`;
  if (tips === curve.limit.length) return `On ${ground} it tips first at every radius looked at.`;
  return `On ${ground} it tips first at ${tips} of ${curve.limit.length} radii.`;
}

export function stanceSentence(sheet: KartSheet): string {
  return sheet.tipFactor === null
    ? 'Half its track over the height of its centre of gravity leaves nothing to lift.'
    : `Rigid, with half the track over the height of the centre of gravity, it would lift its inner wheels at ${sheet.tipFactor.toFixed(2)} g; tyres and springs that give bring that down.`;
}
