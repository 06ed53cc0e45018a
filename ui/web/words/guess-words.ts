/** Inputs nobody measured, by how far each leaves the lap open. Pure. */
import type { Effect, FirstOrder, Project } from '../../../sim/index.ts';
import { effectSize } from '../../../sim/index.ts';
import { valueText } from './differing-inputs.ts';
import { fieldWords, ownerName } from './field-words.ts';
import { effectWords } from './figure-words.ts';
import { originWord } from './inputs-words.ts';

/** s; what moves the lap by less shows on no clock and is not worth a line. */
const LEAST = 0.005;
const GUESSED: readonly Effect['note']['origin'][] = ['assumed', 'borrowed', 'given'];

/** Largest effect first; measured inputs and those that do not move the lap are left out. */
export function guessesOf(found: FirstOrder): Effect[] {
  return found.effects
    .filter((effect) => GUESSED.includes(effect.note.origin) && effectSize(effect) >= LEAST)
    .sort((a, b) => effectSize(b) - effectSize(a));
}

export function guessSentence(effect: Effect, project: Project): string {
  const { note } = effect;
  const share = (100 * note.spread) / Math.abs(note.value);
  const value = note.path.endsWith('.points')
    ? `±${(100 * note.spread).toFixed(0)} %`
    : note.value === 0
      ? valueText(note.value, note.quantity, project)
      : `${valueText(note.value, note.quantity, project)} ±${share < 1 ? 'under 1' : share.toFixed(0)} %`;
  const leaves = effectWords(effect, 'time', 's');
  return `${ownerName(note.path, project)}: ${fieldWords(note.path, project) ?? note.path} ${value} (${originWord(note.origin)}): the lap ${leaves}`;
}
