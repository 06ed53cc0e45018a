/**
 * What an answer rests on: how many of its numbers were measured, and how many are guesses. Pure.
 *
 * In: the reader's notes, project and choice. Out: a count by origin over the parts in use, and one sentence.
 */
import type { InputNote, Project } from '../../../sim/index.ts';
import type { Choice } from '../state/choice.ts';
import { list } from './lap-words.ts';

/** Places in the file that the chosen kart, track and day draw on. */
export function pathsInUse(choice: Choice, project: Project): string[] {
  const kart = project.karts[choice.kart];
  if (kart === undefined) return [];
  return [
    `karts.${choice.kart}`,
    `chassis.${kart.chassis}`,
    `donors.${kart.donor}`,
    `brakes.${kart.brakes}`,
    `tyres.${kart.tyres.front}`,
    `tyres.${kart.tyres.rear}`,
    `tracks.${choice.track}`,
    `days.${choice.day}`,
  ];
}

export function isInUse(path: string, inUse: readonly string[]): boolean {
  return inUse.some(
    (place) => path === place || path.startsWith(`${place}.`) || path.startsWith(`${place}[`),
  );
}

export function originSentence(notes: readonly InputNote[], choice: Choice, project: Project): string {
  const inUse = pathsInUse(choice, project);
  const counts = new Map<string, number>();
  let all = 0;
  for (const note of notes) {
    if (!isInUse(note.path, inUse) || /^tracks\..*\.(points|stretches)\[/.test(note.path)) continue;
    all += 1;
    counts.set(note.origin, (counts.get(note.origin) ?? 0) + 1);
  }
  if (all === 0) return '';
  const parts = [...counts]
    .sort((a, b) => b[1] - a[1])
    .map(([origin, count]) => `${count} ${WORDS[origin] ?? origin}`);
  return `It rests on ${all} numbers besides the course itself: ${list(parts)}. The answer is no surer than those.`;
}

const WORDS: Readonly<Record<string, string>> = {
  given: 'given without saying from where',
  'from papers': 'from papers',
};
