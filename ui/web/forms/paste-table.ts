/**
 * Text copied out of a sheet, split into cells. Pure.
 *
 * In: text whose cells stand between tabs, semicolons, bars, commas or spaces, quoted or not. Out: rows of cells and
 * the separator that gives the most rows of figures. Also reads one cell as a number once the decimal mark is known.
 */
import Papa from 'papaparse';

export type Separator = 'tab' | 'semicolon' | 'bar' | 'comma' | 'spaces';
export type DecimalMark = '.' | ',';

export interface PastedTable {
  readonly separator: Separator;
  readonly rows: readonly (readonly string[])[];
}

/** Longest text looked at, characters: some ten thousand rows. */
export const MAX_PASTED = 1_000_000;

/** Tried in this order; a later one must do better than the ones before. */
const CHARACTERS: readonly (readonly [Separator, string])[] = [
  ['tab', '\t'],
  ['semicolon', ';'],
  ['bar', '|'],
  ['comma', ','],
];

/** Digits with marks, or groups of three with spaces between, then a unit or nothing. */
const NUMBER =
  /^([+\-−]?(?:\d{1,3}(?:[ \u00a0\u2009\u202f'’]\d{3})+(?:[.,]\d+)?|\d[\d.,]*|[.,]\d+)(?:e[+-]?\d+)?)\s*([^\d\s.,].*)?$/i;

export function splitTable(text: string): PastedTable {
  const clean = text
    .slice(0, MAX_PASTED)
    .replace(/^\ufeff/, '')
    .replace(/^sep=(.)\r?\n/i, '');
  let best: PastedTable = { separator: 'spaces', rows: bySpaces(clean) };
  let most = -1;
  for (const [separator, delimiter] of CHARACTERS) {
    const rows = Papa.parse<string[]>(clean, { delimiter, skipEmptyLines: 'greedy' }).data.map((row) =>
      row.map((cell) => cell.trim()),
    );
    const found = figures(rows);
    if (found > most) [best, most] = [{ separator, rows }, found];
  }
  const spaced = bySpaces(clean);
  return figures(spaced) > most ? { separator: 'spaces', rows: spaced } : best;
}

export function isNumber(cell: string): boolean {
  return NUMBER.test(cell.trim());
}

/** What follows the figures of a cell: "Nm" of "34.5 Nm". */
export function unitOfCell(cell: string): string {
  return NUMBER.exec(cell.trim())?.[2]?.trim() ?? '';
}

/** The number of a cell; undefined where it is none. */
export function numberOfCell(cell: string, decimal: DecimalMark): number | undefined {
  const digits = NUMBER.exec(cell.trim())?.[1];
  if (digits === undefined) return undefined;
  const other = decimal === '.' ? ',' : '.';
  const plain = digits
    .replace(/−/g, '-')
    .replace(/[ \u00a0\u2009\u202f'’]/g, '')
    .replaceAll(other, '')
    .replace(decimal, '.');
  const number = Number(plain);
  return Number.isFinite(number) ? number : undefined;
}

/** The decimal mark the cells give away; undefined where every mark could be either. */
export function decimalOf(cells: readonly string[]): DecimalMark | undefined {
  const votes = { '.': 0, ',': 0 };
  for (const cell of cells) {
    const digits = NUMBER.exec(cell.trim())?.[1] ?? '';
    const marks = [...digits.matchAll(/[.,]/g)].map(([mark]) => mark as DecimalMark);
    const last = marks.at(-1);
    if (last === undefined) continue;
    // One kind twice groups thousands, and so does one mark before three digits, perhaps.
    const sameTwice = marks.length > 1 && marks.every((mark) => mark === last);
    if (sameTwice) votes[last === '.' ? ',' : '.'] += 1;
    else if (marks.length > 1 || !/^[+\-−]?[1-9]\d{0,2}[.,]\d{3}$/.test(digits)) votes[last] += 1;
  }
  if (votes['.'] === votes[',']) return undefined;
  return votes['.'] > votes[','] ? '.' : ',';
}

/** Cells that stand in rows of two figures or more. */
function figures(rows: readonly (readonly string[])[]): number {
  return rows.filter((row) => row.filter(isNumber).length >= 2).length;
}

/** By two spaces or more where that gives figures, else by any. */
function bySpaces(text: string): string[][] {
  const lines = text.split(/\r?\n/).map((line) => line.trim());
  const wide = lines.filter((line) => line !== '').map((line) => line.split(/\s{2,}/));
  return figures(wide) > 0 ? wide : lines.filter((line) => line !== '').map((line) => line.split(/\s+/));
}
