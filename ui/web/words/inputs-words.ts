/**
 * What an answer rests on, in words: how many of its numbers were measured, and how many are guesses. Pure.
 */
import type { InputNote, Project } from '../../../sim/index.ts';
import type { Choice } from '../state/choice.ts';
import { isCourse, isInUse, pathsInUse } from '../state/inputs-in-use.ts';
import { list } from './lap-words.ts';

export function originSentence(notes: readonly InputNote[], choice: Choice, project: Project): string {
  const inUse = pathsInUse(choice, project);
  const counts = new Map<InputNote['origin'], number>();
  let all = 0;
  for (const note of notes) {
    if (!isInUse(note.path, inUse) || isCourse(note.path)) continue;
    all += 1;
    counts.set(note.origin, (counts.get(note.origin) ?? 0) + 1);
  }
  if (all === 0) return '';
  const parts = [...counts]
    .sort((a, b) => b[1] - a[1])
    .map(([origin, count]) => `${count} ${originWord(origin)}`);
  return `It rests on ${all} numbers besides the course itself: ${list(parts)}. The answer is no surer than those.`;
}

/** The origin of a number as the page says it. */
export function originWord(origin: InputNote['origin']): string {
  return origin === 'given' ? 'given without saying from where' : origin;
}
