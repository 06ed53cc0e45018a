/** The reference of quantities: every one the project file may hold, from the one table everything reads. */
import { useState } from 'preact/hooks';
import type { QuantityName } from '../../../sim/index.ts';
import { QUANTITIES, quantity } from '../../../sim/index.ts';
import { inShown } from '../forms/quantity-text.ts';
import { TableOf } from '../plots/data-table.tsx';
import type { PlotTable } from '../plots/plot.ts';

export function QuantityReference() {
  const [open, setOpen] = useState(false);
  return (
    <details class="card check" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        Every quantity a project may hold: limits, what is taken where it is left out, how to measure it
      </summary>
      {open ? <TableOf caption="Quantities" table={referenceTable()} /> : null}
    </details>
  );
}

function referenceTable(): PlotTable {
  return {
    heads: ['quantity', 'limits', 'usual', 'where left out', 'give or take', 'how to measure it'],
    rows: (Object.keys(QUANTITIES) as QuantityName[]).map((name) => {
      const row = quantity(name);
      const text = (value: number): string => inShown(value, name, row.shown);
      return [
        row.label,
        `${text(row.min)} to ${text(row.max)}`,
        row.usual === undefined ? '' : `${text(row.usual[0])} to ${text(row.usual[1])}`,
        row.default === undefined ? 'must be given' : text(row.default),
        row.spread === undefined
          ? ''
          : typeof row.spread === 'string'
            ? row.spread
            : row.dimension === 'temperature'
              ? `${row.spread} °C`
              : text(row.spread),
        row.measure,
      ];
    }),
  };
}
