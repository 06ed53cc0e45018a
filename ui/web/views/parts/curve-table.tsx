/**
 * The table of an engine curve. Enter moves down, Shift and Enter up; a refused cell keeps what was typed and says why;
 * one stay in a cell is one undo step. The last row takes a new point.
 */
import { useId, useRef, useState } from 'preact/hooks';
import type { Column, PointsSpec } from '../../../../sim/index.ts';
import { capital } from '../../../words/capital.ts';
import type { CurveColumn, Side } from '../../forms/curve-points.ts';
import {
  cellOf,
  columnsOf,
  converted,
  otherFigure,
  readCurveCell,
  shownFigure,
  withPoint,
} from '../../forms/curve-points.ts';
import { refusalSentence } from '../../forms/quantity-text.ts';
import { useWorkbench } from '../../state/context.ts';
import { removeValue, setValue } from '../../state/input-commands.ts';

export interface CurveTableProps {
  readonly path: string;
  readonly spec: PointsSpec;
  readonly isDrag: boolean;
}

/** Rows shown; a longer log stays in the file and is told of. */
const SHOWN_ROWS = 200;
const SIDES = ['speed', 'figure'] as const;

export function CurveTable({ path, spec, isDrag }: CurveTableProps) {
  const workbench = useWorkbench();
  const body = useRef<HTMLTableSectionElement>(null);
  const id = useId();
  /** What stands in cells that are being typed in, or were refused. */
  const [typed, setTyped] = useState<Readonly<Record<string, string>>>({});
  const [stay, setStay] = useState(0);
  const columns = columnsOf(spec);
  const { units } = workbench.project.value;
  const isPower = columns.figure.kind === 'enginePower';
  const otherKind = isPower ? 'engineTorque' : 'enginePower';
  const otherUnit = isPower ? (units['torque'] ?? 'N·m') : (units['power'] ?? 'kW');
  const word = isDrag ? 'drag' : isPower ? 'power' : 'torque';
  const shown = spec.rows.slice(0, SHOWN_ROWS);
  const refusals = Object.entries(typed).flatMap(([key, text]) => {
    const [row, side] = key.split(' ') as [string, Side];
    if (row === 'new') return [];
    const read = readCurveCell(text, columns[side], isDrag);
    return read.ok ? [] : [{ key, row: Number(row), sentence: refusalSentence(read) }];
  });

  const focus = (row: number, side: Side): void => {
    const cell = body.current?.querySelector<HTMLInputElement>(`[data-cell="${row} ${side}"]`);
    cell?.focus();
    cell?.select();
  };
  const type = (row: number, side: Side, text: string): void => {
    setTyped({ ...typed, [`${row} ${side}`]: text });
    const column = columns[side];
    const read = readCurveCell(text, column, isDrag);
    if (!read.ok) return;
    const what = side === 'speed' ? 'engine speed' : word;
    workbench.edit(
      setValue(`${path}.rows[${row}][${column.at}]`, `${what}, row ${row + 1}: ${text.trim()}`, cellOf(text)),
      `${path}.rows[${row}][${column.at}]#${stay}`,
    );
  };
  const leave = (row: number, side: Side): void => {
    const key = `${row} ${side}`;
    const text = typed[key];
    if (text !== undefined && readCurveCell(text, columns[side], isDrag).ok)
      setTyped(Object.fromEntries(Object.entries(typed).filter(([other]) => other !== key)));
  };
  const remove = (row: number): void => {
    setTyped(movedRows(typed, row, -1));
    workbench.edit(removeValue(`${path}.rows[${row}]`, `${word}, row ${row + 1} taken away`));
  };
  const add = (speed: string, figure: string): void => {
    const next = withPoint(spec, speed, figure);
    setTyped(movedRows(typed, next.at, 1));
    workbench.edit(setValue(path, `${word}, a point at ${speed.trim()}`, next.spec));
  };
  return (
    <>
      <div class="pair">
        <UnitChoice
          label="Engine speed in"
          column={columns.speed}
          options={[['engineSpeed', ['rpm', 'rad/s']]]}
          onUnit={(kind, unit) => convert('speed', kind, unit)}
        />
        <UnitChoice
          label={isDrag ? 'Drag in' : 'Torque or power in'}
          column={columns.figure}
          options={
            isDrag
              ? [['engineTorque', ['N·m', 'lbf·ft', 'kgf·m']]]
              : [
                  ['engineTorque', ['N·m', 'lbf·ft', 'kgf·m']],
                  ['enginePower', ['kW', 'hp', 'PS']],
                ]
          }
          onUnit={(kind, unit) => convert('figure', kind, unit)}
        />
      </div>
      <p class="field-says">Another unit converts the figures. Enter goes down a row.</p>
      {/* Scrolled by keyboard through its fields. */}
      <section class="table-frame curve-table" aria-label={`Points: ${word} over engine speed`}>
        <table>
          <thead>
            <tr>
              <th scope="col">
                <span class="row-number">Row</span>
              </th>
              <th scope="col">Engine speed{columns.speed.unit === '' ? '' : `, ${columns.speed.unit}`}</th>
              <th scope="col">
                {capital(word)}
                {columns.figure.unit === '' ? '' : `, ${columns.figure.unit}`}
              </th>
              {isDrag ? null : (
                <th scope="col">
                  {isPower ? 'Torque' : 'Power'}, {otherUnit}
                </th>
              )}
              <td />
            </tr>
          </thead>
          <tbody ref={body}>
            {shown.map((row, r) => {
              const other = otherFigure(row, columns);
              return (
                <tr key={r}>
                  <th scope="row">{r + 1}</th>
                  {SIDES.map((side) => {
                    const text = typed[`${r} ${side}`] ?? String(row[columns[side].at]);
                    const read = readCurveCell(text, columns[side], isDrag);
                    return (
                      <td key={side}>
                        <input
                          type="text"
                          autocomplete="off"
                          data-cell={`${r} ${side}`}
                          value={text}
                          aria-label={`${side === 'speed' ? 'Engine speed' : capital(word)}, row ${r + 1}`}
                          aria-invalid={!read.ok}
                          {...(read.ok ? {} : { 'aria-describedby': `${id}-refused` })}
                          onFocus={() => setStay(stay + 1)}
                          onInput={(event) => type(r, side, event.currentTarget.value)}
                          onBlur={() => leave(r, side)}
                          onKeyDown={(event) => {
                            if (event.key !== 'Enter') return;
                            event.preventDefault();
                            focus(event.shiftKey ? r - 1 : r + 1, side);
                          }}
                        />
                      </td>
                    );
                  })}
                  {isDrag ? null : (
                    <td>{other === undefined ? '–' : shownFigure(other, otherKind, otherUnit)}</td>
                  )}
                  <td class="row-end">
                    <button
                      type="button"
                      class="quiet"
                      disabled={spec.rows.length <= 2}
                      aria-label={`Take row ${r + 1} away`}
                      onClick={() => remove(r)}
                    >
                      ×
                    </button>
                  </td>
                </tr>
              );
            })}
            <NewPoint
              row={shown.length}
              word={word}
              columns={columns}
              isDrag={isDrag}
              onAdd={add}
              onUp={(side) => focus(shown.length - 1, side)}
            />
          </tbody>
        </table>
      </section>
      <div id={`${id}-refused`} role="status">
        {refusals.map(({ key, row, sentence: says }) => (
          <p key={key} class="field-says refused">
            Row {row + 1}: {says}
            {spec.rows[row] === undefined
              ? ''
              : ` Still reckoning with ${String(spec.rows[row][columns[key.endsWith('speed') ? 'speed' : 'figure'].at])}.`}
          </p>
        ))}
      </div>
      {spec.rows.length > SHOWN_ROWS ? (
        <p class="field-says">
          The first {SHOWN_ROWS} of {spec.rows.length} rows; every one is reckoned with.
        </p>
      ) : null}
      {spec.rows.length <= 2 ? <p class="field-says">A curve keeps two rows at least.</p> : null}
    </>
  );

  function convert(side: Side, kind: Column['kind'], unit: string): void {
    setTyped({});
    const what = side === 'speed' ? 'engine speed' : word;
    workbench.edit(setValue(path, `${what} in ${unit}`, converted(spec, side, kind, unit, isDrag)));
  }
}

