/** Which karts, day, surfaces and tracks a command means; wrong names are told with the right ones. */
import type { LineKind, Project, QuantityName, Stock } from '../../sim/index.ts';
import { LINE_KINDS, lineDriven, parseQuantity, quantity } from '../../sim/index.ts';
import type { Terminal } from './terminal.ts';
import { CommandLineError } from './terminal.ts';

export function kartsOf(project: Project, word: string | undefined): string[] {
  return listOf(Object.keys(project.karts), word, 'kart');
}

export function dayOf(project: Project, word: string | undefined): string {
  const list = listOf(Object.keys(project.days), word, 'day');
  if (list.length !== 1) throw new CommandLineError('--day takes one day');
  return list[0]!;
}

export function tracksOf(project: Project, word: string | undefined): string[] {
  return listOf(Object.keys(project.tracks), word, 'track');
}

export function donorsOf(project: Project, word: string | undefined): string[] {
  return listOf(Object.keys(project.donors), word ?? 'all', 'donor');
}

/** `--all` (what can be bought too, the default) or `--owned` (what can be fitted today). */
export function stockOf({ owned, all }: { owned?: boolean; all?: boolean }): Stock {
  if (owned === true && all === true) throw new CommandLineError('--owned or --all, not both');
  return owned === true ? 'owned' : 'all';
}

/** `--line`: driven by the laps of a study where the track keeps it. */
export function lineChosen({ line }: { line?: string }): { readonly line?: LineKind } {
  const kind = oneOf(line, LINE_KINDS, '--line');
  return kind === undefined ? {} : { line: kind };
}

/** Told of every track that keeps no line of the kind asked for: a study drives it as drawn. */
export function warnOfLines(
  project: Project,
  who: { readonly kart: string; readonly day: string; readonly line?: LineKind },
  tracks: readonly string[],
  { err }: Pick<Terminal, 'err'>,
): void {
  const { line = 'as drawn' } = who;
  for (const track of tracks)
    if (lineDriven(project, who, track) !== line)
      err(
        `warning: ${track} keeps no ${line} line: driven as drawn; keep one with the track first (see kartwright help line)\n`,
      );
}

/** Surfaces both tyres of every kart know, unless one is named. */
export function surfacesOf(project: Project, karts: readonly string[], word: string | undefined): string[] {
  const known = Object.keys(project.surfaces).filter((id) =>
    karts.every((kart) => {
      const tyres = project.karts[kart]?.tyres;
      return (
        tyres !== undefined &&
        [tyres.front, tyres.rear].every((t) => Object.hasOwn(project.tyres[t]?.grip ?? {}, id))
      );
    }),
  );
  if (known.length === 0) throw new CommandLineError('these tyres have no surface in common');
  return listOf(known, word, 'surface');
}

/** A quantity typed on the command line, in SI. */
export function quantityOption(
  word: string | undefined,
  name: QuantityName,
  option: string,
): number | undefined {
  if (word === undefined) return undefined;
  const row = quantity(name);
  const parsed = parseQuantity(word, row.dimension, row);
  if (!parsed.ok) throw new CommandLineError(`${option} ${parsed.message} ('${word}')`);
  if (parsed.value < row.min || parsed.value > row.max)
    throw new CommandLineError(`${option} '${word}' is outside what is possible for ${row.label}`);
  return parsed.value;
}

export function oneOf<T extends string>(
  word: string | undefined,
  words: readonly T[],
  option: string,
): T | undefined {
  if (word === undefined) return undefined;
  const found = words.find((w) => w === word);
  if (found === undefined)
    throw new CommandLineError(`${option} is one of ${words.map((w) => `'${w}'`).join(', ')}, not '${word}'`);
  return found;
}

export function gearOption(word: string | undefined): number | undefined {
  if (word === undefined) return undefined;
  const n = Number(word);
  if (!Number.isInteger(n) || n < 1)
    throw new CommandLineError(`--gear is a whole number from 1, not '${word}'`);
  return n;
}

type Kind = 'kart' | 'day' | 'track' | 'surface' | 'donor';

const OTHER_FILE = 'in the file, or name a second file that has one; several files are merged';
const REMEDY: Readonly<Record<Kind, string>> = {
  kart: `add one under karts ${OTHER_FILE}`,
  day: `add one under days ${OTHER_FILE}`,
  surface: `add one under surfaces ${OTHER_FILE}`,
  donor: `add one under donors ${OTHER_FILE}`,
  track: 'name a track file too, such as tracks/oval.kartwright.json; several files are merged',
};

function listOf(known: readonly string[], word: string | undefined, kind: Kind): string[] {
  if (known.length === 0) throw new CommandLineError(`the file has no ${kind}: ${REMEDY[kind]}`);
  if (word === undefined) return [known[0]!];
  if (word === 'all') return [...known];
  const list = word.split(',').map((w) => w.trim());
  const wrong = list.find((w) => !known.includes(w));
  if (wrong !== undefined)
    throw new CommandLineError(`there is no ${kind} '${wrong}'; there are ${known.join(', ')}`);
  return list;
}
