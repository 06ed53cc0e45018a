/** A table as CSV (RFC 4180). */
import type { PlotTable } from './plot.ts';

export function csvText(table: PlotTable): string {
  return [table.heads, ...table.rows].map((row) => `${row.map(cell).join(',')}\r\n`).join('');
}

function cell(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
