/** The numbers behind a plot: folded away, built when opened, and to be taken along as CSV. */
import { useRef, useState } from 'preact/hooks';
import { saveCsv } from '../exchange/save-file.ts';
import { csvText } from './csv.ts';
import type { PlotTable } from './plot.ts';
import { useTooWide } from './too-wide.ts';

/** Rows shown on the page; the file holds every one. */
const SHOWN_ROWS = 41;

/** A cell of more characters holds words, not a number. */
const LONG_CELL = 24;

export interface DataTableProps {
  readonly caption: string;
  /** Makes the table with at most so many rows. */
  readonly table: (most: number) => PlotTable;
  readonly fileName: string;
  /** Saves the plot as a picture, where there is one. */
  readonly onPicture?: () => void;
}

export function DataTable({ caption, table, fileName, onPicture }: DataTableProps) {
  const [open, setOpen] = useState(false);
  return (
    <details class="behind" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{caption}: the numbers</summary>
      {open ? (
        <>
          <TableOf table={table(SHOWN_ROWS)} caption={caption} keepsColumns />
          <p class="save-row">
            <button type="button" onClick={() => saveCsv(fileName, csvText(table(Number.MAX_SAFE_INTEGER)))}>
              Save every row as CSV
            </button>
            {onPicture === undefined ? null : (
              <button type="button" onClick={onPicture}>
                Save the plot as a picture
              </button>
            )}
          </p>
        </>
      ) : null}
    </details>
  );
}

export interface TableOfProps {
  readonly table: PlotTable;
  readonly caption: string;
  /** Figures are compared across as well as down: the columns stay, however narrow the screen. */
  readonly keepsColumns?: boolean;
  /** Heads of the columns rows are compared by: these stay columns on a narrow screen, the others are told below. */
  readonly core?: readonly string[];
}

export function TableOf({ table, caption, keepsColumns = false, core }: TableOfProps) {
  const frame = useRef<HTMLElement>(null);
  const isTooWide = useTooWide(frame, table, !keepsColumns);
  const columns = core?.map((head) => table.heads.indexOf(head)).filter((at) => at >= 0);
  return (
    // Scrollable by keyboard where it is wider than the page.
    <section
      ref={frame}
      class={isTooWide ? 'table-frame stacked' : 'table-frame'}
      {...(isTooWide ? {} : { tabIndex: 0 })}
      aria-label={caption}
    >
      {!isTooWide ? (
        <Columns table={table} />
      ) : columns === undefined || columns.length === 0 ? (
        <RowByRow table={table} />
      ) : (
        <>
          <Columns
            look="core-columns"
            table={{
              heads: columns.map((at) => table.heads[at]!),
              rows: table.rows.map((row) => columns.map((at) => row[at] ?? '')),
            }}
          />
          <details class="behind">
            <summary>{caption}: every column</summary>
            <RowByRow table={table} />
          </details>
        </>
      )}
    </section>
  );
}

function Columns({ table, look }: { table: PlotTable; look?: string }) {
  return (
    <table {...(look === undefined ? {} : { class: look })}>
      <thead>
        <tr>
          {table.heads.map((head) => (
            <th key={head} scope="col">
              {head}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {table.rows.map((row) => (
          <tr key={row.join('|')}>
            {row.map((cell, i) =>
              i === 0 ? (
                <th key={table.heads[i]} scope="row">
                  {cell}
                </th>
              ) : (
                <td key={table.heads[i]} {...(cell.length > LONG_CELL ? { class: 'long' } : {})}>
                  {cell}
                </td>
              ),
            )}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/**
 * Each row by itself, its figures one below the other. Laid out as blocks these are no table any more to some
 * browsers, so that each part says what it is.
 */
function RowByRow({ table }: { table: PlotTable }) {
  const as = (role: 'table' | 'row' | 'rowgroup' | 'columnheader' | 'rowheader' | 'cell') => ({ role });
  // What tells the rows apart: the first cell, or the first two where that one repeats.
  const named = new Set(table.rows.map(([first]) => first)).size === table.rows.length ? 1 : 2;
  return (
    <table class="row-by-row" {...as('table')}>
      <thead {...as('rowgroup')}>
        <tr {...as('row')}>
          {table.heads.map((head) => (
            <th key={head} scope="col" {...as('columnheader')}>
              {head}
            </th>
          ))}
        </tr>
      </thead>
      <tbody {...as('rowgroup')}>
        {table.rows.map((row) => (
          <tr key={row.join('|')} {...as('row')}>
            {row.map((cell, i) =>
              i < named ? (
                <th
                  key={table.heads[i]}
                  scope="row"
                  {...as('rowheader')}
                  // A bare number says little on a line of its own.
                  {...(/^[\d.,/]+( \(|$)/.test(cell) ? { 'data-head': table.heads[i] } : {})}
                >
                  {cell}
                </th>
              ) : (
                <td key={table.heads[i]} {...as('cell')} data-head={table.heads[i]}>
                  {cell}
                </td>
              ),
            )}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
