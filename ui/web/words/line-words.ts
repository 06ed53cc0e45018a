/** Which line the laps of a study are driven on, in a sentence. Pure. */
import type { Project } from '../../../sim/index.ts';
import type { Choice } from '../state/choice.ts';
import { lineOf } from '../state/choice.ts';
import { list } from './lap-words.ts';

export function lineSentence(project: Project, choice: Choice, tracks: readonly string[]): string {
  const on = tracks.filter((track) => lineOf({ ...choice, track }, project) !== 'as drawn');
  if (on.length === 0) return 'Laps are driven on the course as drawn.';
  const names = on.map((track) => project.tracks[track]?.name ?? track);
  const rest = on.length < tracks.length ? ', on the others on the course as drawn' : '';
  return `Laps are driven on the ${choice.line} line kept with ${list(names)}${rest}.`;
}
