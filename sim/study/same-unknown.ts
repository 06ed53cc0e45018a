/**
 * Which places of the file are one unknown. In: a reader's note. Out: a key, the same for the places that move together.
 *
 * The same figures at karts.*.driver are one person, in whichever kart; every other place is an unknown of its own, and
 * two karts that name the same part read the same place.
 */
import type { InputNote } from '../project/origins.ts';

export function unknownKey(note: InputNote): string {
  const driver = /^karts\.[^.]+\.(driver\..+)$/.exec(note.path);
  return driver === null ? note.path : `${driver[1]} ${note.value} ${note.spread}`;
}
