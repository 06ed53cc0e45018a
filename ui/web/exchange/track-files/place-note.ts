/**
 * Where on earth a track starts, as a sentence in its note: "Starts at 51.234567° N, 1.234567° W."
 *
 * Out: the sentence, and the place it speaks of where a note has one. The builder may change or delete it like any
 * other words. Pure.
 */
import type { Origin } from './local-metres.ts';

const SENTENCE = /Starts at (\d{1,2}(?:\.\d{1,12})?)° ([NS]), (\d{1,3}(?:\.\d{1,12})?)° ([EW])/;

export function placeNote({ latitude, longitude }: Origin): string {
  const [north, east] = [latitude >= 0 ? 'N' : 'S', longitude >= 0 ? 'E' : 'W'];
  return `Starts at ${decimals(latitude)}° ${north}, ${decimals(longitude)}° ${east}.`;
}

export function placeInNote(note: string | undefined): Origin | undefined {
  const found = SENTENCE.exec(note ?? '');
  if (found === null) return undefined;
  const latitude = Number(found[1]) * (found[2] === 'S' ? -1 : 1);
  const longitude = Number(found[3]) * (found[4] === 'W' ? -1 : 1);
  return Math.abs(latitude) <= 90 && Math.abs(longitude) <= 180 ? { latitude, longitude } : undefined;
}

/** A decimetre on the ground. */
function decimals(degrees: number): string {
  return Math.abs(degrees).toFixed(6);
}
