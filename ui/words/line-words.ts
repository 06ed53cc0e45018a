/** Which line laps are driven on, in words. Pure. */
import type { LineKind, Project } from '../../sim/index.ts';
import { lineDriven } from '../../sim/index.ts';
import { list } from '../web/words/lap-words.ts';

export interface LineAsked {
  readonly kart: string;
  readonly day: string;
  /** Driven where the track keeps one of the kind */
  readonly line?: LineKind;
}

export function lineSentence(project: Project, asked: LineAsked, tracks: readonly string[]): string {
  return otherLineSentence(project, asked, tracks) || 'Laps are driven on the course as drawn.';
}

/** '' where all tracks are driven as drawn. */
export function otherLineSentence(project: Project, asked: LineAsked, tracks: readonly string[]): string {
  const on = tracks.filter((track) => lineDriven(project, asked, track) !== 'as drawn');
  if (on.length === 0) return '';
  const names = on.map((track) => project.tracks[track]?.name ?? track);
  const rest = on.length < tracks.length ? ', on the others on the course as drawn' : '';
  return `Laps are driven on the ${asked.line} line kept with ${list(names)}${rest}.`;
}
