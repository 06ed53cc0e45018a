/**
 * An engine curve out of a pasted sheet: what each column holds and in which unit is guessed, said, and left to the
 * builder to change; then the points as the project file holds them. Pure.
 *
 * In: text. Out: a guess; and from a guess as confirmed the points, or why there are none. Reads no file, edits nothing.
 */
import type { PointsSpec } from '../../../sim/index.ts';
import { findUnit, inUnit } from '../../../sim/index.ts';
import type { DecimalMark, Separator } from './paste-table.ts';
import { decimalOf, isNumber, numberOfCell, splitTable, unitOfCell } from './paste-table.ts';

export type ColumnKind = 'engine speed' | 'torque' | 'power' | 'road speed' | 'leave out';

export interface PastedColumn {
  readonly heading: string;
  readonly kind: ColumnKind;
  readonly unit: string;
  /** False where nothing in the sheet says so. */
  readonly sure: boolean;
}

export interface PastedCurve {
  readonly separator: Separator;
  readonly decimal: DecimalMark;
  readonly columns: readonly PastedColumn[];
  /** Rows below the headings. */
  readonly rows: readonly (readonly string[])[];
}

export type CurveFound =
  | { readonly ok: true; readonly spec: PointsSpec; readonly remarks: readonly string[] }
  | { readonly ok: false; readonly why: string };

/** Engine speed counted in thousands, as many sheets print it. */
export const THOUSANDS = '1000 rpm';
export const UNITS_OF_KIND: Readonly<Record<ColumnKind, readonly string[]>> = {
  'engine speed': ['rpm', THOUSANDS, 'rad/s'],
  torque: ['N·m', 'lbf·ft', 'kgf·m', 'lbf·in'],
  power: ['kW', 'hp', 'PS', 'W'],
  'road speed': ['km/h', 'mph', 'm/s'],
  'leave out': [],
};

/** Points kept of a log: a curve has no more in it, and a table of more cannot be read. */
const MOST_POINTS = 200;
/** rpm between which a kart's engine turns at full throttle (assumed, wide). */
const LIKELY_RPM = { from: 500, to: 25_000 };
/** Torque and power of one sheet agree to this share, or their units are others: half of what tells PS from hp. */
const AGREEMENT = 0.006;

export function guessCurve(text: string): PastedCurve | undefined {
  const { rows: all, separator } = splitTable(text);
  const first = all.findIndex((row) => row.filter(isNumber).length >= 2);
  if (first < 0) return undefined;
  const rows = all.slice(first);
  const width = Math.max(...rows.map((row) => row.length));
  const headings = Array.from({ length: width }, (_, j) =>
    all
      .slice(0, first)
      // A title of the sheet, alone in its row, heads no column.
      .filter((row) => row.filter((cell) => cell !== '').length > 1)
      .map((row) => row[j] ?? '')
      .filter((cell) => cell !== '')
      .join(' '),
  );
  const cells = (j: number): string[] => rows.map((row) => row[j] ?? '').filter(isNumber);
  const decimal = decimalOf(rows.flat()) ?? decimalBySpeed(headings, cells) ?? '.';
  const byWords = headings.map((heading, j) => byHeading(heading, cells(j)));
  return { separator, decimal, rows, columns: byNumbers(byWords, rows, decimal) };
}

/** The points of a confirmed guess. `mean`: points at one engine speed become their mean. */
export function curveOf(curve: PastedCurve, options: { readonly mean?: boolean } = {}): CurveFound {
  const speeds = placesOf(curve, 'engine speed');
  const figures = [...placesOf(curve, 'torque'), ...placesOf(curve, 'power')];
  const road = placesOf(curve, 'road speed');
  if (speeds.length === 0)
    return {
      ok: false,
      why:
        road.length > 0
          ? `This sheet runs over road speed (${curve.columns[road[0]!]!.unit}), not engine speed. Which engine speed that was depends on the gear, the tyres and their slip on the roller, and the sheet does not say: print it over rpm.`
          : 'No column is engine speed: choose which one is.',
    };
  if (speeds.length > 1) return { ok: false, why: 'Two columns are engine speed: leave one out.' };
  if (figures.length === 0) return { ok: false, why: 'No column is torque or power: choose which one is.' };
  if (figures.length > 1)
    return { ok: false, why: 'Torque or power, one of them is enough: leave the others out.' };
  const [speedColumn, figureColumn] = [curve.columns[speeds[0]!]!, curve.columns[figures[0]!]!];
  const factor = speedColumn.unit === THOUSANDS ? 1000 : 1;
  const read = curve.rows.map((row, i) => ({
    row: i + 1,
    speed: numberOfCell(row[speeds[0]!] ?? '', curve.decimal),
    figure: numberOfCell(row[figures[0]!] ?? '', curve.decimal),
  }));
  const good = read.flatMap(({ speed, figure }): [number, number][] =>
    speed === undefined || figure === undefined ? [] : [[tidied(speed * factor), figure]],
  );
  const remarks: string[] = [];
  const bad = read.length - good.length;
  if (bad > 0) remarks.push(`${bad} ${bad === 1 ? 'row has' : 'rows have'} no two figures: left out.`);
  const merged = options.mean === true ? meanBySpeed(good) : good;
  if (merged.length < good.length)
    remarks.push(
      `${good.length - merged.length} points at an engine speed already there: their mean is taken.`,
    );
  const every = Math.ceil(merged.length / MOST_POINTS);
  if (every > 1) remarks.push(`${merged.length} rows are more than a curve needs: one in ${every} is kept.`);
  const kept = every > 1 ? merged.filter((_, i) => i % every === 0) : merged;
  if (kept.length < 2) return { ok: false, why: 'A curve needs two rows or more with both figures.' };
  return {
    ok: true,
    remarks,
    spec: {
      columns: [speedColumn.unit === THOUSANDS ? 'rpm' : speedColumn.unit, figureColumn.unit],
      rows: kept,
    },
  };
}

