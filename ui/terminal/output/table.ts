/** Plain tables for people: left column words, the others right-aligned. */

export function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const all = [head, ...rows];
  const width = head.map((_, c) => Math.max(...all.map((r) => length(r[c] ?? ''))));
  const line = (r: readonly string[]) =>
    `  ${width.map((w, c) => (c === 0 ? padEnd(r[c] ?? '', w) : padStart(r[c] ?? '', w))).join('  ')}`.trimEnd();
  return `${[line(head), `  ${width.map((w) => '-'.repeat(w)).join('  ')}`, ...rows.map(line)].join('\n')}\n`;
}

/** Screen columns of a text: code points, which suffices for Latin text and signs. */
function length(text: string): number {
  return [...text].length;
}

function padEnd(text: string, width: number): string {
  return text + ' '.repeat(Math.max(0, width - length(text)));
}

function padStart(text: string, width: number): string {
  return ' '.repeat(Math.max(0, width - length(text))) + text;
}

/** One standard deviation of hundredths of a second, behind the number itself; nothing where it is not known. */
export function giveOrTake(spread: number | null): string {
  return spread === null ? '' : ` ±${spread.toFixed(2)}`;
}
