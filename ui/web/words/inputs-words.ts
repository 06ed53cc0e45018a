/**
 * What an answer rests on, in words: how many of its numbers were measured, how many are guesses, how many in doubt. Pure.
 */
import type { InputNote, Project, RunRequest } from '../../../sim/index.ts';
import { inputsInUse } from '../state/inputs-in-use.ts';
import { list } from './lap-words.ts';

export function originSentence(notes: readonly InputNote[], of: RunRequest, project: Project): string {
  const inUse = inputsInUse(notes, of, project);
  if (inUse.length === 0) return '';
  const counts = new Map<InputNote['origin'], number>();
  for (const { origin } of inUse) counts.set(origin, (counts.get(origin) ?? 0) + 1);
  const parts = [...counts]
    .sort((a, b) => b[1] - a[1])
    .map(([origin, count]) => `${count} ${originWord(origin)}`);
  const open = inUse.filter(({ spread }) => spread > 0).length;
  const doubt =
    open === 0
      ? 'None of them has a give or take.'
      : `${open} of them are inputs in doubt, with a give or take of their own; the others, such as teeth and bores, are taken as exact.`;
  return `It rests on ${inUse.length} numbers besides the course itself: ${list(parts)}. ${doubt} The answer is no surer than those.`;
}

/** The origin of a number as the page says it. */
export function originWord(origin: InputNote['origin']): string {
  return origin === 'given' ? 'given without saying from where' : origin;
}
