/** A table as CSV (RFC 4180), and handing a text to the browser as a file. */
import type { PlotTable } from './plot.ts';

export function csvText(table: PlotTable): string {
  return [table.heads, ...table.rows].map((row) => `${row.map(cell).join(',')}\r\n`).join('');
}

/** Offers a text as a download; nothing leaves the machine. */
export function saveText(name: string, text: string): void {
  saveBlob(name, new Blob([text], { type: 'text/csv' }));
}

export function saveBlob(name: string, blob: Blob): void {
  const address = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser takes the file over within the click; a second is room for slow ones.
  setTimeout(() => URL.revokeObjectURL(address), 1000);
}

function cell(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
