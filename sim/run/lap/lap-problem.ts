/**
 * A kart on a track, compiled: what does not change from lap to lap.
 *
 * In: compiled kart and track with the surfaces they meet on. Out: gears as columns, grip per surface, and the
 * greatest speed that holds each station. Knows nothing of how a lap is driven.
 */
import type { CompiledKart, SurfacePair } from '../../compile/kart.ts';
import type { CompiledTrack } from '../../compile/track.ts';
import type { Instant } from '../../physics/grip/instant.ts';
import type { Envelope } from '../../physics/grip-envelope.ts';
import { gripEnvelope } from '../../physics/grip-envelope.ts';
import { type GearTable, gearTable } from './gear-table.ts';
import { limitPass, type SpeedLimits } from './limit-pass.ts';

export interface LapProblem {
  readonly kart: CompiledKart;
  readonly track: CompiledTrack;
  /** Grip by surface of the track, and the same as bare numbers */
  readonly envelopes: readonly Envelope[];
  readonly instants: readonly Instant[];
  readonly gears: GearTable;
  readonly limits: SpeedLimits;
}

/** Binds a kart's grip to a track's surfaces; all of them must be known to the kart. */
export function lapProblem(
  kart: CompiledKart,
  track: CompiledTrack,
  pairs: readonly SurfacePair[],
): LapProblem {
  const envelopes = pairs.map((p) => gripEnvelope(kart.envelope, p.front.grip, p.rear.grip));
  const instants = envelopes.map((e) => e.instant);
  const { mass, gravity } = kart.envelope;
  const gears = gearTable(kart.drivetrain);
  const limits = limitPass({ track, instants, mass, gravity, limitSpeed: gears.limitSpeed });
  return { kart, track, envelopes, instants, gears, limits };
}
