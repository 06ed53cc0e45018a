/**
 * The centreline of a track as the page draws it, compiled once for all who show the same state of it: while a point is
 * dragged each compilation comes out of the time of one frame.
 */
import type { CompiledTrack, Project } from '../../../sim/index.ts';
import { compileTrack } from '../../../sim/index.ts';

type TrackSpec = Project['tracks'][string];

/** m between stations: enough to see, quick enough to follow the hand. */
const DRAWING_SPACING = 1;

const known = new WeakMap<TrackSpec, { readonly track: CompiledTrack | undefined }>();

/** Undefined where there is no such track or it makes no course. */
export function drawnCourse(spec: TrackSpec | undefined, id: string): CompiledTrack | undefined {
  if (spec === undefined) return undefined;
  const there = known.get(spec);
  if (there !== undefined) return there.track;
  const { track } = compileTrack(spec, `tracks.${id}`, DRAWING_SPACING);
  known.set(spec, { track });
  return track;
}
