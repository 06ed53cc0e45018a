/** Merging two projects, in words. */
import type { Decision, Fate, MergeLine } from '../exchange/merge-preview.ts';
import { list } from './lap-words.ts';

const ONE_AND_MANY: Readonly<Record<string, readonly [string, string]>> = {
  karts: ['kart', 'karts'],
  tracks: ['track', 'tracks'],
  donors: ['donor', 'donors'],
  tyres: ['tyre', 'tyres'],
  chassis: ['chassis', 'chassis'],
  brakes: ['set of brakes', 'sets of brakes'],
  surfaces: ['surface', 'surfaces'],
  days: ['day', 'days'],
  project: ['part', 'parts'],
};

export const FATE_WORD: Readonly<Record<Fate, string>> = {
  added: 'added',
  replaced: 'replaced by theirs',
  renamed: 'both kept',
  left: 'mine stays',
  same: 'the same in both',
};

export const DECISION_WORD: Readonly<Record<Decision, string>> = {
  mine: 'keep mine',
  theirs: 'take theirs',
  both: 'keep both',
};

export function kindWord(collection: string): string {
  return ONE_AND_MANY[collection]?.[0] ?? collection;
}

/** "2 karts, 1 track and 3 tyres." */
export function countWords(counts: readonly (readonly [string, number])[]): string {
  const words = counts
    .filter(([, count]) => count > 0)
    .map(([kind, count]) => `${count} ${ONE_AND_MANY[kind]?.[count === 1 ? 0 : 1] ?? kind}`);
  return words.length === 0 ? 'Nothing in it.' : `${list(words)}.`;
}

export function fateSentence(line: MergeLine): string {
  return line.newId === undefined ? FATE_WORD[line.fate] : `both kept; theirs as ${line.newId}`;
}
