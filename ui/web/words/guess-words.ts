/** Inputs nobody measured, by how far each leaves the lap open. Pure. */
import type { Effect, FirstOrder, Project } from '../../../sim/index.ts';
import { valueText } from './differing-inputs.ts';
import { fieldWords, ownerName } from './field-words.ts';
import { differenceWords } from './figure-words.ts';
import { originWord } from './inputs-words.ts';

/** s; what moves the lap by less shows on no clock and is not worth a line. */
const LEAST = 0.005;

/** Largest effect first; measured inputs and those that do not move the lap are left out. */
export function guessesOf(found: FirstOrder): Effect[] {
  return found.effects
    .filter(
      ({ note, less, more }) =>
        (note.origin === 'assumed' || note.origin === 'borrowed' || note.origin === 'given') &&
        Math.max(Math.abs(less), Math.abs(more)) >= LEAST,
    )
    .sort((a, b) => sizeOf(b) - sizeOf(a));
}

export function guessSentence(effect: Effect, project: Project): string {
  const { note } = effect;
  const share = (100 * note.spread) / Math.abs(note.value);
  const value = note.path.endsWith('.points')
    ? `±${(100 * note.spread).toFixed(0)} %`
    : note.value === 0
      ? valueText(note.value, note.quantity, project)
      : `${valueText(note.value, note.quantity, project)} ±${share < 1 ? 'under 1' : share.toFixed(0)} %`;
  const moves = `moves the lap by ${differenceWords(sizeOf(effect), 'time', 's')}`;
  return `${ownerName(note.path, project)}: ${fieldWords(note.path, project) ?? note.path} ${value} (${originWord(note.origin)}) ${moves}`;
}

function sizeOf({ less, more }: Effect): number {
  return Math.max(Math.abs(less), Math.abs(more));
}
