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

/** The line a lap of a study drives: the one asked for where the track keeps one of that kind, else the drawn one. */
export function lineDriven(project: Project, { kart, day, line }: StudyLapOptions, track: string): LineKind {
  const spec = project.tracks[track];
  return line === undefined || spec === undefined || keptLineOf(spec, line, { kart, day }) === undefined
    ? 'as drawn'
    : line;
}

export function studyLap(project: Project, options: StudyLapOptions, track: string) {
  const { kart, day } = options;
  const line = lineDriven(project, options, track);
  return {
    verb: 'lap',
    kart,
    day,
    track,
    spacing: STUDY_LAP_SPACING,
    ...(line === 'as drawn' ? {} : { options: { line } }),
  } as const satisfies RunRequest;
}
