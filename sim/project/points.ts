/**
 * Engine points from the columns of a dyno sheet.
 *
 * In: two headed columns, engine speed against torque or power, cells as numbers in the column's unit or
 * as text (decimal commas, own units). Out: speeds (rad/s) rising strictly and torques (N·m), with every
 * problem and repair. Knows nothing of how a curve is drawn through the points.
 */
import { parseQuantity, unitList } from '../quantities/parse.ts';
import type { Quantity } from '../quantities/table.ts';
import { quantity } from '../quantities/table.ts';
import type { Dimension, Unit } from '../quantities/units.ts';
import { findUnit, toSI } from '../quantities/units.ts';
import type { Problem } from './problem.ts';
import { isBlocking, problem, repair } from './problem.ts';
import { limits } from './quantity-field.ts';
import type { PointsSpec } from './schema.ts';

export interface TorquePoints {
  /** rad/s, strictly rising. */
  readonly speed: number[];
  /** N·m, one per speed. */
  readonly torque: number[];
}

/** `points` is there unless a problem blocks; repairs may come with it. */
export interface PointsRead {
  readonly points?: TorquePoints;
  readonly problems: readonly Problem[];
}

/** More bad cells than this in one sheet are counted, not listed. */
const LISTED = 20;
/** Columns count as exchanged where no engine of this kind turns so slowly or pulls so hard. */
const SLOWEST_MIDDLE = (600 * Math.PI) / 30;
const STRONGEST_MIDDLE = 800;

/** Full-throttle points: torque positive, or power, against engine speed. */
export function readPoints(spec: PointsSpec, path: string): PointsRead {
  return readSheet(spec, path, (torque) => torque);
}

/** Closed-throttle points: drag torque, written all positive or all negative; read as positive drag. */
export function readDragPoints(spec: PointsSpec, path: string): PointsRead {
  const signs = spec.rows.map((row) =>
    typeof row[1] === 'string' ? row[1].trim().replace('−', '-') : String(row[1]),
  );
  const negative = signs.every((text) => text.startsWith('-') || Number(text.replace(',', '.')) === 0);
  return readSheet(spec, path, negative ? Math.abs : (torque) => torque, negative);
}

export interface Column {
  readonly kind: 'engineSpeed' | 'engineTorque' | 'enginePower';
  readonly unit: Unit;
}

function readSheet(
  spec: PointsSpec,
  path: string,
  sign: (torque: number) => number,
  negated = false,
): PointsRead {
  const problems: Problem[] = [];
  const columns = readColumns(spec, path, problems);
  if (columns === undefined) return { problems };
  const exchanged = columns[0].kind !== 'engineSpeed';
  const [speedColumn, otherColumn] = exchanged ? [columns[1], columns[0]] : columns;
  if (exchanged) {
    problems.push(
      repair(
        'column-order',
        `${path}.columns`,
        'engine speed stands in the second column: read by its unit',
        {
          value: spec.columns.join(', '),
        },
      ),
    );
  }
  const at = exchanged ? ([1, 0] as const) : ([0, 1] as const);
  const pairs: { speed: number; torque: number; row: number }[] = [];
  const cells: Problem[] = [];
  const swapped = looksExchanged(spec, speedColumn, otherColumn, at);
  if (swapped) {
    problems.push(
      problem(
        'columns-swapped',
        `${path}.rows`,
        'the two columns look exchanged: speeds this low with figures this high',
        {
          value: spec.rows[0]?.join(', ') ?? '',
          remedy: `exchange the two names in ${path}.columns, or the two figures of each row`,
        },
      ),
    );
    return { problems };
  }
  spec.rows.forEach((row, index) => {
    const speed = readCell(row[at[0]], speedColumn, `${path}.rows[${index}][${at[0]}]`, cells);
    const other = readCell(row[at[1]], otherColumn, `${path}.rows[${index}][${at[1]}]`, cells, negated);
    if (speed === undefined || other === undefined) return;
    const torque = sign(otherColumn.kind === 'enginePower' ? other / speed : other);
    const most = quantity('engineTorque').max;
    if (torque > most) {
      cells.push(
        problem(
          'out-of-range',
          `${path}.rows[${index}]`,
          'power at this engine speed means an impossible torque',
          {
            value: `${Math.round(torque)} N·m`,
            limit: `${most} N·m`,
            remedy: `check the unit of the columns (${spec.columns.join(', ')})`,
          },
        ),
      );
    } else pairs.push({ speed, torque, row: index });
  });
  problems.push(...cells.slice(0, LISTED));
  if (cells.length > LISTED) {
    problems.push(
      problem('more', `${path}.rows`, `has ${cells.length - LISTED} more cells that cannot be read`),
    );
  }
  sortPairs(pairs, path, problems);
  findDuplicates(pairs, path, spec, problems);
  if (isBlocking(problems)) return { problems };
  return { points: { speed: pairs.map((p) => p.speed), torque: pairs.map((p) => p.torque) }, problems };
}

