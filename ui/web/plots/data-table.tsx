/** The numbers behind a plot: folded away, built when opened, and to be taken along as CSV. */
import { useState } from 'preact/hooks';
import { saveCsv } from '../exchange/save-file.ts';
import { csvText } from './csv.ts';
import type { PlotTable } from './plot.ts';

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
          <TableOf table={table(SHOWN_ROWS)} caption={caption} />
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

export function TableOf({ table, caption }: { table: PlotTable; caption: string }) {
  return (
    // Scrollable by keyboard where it is wider than the page.
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable without a mouse
    <section class="table-frame" tabIndex={0} aria-label={caption}>
      <table>
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
    </section>
  );
}
