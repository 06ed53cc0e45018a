/**
 * A track as the page draws it, worked out once for all who show the same state of it: its outline, which follows a
 * hand that drags a point, and its compiled course, which lists and tools read.
 */
import type { CompiledTrack, CourseOutline, Problem, Project } from '../../../sim/index.ts';
import { compileTrack, outlineCourse } from '../../../sim/index.ts';

type TrackSpec = Project['tracks'][string];

/** m between stations of the compiled course: enough for what is read off it. */
const DRAWING_SPACING = 1;

/** Both undefined where there is no such track or it makes no course. */
export const drawnOutline: (spec: TrackSpec | undefined, id: string) => CourseOutline | undefined =
  rememberedBySpec((spec, id) => outlineCourse(spec, `tracks.${id}`));
const compiled = rememberedBySpec((spec, id) => compileTrack(spec, `tracks.${id}`, DRAWING_SPACING));

export function drawnCourse(spec: TrackSpec | undefined, id: string): CompiledTrack | undefined {
  return compiled(spec, id)?.track;
}

/** What a course should be looked at for, or why it makes none. The builder sees it drawn: no path says where it is written. */
export function drawnProblems(spec: TrackSpec | undefined, id: string): readonly Problem[] {
  return (compiled(spec, id)?.problems ?? []).map((told) => ({ ...told, path: '' }));
}

function rememberedBySpec<R>(make: (spec: TrackSpec, id: string) => R | undefined) {
  const known = new WeakMap<TrackSpec, { readonly made: R | undefined }>();
  return (spec: TrackSpec | undefined, id: string): R | undefined => {
    if (spec === undefined) return undefined;
    const there = known.get(spec);
    if (there !== undefined) return there.made;
    const made = make(spec, id);
    known.set(spec, { made });
    return made;
  };
}
