/** Whether a line kept in a project still holds for a kart and a day. In: a project. Out: fresh, near or stale, and why. */
import { compileKart } from '../../compile/kart.ts';
import { compileTrack } from '../../compile/track.ts';
import type { KeptLineSpec, Project } from '../../project/schema.ts';
import type { LineAge } from './made-for.ts';
import { ageOf, madeFor } from './made-for.ts';

/** Stations this far apart find every surface of a track, m. */
const COARSE = 2;

/** `undefined` where kart, day or track are not there or cannot be computed. */
export function lineAge(
  project: Project,
  who: { readonly kart: string; readonly day: string; readonly track: string },
  kept: KeptLineSpec,
): LineAge | undefined {
  const spec = Object.hasOwn(project.tracks, who.track) ? project.tracks[who.track] : undefined;
  const { kart } = compileKart(project, who);
  if (spec === undefined || kart === undefined) return undefined;
  const { track } = compileTrack(spec, `tracks.${who.track}`, COARSE);
  return track === undefined ? undefined : ageOf(kept, madeFor(kart, spec, track.surfaces));
}