/** The guess with one column said to be something else. */
export function withColumn(curve: PastedCurve, at: number, kind: ColumnKind, unit?: string): PastedCurve {
  return {
    ...curve,
    columns: curve.columns.map((column, j) => {
      if (j !== at) return column;
      const units = UNITS_OF_KIND[kind];
      const wanted = unit ?? column.unit;
      return { ...column, kind, unit: units.includes(wanted) ? wanted : (units[0] ?? ''), sure: true };
    }),
  };
}

export function hasSharedSpeeds(curve: PastedCurve): boolean {
  const found = curveOf(curve);
  if (!found.ok) return false;
  return new Set(found.spec.rows.map(([speed]) => speed)).size < found.spec.rows.length;
}

function placesOf(curve: PastedCurve, kind: ColumnKind): number[] {
  return curve.columns.flatMap((column, j) => (column.kind === kind ? [j] : []));
}

const KINDS_BY_DIMENSION = [
  ['engine speed', 'angularSpeed'],
  ['torque', 'torque'],
  ['power', 'power'],
  ['road speed', 'speed'],
] as const;

/** Words that head such columns, in the languages a sheet may come in. */
const WORDS: readonly (readonly [ColumnKind, RegExp])[] = [
  ['road speed', /\b(road|wheel|vehicle|roller)\s*speed\b|\bmph\b|\bkm\/?h\b/],
  ['engine speed', /rpm|\brevs?\b|engine\s*speed|drehzahl|régime|regime|\bgiri\b/],
  ['torque', /torque|drehmoment|couple|coppia|\btq\b/],
  ['power', /power|leistung|puissance|potenza|\bpwr\b/],
  ['road speed', /\bspeed\b/],
];

function byHeading(heading: string, cells: readonly string[]): PastedColumn {
  if (cells.length === 0) return { heading, kind: 'leave out', unit: '', sure: true };
  const text = heading.toLowerCase();
  const thousands = /(x|×|\*|\/)\s*1000|\b1000\s*(rpm|1\/min)|krpm/.test(text);
  if (thousands && /rpm|min|speed/.test(text))
    return { heading, kind: 'engine speed', unit: THOUSANDS, sure: true };
  const inBrackets = /[([{]([^)\]}]+)[)\]}]/.exec(heading)?.[1];
  const words = heading.split(/[\s,_()[\]{}]+/).filter((word) => word !== '');
  const pairs = words.slice(1).map((word, i) => `${words[i]} ${word}`);
  const inCell = unitOfCell(cells[0]!);
  for (const candidate of [inBrackets, heading, ...pairs.toReversed(), ...words.toReversed(), inCell]) {
    if (candidate === undefined || candidate.trim() === '') continue;
    for (const [kind, dimension] of KINDS_BY_DIMENSION) {
      const unit = findUnit(dimension, candidate)?.label;
      if (unit !== undefined && UNITS_OF_KIND[kind].includes(unit))
        return { heading, kind, unit, sure: true };
    }
  }
  const named = WORDS.find(([, pattern]) => pattern.test(text))?.[0];
  if (named === undefined) return { heading, kind: 'leave out', unit: '', sure: heading !== '' };
  return { heading, kind: named, unit: UNITS_OF_KIND[named][0]!, sure: named === 'engine speed' };
}

