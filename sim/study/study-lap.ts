/**
 * The lap a study asks for, on one line for all of its answers.
 *
 * In: project, who, track, which kind of line. Out: the request; the drawn line where the track keeps none of that kind.
 */
import type { LineKind } from '../compile/kept-line.ts';
import { keptLineOf } from '../compile/kept-line.ts';
import type { Project } from '../project/schema.ts';
import type { RunRequest } from '../run/perform.ts';

/** m, of every lap of a study: it is within some milliseconds of the converged one and a difference of two known to one, at a third of the time. */
export const STUDY_LAP_SPACING = 0.5;

export interface StudyLapOptions {
  readonly kart: string;
  readonly day: string;
  /** Driven where the track keeps such a line; as drawn where absent or not kept */
  readonly line?: LineKind;
}

export function studyLap(project: Project, { kart, day, line }: StudyLapOptions, track: string) {
  const spec = project.tracks[track];
  const isKept =
    line !== undefined &&
    line !== 'as drawn' &&
    spec !== undefined &&
    keptLineOf(spec, line, { kart, day }) !== undefined;
  return {
    verb: 'lap',
    kart,
    day,
    track,
    spacing: STUDY_LAP_SPACING,
    ...(isKept ? { options: { line } } : {}),
  } as const satisfies RunRequest;
}
