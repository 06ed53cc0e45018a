/**
 * Figures of kart, day and track that a line was found for, and whether it still holds for others.
 *
 * In: compiled kart and the track as written. Out: named numbers, kept with the line; and what has changed since. A line
 * is geometry: small changes of the kart move it by little, so that it counts as stale only beyond `MUCH`.
 */
import { thrustAt } from '../../compile/drivetrain.ts';
import type { CompiledKart } from '../../compile/kart.ts';
import { scaleGrip } from '../../compile/kart.ts';
import type { KeptLineSpec, TrackSpec } from '../../project/schema.ts';
import { runCorner } from '../corner.ts';

export type MadeFor = Readonly<Record<string, number>>;

export interface LineAge {
  /** fresh: nothing changed; near: changed by little; stale: find it again */
  readonly state: 'fresh' | 'near' | 'stale';
  /** What changed, with the share of the change, greatest first */
  readonly changes: readonly { readonly what: string; readonly share: number }[];
}

/** A change of grip, thrust or mass by this share moves the line by more than a hand's breadth. */
export const MUCH = 0.05;
/** Below this a change is rounding of what was written. */
const NOTHING = 1e-6;
const CORNER_RADIUS = 12;
const SPEEDS = [6, 12, 20, 30] as const;
const SHAPE = 'track as drawn';

export function madeFor(kart: CompiledKart, spec: TrackSpec, surfaces: readonly string[]): MadeFor {
  const driven = scaleGrip(kart, kart.driver.gripUse);
  const figures: Record<string, number> = {
    [SHAPE]: shapeOf(spec),
    'kart width': kart.width,
    mass: kart.mass,
    'front share of the brakes': kart.envelope.brakeShare,
  };
  for (const id of surfaces) {
    const pair = driven.surfaces.find((s) => s.id === id);
    const corner = pair === undefined ? undefined : runCorner(driven, pair, { radius: CORNER_RADIUS }).result;
    if (corner !== undefined) figures[`cornering on ${id}`] = corner.lateralAcceleration;
  }
  for (const v of SPEEDS) {
    const gears = kart.drivetrain.gears.filter((gear) => gear.limitSpeed >= v);
    figures[`thrust at ${v} m/s`] = Math.max(0, ...gears.map((gear) => thrustAt(kart.drivetrain, gear, v)));
  }
  return figures;
}

export function ageOf(kept: KeptLineSpec, now: MadeFor): LineAge {
  const names = new Set([...Object.keys(kept.madeFor), ...Object.keys(now)]);
  const changes = [...names]
    .map((what) => {
      const before = kept.madeFor[what] ?? 0;
      const after = now[what] ?? 0;
      const size = Math.max(Math.abs(before), Math.abs(after));
      return { what, share: size === 0 ? 0 : Math.abs(after - before) / size };
    })
    .filter(({ share }) => share > NOTHING)
    .sort((a, b) => b.share - a.share);
  const stale = changes.some(({ what, share }) => what === SHAPE || share > MUCH);
  return { state: stale ? 'stale' : changes.length > 0 ? 'near' : 'fresh', changes };
}

/** A number that differs wherever the drawn track does: FNV-1a over its text, 32 bits. */
function shapeOf({ lines: _, note: __, name: ___, ...drawn }: TrackSpec): number {
  let hash = 0x811c9dc5;
  const text = JSON.stringify(drawn);
  for (let i = 0; i < text.length; i++) {
    hash ^= text.charCodeAt(i);
    hash = Math.imul(hash, 0x01000193);
  }
  return hash >>> 0;
}