/** What the figures themselves tell of columns the headings leave open; torque is kept before power. */
function byNumbers(
  named: readonly PastedColumn[],
  rows: readonly (readonly string[])[],
  decimal: DecimalMark,
): PastedColumn[] {
  const columns = [...named];
  const values = columns.map((_, j) => rows.map((row) => numberOfCell(row[j] ?? '', decimal)));
  const is = (kind: ColumnKind) => (column: PastedColumn) => column.kind === kind;
  const isOpen = (column: PastedColumn, j: number): boolean =>
    column.heading === '' && column.kind === 'leave out' && values[j]!.some((value) => value !== undefined);
  if (!columns.some(is('engine speed')) && !columns.some(is('road speed'))) {
    const at = columns.findIndex((column, j) => isOpen(column, j) && isLikelySpeed(values[j]!));
    if (at >= 0) columns[at] = { heading: '', kind: 'engine speed', unit: 'rpm', sure: false };
  }
  const speedAt = columns.findIndex(is('engine speed'));
  if (speedAt < 0) return columns;
  const open = columns.flatMap((column, j) => (isOpen(column, j) && j !== speedAt ? [j] : []));
  const torqueAt = columns.findIndex(is('torque'));
  const powerAt = columns.findIndex(is('power'));
  const pair: readonly [number, number] | undefined =
    torqueAt >= 0 && powerAt >= 0
      ? [torqueAt, powerAt]
      : open.length === 2
        ? [open[0]!, open[1]!]
        : undefined;
  if (pair?.some((j) => !columns[j]!.sure || columns[j]!.heading === '')) {
    const inRpm = columns[speedAt]!.unit === THOUSANDS ? 1000 : 1;
    const speeds = values[speedAt]!.map((n) => (n === undefined ? undefined : n * inRpm));
    const agreed = unitsThatAgree(speeds, values[pair[0]]!, values[pair[1]]!);
    if (agreed !== undefined) {
      const [torque, power] = agreed.exchanged ? [pair[1], pair[0]] : pair;
      if (torqueAt < 0 || torque === torqueAt) {
        columns[torque] = { ...columns[torque]!, kind: 'torque', unit: agreed.torque, sure: true };
        columns[power] = { ...columns[power]!, kind: 'power', unit: agreed.power, sure: true };
      }
    }
  }
  if (!columns.some(is('torque')) && !columns.some(is('power')) && open[0] !== undefined)
    columns[open[0]] = { heading: '', kind: 'torque', unit: 'N·m', sure: false };
  // One figure is enough: the first torque column, else the first power column.
  const chosen = [columns.findIndex(is('torque')), columns.findIndex(is('power'))].find((j) => j >= 0);
  return columns.map((column, j) =>
    (column.kind === 'torque' || column.kind === 'power') && j !== chosen
      ? { ...column, kind: 'leave out' }
      : column.kind === 'engine speed' && j !== speedAt
        ? { ...column, kind: 'leave out' }
        : column.kind === 'road speed'
          ? { ...column, kind: 'leave out' }
          : column,
  );
}

interface Agreed {
  readonly torque: string;
  readonly power: string;
  readonly exchanged: boolean;
}

/** The units in which power is torque times engine speed, either way round. */
function unitsThatAgree(
  speeds: readonly (number | undefined)[],
  first: readonly (number | undefined)[],
  second: readonly (number | undefined)[],
): Agreed | undefined {
  for (const exchanged of [false, true]) {
    const [torques, powers] = exchanged ? [second, first] : [first, second];
    const ratios = speeds.flatMap((n, i) => {
      const [t, p] = [torques[i], powers[i]];
      return n === undefined || t === undefined || p === undefined || !(n * t * p > 0) ? [] : [p / (n * t)];
    });
    if (ratios.length < 2) continue;
    const ratio = median(ratios);
    for (const torque of ['N·m', 'lbf·ft', 'kgf·m'])
      for (const power of ['kW', 'hp', 'PS']) {
        const expected = (Math.PI / 30) * (inUnit(1, 'power', power) / inUnit(1, 'torque', torque));
        if (Math.abs(ratio / expected - 1) < AGREEMENT) return { torque, power, exchanged };
      }
  }
  return undefined;
}

function isLikelySpeed(values: readonly (number | undefined)[]): boolean {
  const found = values.filter((value) => value !== undefined);
  if (found.length < 2) return false;
  const middle = median(found);
  return middle >= LIKELY_RPM.from && middle <= LIKELY_RPM.to;
}

/** Where every mark could be either: the one that makes the engine speeds likely. */
function decimalBySpeed(
  headings: readonly string[],
  cells: (j: number) => string[],
): DecimalMark | undefined {
  const candidates = headings.flatMap((heading, j) =>
    byHeading(heading, cells(j)).kind === 'engine speed' || heading === '' ? [cells(j)] : [],
  );
  return (['.', ','] as const).find((decimal) =>
    candidates.some(
      (column) =>
        column.some((cell) => /[.,]/.test(cell)) &&
        isLikelySpeed(column.map((cell) => numberOfCell(cell, decimal))),
    ),
  );
}

function meanBySpeed(points: readonly (readonly [number, number])[]): [number, number][] {
  const bySpeed = new Map<number, number[]>();
  for (const [speed, figure] of points) bySpeed.set(speed, [...(bySpeed.get(speed) ?? []), figure]);
  return [...bySpeed].map(([speed, figures]) => [
    speed,
    tidied(figures.reduce((sum, figure) => sum + figure, 0) / figures.length),
  ]);
}

function median(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)]!;
}

/** Without the noise of binary fractions. */
function tidied(value: number): number {
  return Number(value.toPrecision(10));
}