interface UnitChoiceProps {
  readonly label: string;
  readonly column: CurveColumn;
  readonly options: readonly (readonly [Column['kind'], readonly string[]])[];
  readonly onUnit: (kind: Column['kind'], unit: string) => void;
}

function UnitChoice({ label, column, options, onUnit }: UnitChoiceProps) {
  const id = useId();
  const known = options.some(([, list]) => list.includes(column.unit));
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <select
        id={id}
        value={column.unit}
        onChange={(event) => {
          const unit = event.currentTarget.value;
          const kind = options.find(([, list]) => list.includes(unit))?.[0];
          if (kind !== undefined) onUnit(kind, unit);
        }}
      >
        {known ? null : (
          <option value={column.unit}>{column.unit === '' ? 'not said: choose' : column.unit}</option>
        )}
        {options.map(([kind, list]) =>
          options.length === 1 ? (
            list.map((unit) => (
              <option key={unit} value={unit}>
                {unit}
              </option>
            ))
          ) : (
            <optgroup key={kind} label={kind === 'enginePower' ? 'power' : 'torque'}>
              {list.map((unit) => (
                <option key={unit} value={unit}>
                  {unit}
                </option>
              ))}
            </optgroup>
          ),
        )}
      </select>
    </div>
  );
}

interface NewPointProps {
  readonly row: number;
  readonly word: string;
  readonly columns: Readonly<Record<Side, CurveColumn>>;
  readonly isDrag: boolean;
  readonly onAdd: (speed: string, figure: string) => void;
  readonly onUp: (side: Side) => void;
}