function readColumns(spec: PointsSpec, path: string, problems: Problem[]): [Column, Column] | undefined {
  const found = spec.columns.map(findColumn);
  found.forEach((column, i) => {
    if (column !== undefined) return;
    problems.push(
      problem('unknown-unit', `${path}.columns[${i}]`, 'column has no unit that can be read', {
        value: `'${spec.columns[i]}'`,
        remedy: `head it with a unit of engine speed (${unitList('angularSpeed')}), torque (${unitList('torque')}) or power (${unitList('power')})`,
      }),
    );
  });
  const [first, second] = found;
  if (first === undefined || second === undefined) return undefined;
  const speeds = [first, second].filter((c) => c.kind === 'engineSpeed').length;
  if (speeds === 1) return [first, second];
  problems.push(
    problem(
      'columns',
      `${path}.columns`,
      speeds === 0 ? 'no column is engine speed' : 'both columns are engine speed',
      {
        value: spec.columns.join(', '),
        remedy: "write ['rpm', 'N·m'] or ['rpm', 'kW'], in the units of your sheet",
      },
    ),
  );
  return undefined;
}

/** A column by its heading: a unit alone, or a name followed by a unit, with or without brackets. */
export function findColumn(heading: string): Column | undefined {
  const inBrackets = /[([]([^)\]]+)[)\]]\s*$/.exec(heading)?.[1];
  const words = heading.trim().split(/\s+/);
  const candidates = [heading, inBrackets, words.at(-1), words.slice(-2).join(' ')];
  const kinds = [
    ['engineSpeed', 'angularSpeed'],
    ['engineTorque', 'torque'],
    ['enginePower', 'power'],
  ] as const satisfies readonly (readonly [Column['kind'], Dimension])[];
  for (const text of candidates) {
    if (text === undefined || text.trim() === '') continue;
    for (const [kind, dimension] of kinds) {
      const unit = findUnit(dimension, text);
      if (unit !== undefined) return { kind, unit };
    }
  }
  return undefined;
}

function readCell(
  cell: number | string,
  column: Column,
  path: string,
  problems: Problem[],
  negated = false,
): number | undefined {
  const row = quantity(column.kind);
  const range = negated ? { min: -row.max, max: 0 } : row;
  const parsed =
    typeof cell === 'number'
      ? ({ ok: true, value: toSI(cell, column.unit) } as const)
      : parseQuantity(cell, row.dimension, range, column.unit);
  const value = typeof cell === 'number' ? String(cell) : `'${cell}'`;
  if (!parsed.ok) {
    const remedy = `write a number in ${column.unit.label}, or with one of the units ${unitList(row.dimension)}`;
    problems.push(problem(parsed.reason, path, `${row.label} ${parsed.message}`, { value, remedy }));
    return undefined;
  }
  if (!Number.isFinite(parsed.value)) {
    problems.push(problem('not-finite', path, `${row.label} is not a finite number`, { value }));
    return undefined;
  }
  if (parsed.value < range.min || parsed.value > range.max) {
    problems.push(outOfRange(column, row, path, value, parsed.value));
    return undefined;
  }
  return parsed.value;
}

function outOfRange(column: Column, row: Quantity, path: string, value: string, read: number): Problem {
  const atRest = column.kind === 'engineSpeed' && read === 0;
  return problem(
    'out-of-range',
    path,
    atRest ? 'an engine gives nothing at zero speed' : `${row.label} is out of range`,
    {
      value,
      limit: limits(row),
      remedy: atRest
        ? 'leave the row out'
        : `check the value and the heading of the column (${column.unit.label})`,
    },
  );
}

/** Judges by the middle of each column, in the units of the headings. */
function looksExchanged(
  spec: PointsSpec,
  speed: Column,
  other: Column,
  at: readonly [0 | 1, 0 | 1],
): boolean {
  if (other.kind !== 'engineTorque') return false;
  const middle = (i: 0 | 1, unit: Unit) => {
    const column = spec.rows
      .map((row) => row[i])
      .map((cell) => (typeof cell === 'number' ? cell : loose(cell)));
    column.sort((a, b) => a - b);
    return toSI(column[Math.floor(column.length / 2)] ?? Number.NaN, unit);
  };
  return middle(at[0], speed.unit) < SLOWEST_MIDDLE && middle(at[1], other.unit) > STRONGEST_MIDDLE;
}

/** The number a cell begins with, good enough to judge its size. */
function loose(cell: string): number {
  return Number.parseFloat(cell.replace(/,(?=\d{3}\b)/, '').replace(',', '.'));
}

function sortPairs(pairs: { speed: number }[], path: string, problems: Problem[]): void {
  const rising = pairs.every((p, i) => i === 0 || p.speed >= pairs[i - 1]!.speed);
  if (rising) return;
  pairs.sort((a, b) => a.speed - b.speed);
  problems.push(repair('sorted', `${path}.rows`, 'rows were not in order of engine speed: sorted'));
}

function findDuplicates(
  pairs: { speed: number; row: number }[],
  path: string,
  spec: PointsSpec,
  problems: Problem[],
): void {
  for (let i = 1; i < pairs.length; i++) {
    const [before, here] = [pairs[i - 1]!, pairs[i]!];
    if (here.speed > before.speed) continue;
    problems.push(
      problem('duplicate', `${path}.rows[${here.row}]`, `has the same engine speed as row ${before.row}`, {
        value: spec.rows[here.row]?.join(', ') ?? '',
        remedy: 'keep one of them, or their mean',
      }),
    );
  }
}
