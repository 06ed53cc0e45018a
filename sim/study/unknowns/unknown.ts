/**
 * What is not known: one entry per uncertain input of the runs asked about, and a value of it for a number in (0, 1).
 *
 * In: the reader's notes, the runs. Out: unknowns in a fixed order. Two karts share an unknown where both read the same
 * place of the file, and where they name the same driver: the same figures at karts.*.driver are one person.
 * Distribution: normal about the value with the stated spread, cut off at the limits of the quantity (no friction below
 * nothing, no efficiency above one); the maximum-entropy choice for a value with a standard deviation (Supplement 1 to the
 * GUM, JCGM 101:2008, 6.4.7), the cut being ours.
 */
import { truncatedNormal } from '../../numerics/normal.ts';
import type { InputNote } from '../../project/origins.ts';
import type { Project } from '../../project/schema.ts';
import { quantity } from '../../quantities/table.ts';
import type { RunRequest } from '../../run/perform.ts';
import { inputsInUse } from '../inputs-in-use.ts';
import { unknownKey } from '../same-unknown.ts';

export interface Unknown {
  /** The first of `paths`. */
  readonly path: string;
  /** Every place of the file that takes the drawn value. */
  readonly paths: readonly string[];
  readonly note: InputNote;
  readonly min: number;
  readonly max: number;
  /** Run by run: does it draw on this? */
  readonly usedBy: readonly boolean[];
}

/** A sheet's factor stays above this share: a sheet that reads nothing is no sheet. */
export const LEAST_SHEET_FACTOR = 0.05;

export function unknownsOf(
  project: Project,
  notes: readonly InputNote[],
  runs: readonly RunRequest[],
): Unknown[] {
  const byKey = new Map<string, { paths: string[]; note: InputNote; usedBy: boolean[] }>();
  for (const [r, run] of runs.entries()) {
    for (const note of inputsInUse(notes, run, project)) {
      if (!(note.spread > 0)) continue;
      const key = unknownKey(note);
      const entry = byKey.get(key) ?? { paths: [], note, usedBy: runs.map(() => false) };
      if (!entry.paths.includes(note.path)) entry.paths.push(note.path);
      entry.usedBy[r] = true;
      byKey.set(key, entry);
    }
  }
  return [...byKey.values()].map(({ paths, note, usedBy }) => {
    const row = quantity(note.quantity);
    const sheet = note.path.endsWith('.points');
    return {
      path: paths[0]!,
      paths,
      note,
      usedBy,
      min: sheet ? LEAST_SHEET_FACTOR : row.min,
      max: sheet ? Number.MAX_VALUE : row.max,
    };
  });
}

/** The value of an unknown for a number in (0, 1). */
export function drawer({ note, min, max }: Pick<Unknown, 'note' | 'min' | 'max'>): (u: number) => number {
  return truncatedNormal(note.value, note.spread, min, max);
}

/** Where one run takes drawn values from: places of the file, each with its unknown's number. */
export function placesOf(
  unknowns: readonly Unknown[],
  run: number,
  kart: string,
): { readonly path: string; readonly unknown: number }[] {
  return unknowns.flatMap(({ paths, usedBy }, unknown) =>
    usedBy[run]
      ? paths
          .filter((path) => !path.startsWith('karts.') || path.startsWith(`karts.${kart}.`))
          .map((path) => ({ path, unknown }))
      : [],
  );
}
