/**
 * A table of places - x and y, or latitude and longitude, with height, width, bank and ground where there are columns
 * for them - from text to one line of places.
 *
 * In: text with cells between tabs, semicolons, bars, commas or spaces, whatever stands in the header, decimal points
 * or commas. Out: the course and, as remarks, how each column was understood; or a refusal with its row.
 */
import Papa from 'papaparse';
import { findUnit } from '../../../../sim/index.ts';
import { decimalOf, isNumber, numberOfCell, splitTable } from '../../forms/paste-table.ts';
import type { CourseFile, FilePlace, ToldPlaces } from './course-file.ts';
import { heightIn, MAX_PLACES, onEarth, placeCounter, refuse, shown } from './course-file.ts';

export type PlaceColumns = 'x, y' | 'latitude, longitude' | 'longitude, latitude';
type Role = 'x' | 'y' | 'height' | 'width' | 'left' | 'right' | 'bank' | 'surface' | 'time';

interface Understood {
  readonly column: number;
  readonly role: Role;
  readonly head: string;
  /** m (or degrees) per unit */
  readonly factor: number;
  readonly unit: string;
}

/** Characters looked at to find out how cells are parted. */
const LOOKED_AT = 20_000;
const DELIMITERS = { tab: '\t', semicolon: ';', bar: '|', comma: ',', spaces: ' ' } as const;
/** Rows of other things before the table. */
const MOST_PREAMBLE = 50;
/** m from nought: beyond, numbers lose the millimetre. */
const FARTHEST_GRID = 1e9;

export function readCsv(text: string, asked?: PlaceColumns, told?: ToldPlaces): CourseFile {
  const { separator } = splitTable(text.slice(0, LOOKED_AT));
  const rows = rowsOf(text, separator);
  const start = rows.slice(0, MOST_PREAMBLE + 1).findIndex((row) => row.filter(isNumber).length >= 2);
  if (start < 0)
    refuse('no-table', 'row 1', 'there is no row with two numbers', {
      remedy:
        'a course is a table with columns x and y, or latitude and longitude, and one place in each row',
    });
  const heads = start > 0 ? rows[start - 1]! : [];
  const data = rows.slice(start);
  const decimal = decimalMark(data.slice(0, 200).flat());
  const first = data[0]!.flatMap((cell, i) => (isNumber(cell) ? [i] : []));
  const { understood, geographic } = columnsOf(heads, first, asked, (column) =>
    data.slice(0, 200).map((row) => numberOfCell(row[column] ?? '', decimal) ?? Number.NaN),
  );
  const counted = placeCounter(told);
  const places = data.flatMap((row, i): FilePlace[] => {
    if (row.every((cell) => cell === '')) return [];
    const at = `row ${start + i + 1}`;
    counted(() => at);
    return [placeOf(row, understood, geographic, decimal, at)];
  });
  return {
    kind: 'CSV',
    courses: [
      { name: '', from: 'the table', frame: geographic ? 'geographic' : 'metres', places, ring: false },
    ],
    remarks: [
      `Cells parted by ${separator === 'spaces' ? 'spaces' : `${separator}s`}, decimal ${decimal === '.' ? 'points' : 'commas'}.`,
      ...understood.map(
        ({ column, role, head, unit }) =>
          `${head === '' ? `Column ${column + 1}` : `“${head.slice(0, 40)}”`}: ${WORDS(role, geographic)}${unit === '' ? '' : `, ${unit}`}.`,
      ),
    ],
  };
}

function WORDS(role: Role, geographic: boolean): string {
  if (role === 'x') return geographic ? 'longitude' : 'east';
  if (role === 'y') return geographic ? 'latitude' : 'north';
  return {
    height: 'height',
    width: 'width',
    left: 'to the left edge',
    right: 'to the right edge',
    bank: 'bank',
    surface: 'ground',
    time: 'time',
  }[role];
}

