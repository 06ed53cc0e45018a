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
}

export function TableOf({ table, caption, keepsColumns = false }: TableOfProps) {
  const frame = useRef<HTMLElement>(null);
  const isStacked = useTooWide(frame, `${table.heads.join('|')} ${table.rows.join('|')}`, !keepsColumns);
  // Cells laid out as blocks are no table any more to some browsers: said outright.
  const as = (role: 'table' | 'row' | 'rowgroup' | 'columnheader' | 'rowheader' | 'cell') =>
    isStacked ? { role } : {};
  return (
    // Scrollable by keyboard where it is wider than the page.
    <section
      ref={frame}
      class={isStacked ? 'table-frame stacked' : 'table-frame'}
      {...(isStacked ? {} : { tabIndex: 0 })}
      aria-label={caption}
    >
      <table {...as('table')}>
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
                i === 0 ? (
                  <th
                    key={table.heads[i]}
                    scope="row"
                    // A bare number says little on a line of its own.
                    {...(/^\d/.test(cell) ? { 'data-head': table.heads[i] } : {})}
                    {...as('rowheader')}
                  >
                    {cell}
                  </th>
                ) : (
                  <td
                    key={table.heads[i]}
                    data-head={table.heads[i]}
                    {...as('cell')}
                    {...(cell.length > LONG_CELL ? { class: 'long' } : {})}
                  >
                    {cell}
                  </td>
                ),
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
