/**
 * The points of an engine curve as the document holds them, and the ways to change them. Pure.
 *
 * In: columns and rows as written, in any units. Out: copies with a row put in, a column in another unit; what each
 * cell means. Judges no curve: that is the reader's.
 */
import type { Column, PointsSpec, Problem } from '../../../sim/index.ts';
import { findColumn, inUnit } from '../../../sim/index.ts';
import type { Understood } from './quantity-text.ts';
import { understand } from './quantity-text.ts';

export type Cell = number | string;
export type Side = 'speed' | 'figure';

export interface CurveColumn {
  /** Place in a row of the document. */
  readonly at: 0 | 1;
  readonly kind: Column['kind'];
  /** '' where the heading has no unit that can be read. */
  readonly unit: string;
}

/** What is written, where it has the form of points at all. */
export function asPoints(raw: unknown): PointsSpec | undefined {
  if (typeof raw !== 'object' || raw === null) return undefined;
  const { columns, rows } = raw as { columns?: unknown; rows?: unknown };
  const isPair = (value: unknown): boolean =>
    Array.isArray(value) &&
    value.length === 2 &&
    value.every((entry) => typeof entry === 'string' || typeof entry === 'number');
  if (!isPair(columns) || !Array.isArray(rows) || !rows.every(isPair)) return undefined;
  return raw as PointsSpec;
}

export function columnsOf(spec: PointsSpec): Readonly<Record<Side, CurveColumn>> {
  const found = spec.columns.map((heading) => findColumn(heading));
  const exchanged = found[1]?.kind === 'engineSpeed' && found[0]?.kind !== 'engineSpeed';
  const [speedAt, figureAt] = exchanged ? ([1, 0] as const) : ([0, 1] as const);
  const [speed, figure] = [found[speedAt], found[figureAt]];
  return {
    speed: {
      at: speedAt,
      kind: 'engineSpeed',
      unit: speed?.kind === 'engineSpeed' ? speed.unit.label : '',
    },
    figure: {
      at: figureAt,
      kind: figure?.kind === 'enginePower' ? 'enginePower' : 'engineTorque',
      unit: figure !== undefined && figure.kind !== 'engineSpeed' ? figure.unit.label : '',
    },
  };
}

/** Reads a cell as typed. Drag may be written negative throughout: the sign is not looked at here. */
export function readCurveCell(typed: Cell, column: CurveColumn, isDrag = false): Understood {
  const text = String(typed).trim();
  const bare = isDrag ? text.replace(/^[-−]\s*/, '') : text;
  const read = understand(bare, column.kind, column.unit === '' ? SHOWN[column.kind] : column.unit);
  return read.ok ? { ...read, text } : read;
}

/** A cell as the document holds it: a plain number as a number, anything else as typed. */
export function cellOf(typed: string): Cell {
  const text = typed.trim();
  return /^\d+(\.\d+)?$/.test(text) ? Number(text) : text;
}

/** The points with one column headed by another unit and its figures converted; power and torque by their speed. */
export function converted(
  spec: PointsSpec,
  side: Side,
  kind: Column['kind'],
  unit: string,
  isDrag = false,
): PointsSpec {
  const columns = columnsOf(spec);
  const column = columns[side];
  const heads: [string, string] = [...spec.columns];
  heads[column.at] = unit;
  // A heading that could not be read says nothing to convert from.
  if (column.unit === '') return { ...spec, columns: heads };
  const dimension = kind === 'engineSpeed' ? 'angularSpeed' : kind === 'engineTorque' ? 'torque' : 'power';
  return {
    columns: heads,
    rows: spec.rows.map((row) => {
      const cell = readCurveCell(row[column.at], column, isDrag);
      const speed = readCurveCell(row[columns.speed.at], columns.speed);
      if (!cell.ok || (kind !== column.kind && !speed.ok)) return row;
      const perSpeed = speed.ok ? speed.value : 1;
      const value =
        kind === column.kind
          ? cell.value
          : kind === 'enginePower'
            ? cell.value * perSpeed
            : cell.value / perSpeed;
      const copy: [Cell, Cell] = [...row];
      copy[column.at] = Number(inUnit(value, dimension, unit).toPrecision(6));
      return copy;
    }),
  };
}

/** A new row where the rising engine speed puts it; at the end of rows that do not rise. */
export function withPoint(
  spec: PointsSpec,
  speed: string,
  figure: string,
): { readonly spec: PointsSpec; readonly at: number } {
  const columns = columnsOf(spec);
  const value = (cell: Cell): number => {
    const read = readCurveCell(cell, columns.speed);
    return read.ok ? read.value : Number.NaN;
  };
  const wanted = value(speed);
  const found = spec.rows.findIndex((row) => value(row[columns.speed.at]) > wanted);
  const at = found < 0 ? spec.rows.length : found;
  const row: [Cell, Cell] = ['', ''];
  row[columns.speed.at] = cellOf(speed);
  row[columns.figure.at] = cellOf(figure);
  return { spec: { ...spec, rows: spec.rows.toSpliced(at, 0, row) }, at };
}

/** The figure a row does not give: power from torque, torque from power; undefined where the row cannot be read. */
export function otherFigure(
  row: readonly [Cell, Cell],
  columns: Readonly<Record<Side, CurveColumn>>,
): number | undefined {
  const speed = readCurveCell(row[columns.speed.at], columns.speed);
  const figure = readCurveCell(row[columns.figure.at], columns.figure);
  if (!speed.ok || !figure.ok) return undefined;
  return columns.figure.kind === 'enginePower' ? figure.value / speed.value : figure.value * speed.value;
}

/** A reader's problem in the words of the table, where rows count from one. */
export function inTableWords(found: Problem, word = 'row'): Problem {
  const row = /\.rows\[(\d+)\]/.exec(found.path)?.[1];
  const message = found.message.replace(/\brow (\d+)/g, (_, n: string) => `${word} ${Number(n) + 1}`);
  if (row === undefined) return { ...found, path: '', message };
  const colon = message.startsWith('has ') ? '' : ':';
  return { ...found, path: '', message: `${word} ${Number(row) + 1}${colon} ${message}` };
}

/** SI to a unit of torque or power, for showing. */
export function shownFigure(value: number, kind: Column['kind'], unit: string): string {
  const dimension = kind === 'engineTorque' ? 'torque' : 'power';
  return Number(inUnit(value, dimension, unit).toPrecision(3)).toString();
}

const SHOWN: Readonly<Record<Column['kind'], string>> = {
  engineSpeed: 'rpm',
  engineTorque: 'N·m',
  enginePower: 'kW',
};