function rowsOf(text: string, separator: keyof typeof DELIMITERS): string[][] {
  const clean = text.replace(/^\ufeff/, '').replace(/^sep=.\r?\n/i, '');
  if (separator === 'spaces')
    return clean
      .split(/\r?\n/, MAX_PLACES + MOST_PREAMBLE)
      .filter((line) => !/^\s*(#|$)/.test(line))
      .map((line) => line.trim().split(/\s+/));
  const { data } = Papa.parse<string[]>(clean, {
    delimiter: DELIMITERS[separator],
    skipEmptyLines: 'greedy',
    comments: '#',
    preview: MAX_PLACES + MOST_PREAMBLE + 1,
  });
  return data.map((row) => row.slice(0, 60).map((cell) => cell.trim()));
}

/** Coordinates are not grouped in thousands: one kind of mark alone is the decimal mark. */
function decimalMark(cells: readonly string[]): '.' | ',' {
  const figures = cells.filter(isNumber);
  const sure = decimalOf(figures);
  if (sure !== undefined) return sure;
  return figures.some((cell) => cell.includes(',')) && !figures.some((cell) => cell.includes('.'))
    ? ','
    : '.';
}

const HEADS: readonly (readonly [Role | 'latitude' | 'longitude', RegExp])[] = [
  ['latitude', /^(lat|latitude)\b/],
  ['longitude', /^(lon|lng|long|longitude)\b/],
  ['left', /\bleft\b/],
  ['right', /\bright\b/],
  ['width', /^(width|w)\b/],
  ['bank', /^(bank|camber|cross slope)\b/],
  ['surface', /^(surface|ground)\b/],
  ['height', /^(height|z|h|alt|altitude|ele|elev|elevation)\b/],
  ['time', /^(time|t|date|timestamp)\b/],
  ['x', /^(x|east|easting)\b/],
  ['y', /^(y|north|northing)\b/],
];

function columnsOf(
  heads: readonly string[],
  figures: readonly number[],
  asked: PlaceColumns | undefined,
  values: (column: number) => readonly number[],
): { understood: Understood[]; geographic: boolean } {
  const named = new Map<string, { column: number; head: string; unit: string }>();
  for (const [column, head] of heads.entries()) {
    const { words, unit } = headWords(head);
    const role = HEADS.find(([, pattern]) => pattern.test(words))?.[0];
    if (role !== undefined && !named.has(role)) named.set(role, { column, head, unit });
  }
  const pick = (key: string) => named.get(key);
  let [x, y] = [pick('x'), pick('y')];
  let geographic = false;
  const [lon, lat] = [pick('longitude'), pick('latitude')];
  if (
    asked !== undefined ||
    ((x === undefined || y === undefined) && (lon === undefined || lat === undefined))
  ) {
    // No heads to go by: the first two columns of numbers.
    const free = figures.filter(
      (column) =>
        !['height', 'width', 'left', 'right', 'bank', 'time'].some((k) => pick(k)?.column === column),
    );
    const [a, b] = free;
    if (a === undefined || b === undefined)
      refuse('no-columns', 'row 1', 'no two columns for the place were found', {
        remedy: 'name them x and y, or latitude and longitude',
      });
    const order = asked ?? (isDegrees(values(a), values(b)) ? 'latitude, longitude' : 'x, y');
    geographic = order !== 'x, y';
    const column = (at: number) => ({
      column: at,
      head: heads[at] ?? '',
      unit: geographic ? '' : headWords(heads[at] ?? '').unit,
    });
    [x, y] = order === 'latitude, longitude' ? [column(b), column(a)] : [column(a), column(b)];
  } else if (x === undefined || y === undefined) {
    geographic = true;
    [x, y] = [lon, lat];
  }
  const understood: Understood[] = [];
  const put = (role: Role, found: { column: number; head: string; unit: string } | undefined): void => {
    if (found === undefined) return;
    const { column, head, unit } = found;
    if (role === 'surface' || role === 'time') understood.push({ column, role, head, factor: 1, unit: '' });
    else if (role === 'bank') understood.push({ column, role, head, factor: 1, unit: '°' });
    else if (geographic && (role === 'x' || role === 'y'))
      understood.push({ column, role, head, factor: 1, unit: '°' });
    else {
      const length = unit === '' ? undefined : findUnit('length', unit);
      if (unit !== '' && length === undefined)
        refuse('unknown-unit', `column ${column + 1}`, `"${head.slice(0, 40)}" is no length`, {
          value: unit.slice(0, 20),
          limit: 'm, cm, mm, km, ft, in, yd, mi',
          remedy: 'change the unit in the header, and the figures with it',
        });
      understood.push({ column, role, head, factor: length?.factor ?? 1, unit: length?.label ?? 'm' });
    }
  };
  put('x', x);
  put('y', y);
  for (const role of ['height', 'width', 'left', 'right', 'bank', 'surface', 'time'] as const)
    put(role, pick(role));
  return { understood, geographic };
}

/** "Pos_X [m]" as words and unit. */
function headWords(head: string): { words: string; unit: string } {
  const bracket = /[([]\s*([^)\]]{0,20}?)\s*[)\]]\s*$/.exec(head.slice(0, 200));
  const bare = head.slice(0, bracket === null ? 200 : bracket.index);
  const words = bare
    .toLowerCase()
    .replace(/^[#\s"']+/, '')
    .replace(/[_\-.,:;/]+/g, ' ')
    .replace(/^(pos|position|coord|coordinate|gps)\s+/, '')
    .trim();
  if (bracket !== null) return { words, unit: bracket[1] ?? '' };
  // "x_m", "height ft": a unit as the last word.
  const last = words.split(' ').at(-1) ?? '';
  const isUnit = words.includes(' ') && findUnit('length', last) !== undefined;
  return { words, unit: isUnit ? last : '' };
}

/** Numbers that look like a place on earth and hardly change. */
function isDegrees(a: readonly number[], b: readonly number[]): boolean {
  const near = (values: readonly number[], limit: number): boolean => {
    const known = values.filter(Number.isFinite);
    if (known.length < 2 || !known.every((v) => Math.abs(v) <= limit)) return false;
    return Math.max(...known) - Math.min(...known) < 1 && known.some((v) => v !== Math.round(v * 100) / 100);
  };
  return near(a, 90) && near(b, 180);
}

function placeOf(
  row: readonly string[],
  understood: readonly Understood[],
  geographic: boolean,
  decimal: '.' | ',',
  at: string,
): FilePlace {
  const place: { -readonly [K in keyof FilePlace]?: FilePlace[K] } = {};
  for (const { column, role, factor, head } of understood) {
    const cell = row[column] ?? '';
    if (role === 'surface') {
      if (cell !== '') place.surface = cell.slice(0, 48);
      continue;
    }
    const number = numberOfCell(cell, decimal);
    if (role === 'x' || role === 'y') {
      if (number === undefined)
        refuse('no-number', at, `${WORDS(role, geographic)} is no number`, {
          value: cell === '' ? 'empty' : cell.slice(0, 24),
          remedy: 'correct the row, or delete it',
        });
      place[role] = number * factor;
    } else if (role === 'time') place.time = number ?? Date.parse(cell.slice(0, 40)) / 1000;
    else if (number !== undefined) {
      const value = number * factor;
      const limits = LIMITS[role];
      if (value < limits[0] || value > limits[1])
        refuse('out-of-range', at, `${WORDS(role, geographic)} is out of range`, {
          value: shown(value),
          limit: `${limits[0]} to ${limits[1]}`,
          remedy: `correct the row, or check the unit of "${head.slice(0, 40)}"`,
        });
      place[role] = value;
    }
  }
  const { x = Number.NaN, y = Number.NaN } = place;
  if (geographic) onEarth(y, x, at);
  else if (!(Math.abs(x) <= FARTHEST_GRID && Math.abs(y) <= FARTHEST_GRID))
    refuse('out-of-range', at, 'the place is farther off than any grid reaches', {
      value: `${shown(x)}, ${shown(y)}`,
      limit: `${FARTHEST_GRID} m`,
      remedy: 'check the unit of the coordinates',
    });
  if (place.time !== undefined && !Number.isFinite(place.time)) delete place.time;
  if (place.height !== undefined && heightIn(place.height) === undefined) delete place.height;
  return { ...place, x, y };
}

const LIMITS: Readonly<Record<'height' | 'width' | 'left' | 'right' | 'bank', readonly [number, number]>> = {
  height: [-1000, 11_000],
  width: [0.3, 200],
  left: [0.1, 200],
  right: [0.1, 200],
  bank: [-80, 80],
};
