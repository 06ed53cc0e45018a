/**
 * Roller-chain geometry: links, centre distance, wrap, chain speed.
 *
 * In: pitch, tooth numbers, centre distance, SI. Out: lengths in links or metres, angles in rad. Two sprockets in one
 * plane, a taut chain without slack. Knows nothing of karts.
 */
import { findRoot } from '../numerics/root.ts';

/** Two sprockets and the pitch of the chain on them. */
export interface ChainDrive {
  /** p, m */
  readonly pitch: number;
  /** Teeth of the two sprockets, in either order */
  readonly front: number;
  readonly rear: number;
}

/**
 * Pitch diameter of a sprocket, d = p / sin(pi / z): the circle on which the rollers' centres lie.
 * @param pitch p, m
 * @param teeth z, 3 or more
 * @returns m
 * Source: ISO 606, annex A; the same in ANSI/ASME B29.1. Pinned by the `chain-geometry` evidence.
 */
export function pitchDiameter(pitch: number, teeth: number): number {
  return pitch / Math.sin(Math.PI / teeth);
}

/**
 * Length of chain that fits a centre distance, in links, exact for rollers on the pitch circles:
 *   X = 2 C cos(beta) + z1 (pi - 2 beta)/(2 pi) + z2 (pi + 2 beta)/(2 pi),  sin(beta) = (d2 - d1)/(2 a),  C = a/p
 * @param centreDistance a, m; above (d2 - d1)/2
 * @returns links, not whole
 * Source: open-belt geometry on pitch circles; the handbook formula X = 2C + (z1 + z2)/2 + ((z2 - z1)/2pi)^2/C (ISO
 * 10823, ANSI/ASME B29.1 supplement) is its first terms. Pinned by the `chain-length` evidence.
 */
export function linksFor(drive: ChainDrive, centreDistance: number): number {
  const small = Math.min(drive.front, drive.rear);
  const large = Math.max(drive.front, drive.rear);
  const beta = leanOf(drive, centreDistance);
  const share = beta / Math.PI;
  return (2 * centreDistance * Math.cos(beta)) / drive.pitch + small * (0.5 - share) + large * (0.5 + share);
}

/**
 * Centre distance at which a chain of so many links is taut: `linksFor` solved for a.
 * @param links X, above half the sum of the teeth
 * @returns m; null where the sprockets would touch or the chain is too short to go round them
 * Pinned by the `chain-length` evidence.
 */
export function centreDistanceFor(drive: ChainDrive, links: number): number | null {
  const touching =
    (pitchDiameter(drive.pitch, drive.front) + pitchDiameter(drive.pitch, drive.rear)) / 2 + drive.pitch;
  const excess = (a: number) => linksFor(drive, a) - links;
  if (excess(touching) > 0) return null;
  // Both strands alone are shorter than the whole chain.
  return findRoot(excess, touching, Math.max(touching, (links * drive.pitch) / 2) + drive.pitch, 1e-13);
}

/**
 * Angle of wrap on the small sprocket, pi - 2 beta, rad.
 * @param centreDistance a, m
 * Source: as linksFor. Pinned by tests/sim/physics/chain.test.ts.
 */
export function wrapOnSmall(drive: ChainDrive, centreDistance: number): number {
  return Math.PI - 2 * leanOf(drive, centreDistance);
}

/**
 * Mean chain speed v = z p n, n in turns per second.
 * @param teeth z of the sprocket that turns
 * @param angularSpeed of that sprocket, rad/s
 * @returns m/s
 * Source: ISO 10823. Pinned by tests/sim/physics/chain.test.ts.
 */
export function chainSpeed(pitch: number, teeth: number, angularSpeed: number): number {
  return (teeth * pitch * angularSpeed) / (2 * Math.PI);
}

/** Even number of links nearest to a length: an odd number needs a cranked link, which is weaker. */
export function evenLinks(links: number): number {
  return 2 * Math.round(links / 2);
}

/** beta, lean of the strands against the line of centres, rad. */
function leanOf({ pitch, front, rear }: ChainDrive, centreDistance: number): number {
  const across = Math.abs(pitchDiameter(pitch, rear) - pitchDiameter(pitch, front));
  return Math.asin(Math.min(1, across / (2 * centreDistance)));
}
