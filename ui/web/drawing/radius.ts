/** How far a control point must move for its bend to have a wanted radius. Pure. */
import type { DrawnPoint } from './drawn-points.ts';
import { bent } from './point-edits.ts';

/** Factors on the distance from the chord of the neighbours: from next to straight to far out. */
const LEAST = 0.01;
const MOST = 12;
/** Step of the search outwards, and halvings once the radius is between two steps. */
const STEP = 1.08;
const HALVINGS = 40;

/**
 * The points with the bend at one of them brought to a radius; undefined where no place on the way out from the chord
 * gives it. Looked for from where the point is, so that of several places the nearest is taken. `radiusOf` is the
 * radius of the drawn curve there, m.
 */
export function bentToRadius(
  points: readonly DrawnPoint[],
  at: number,
  wanted: number,
  closed: boolean,
  radiusOf: (points: readonly DrawnPoint[]) => number,
): DrawnPoint[] | undefined {
  const bentBy = (factor: number): DrawnPoint[] => bent(points, at, factor, closed);
  const isWider = (factor: number): boolean => radiusOf(bentBy(factor)) > wanted;
  const widerNow = isWider(1);
  // Wider bends lie towards the chord, tighter ones away from it.
  const step = widerNow ? STEP : 1 / STEP;
  let near = 1;
  let far = step;
  while (isWider(far) === widerNow) {
    near = far;
    far *= step;
    if (far < LEAST || far > MOST) return undefined;
  }
  for (let i = 0; i < HALVINGS; i++) {
    const middle = Math.sqrt(near * far);
    if (isWider(middle) === widerNow) near = middle;
    else far = middle;
  }
  return bentBy(Math.sqrt(near * far));
}