/** A row of the page alone until both its figures can be read. */
function NewPoint({ row, word, columns, isDrag, onAdd, onUp }: NewPointProps) {
  const [texts, setTexts] = useState<Readonly<Record<Side, string>>>({ speed: '', figure: '' });
  const line = useRef<HTMLTableRowElement>(null);
  const read = (side: Side) => readCurveCell(texts[side], columns[side], isDrag);
  const isWhole = read('speed').ok && read('figure').ok;
  const cell = (side: Side) => line.current?.querySelector<HTMLInputElement>(`[data-cell$="${side}"]`);
  const add = (): void => {
    if (!isWhole) return;
    onAdd(texts.speed, texts.figure);
    setTexts({ speed: '', figure: '' });
  };
  return (
    <tr ref={line} class="new-point">
      <th scope="row">new</th>
      {SIDES.map((side) => (
        <td key={side}>
          <input
            type="text"
            autocomplete="off"
            data-cell={`${row} ${side}`}
            value={texts[side]}
            aria-label={`${side === 'speed' ? 'Engine speed' : capital(word)}, new row`}
            aria-invalid={texts[side].trim() !== '' && !read(side).ok}
            onInput={(event) => setTexts({ ...texts, [side]: event.currentTarget.value })}
            onKeyDown={(event) => {
              if (event.key !== 'Enter') return;
              event.preventDefault();
              if (event.shiftKey) onUp(side);
              else if (side === 'speed') cell('figure')?.focus();
              else if (isWhole) {
                add();
                cell('speed')?.focus();
              }
            }}
          />
        </td>
      ))}
      <td colSpan={isDrag ? 1 : 2} class="row-end">
        <button type="button" disabled={!isWhole} onClick={add}>
          Add
        </button>
      </td>
    </tr>
  );
}

/** Refused cells keep their rows when one goes or comes above them. */
function movedRows(
  typed: Readonly<Record<string, string>>,
  at: number,
  by: 1 | -1,
): Readonly<Record<string, string>> {
  return Object.fromEntries(
    Object.entries(typed).flatMap(([key, text]) => {
      const [row, side] = key.split(' ') as [string, Side];
      const old = Number(row);
      if (by === -1 && old === at) return [];
      return [[`${old >= at ? old + by : old} ${side}`, text]];
    }),
  );
}
