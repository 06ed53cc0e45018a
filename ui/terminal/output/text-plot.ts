/** A line plot in the terminal, in braille dots: two by four dots a character. */

export interface TextSeries {
  readonly label: string;
  readonly x: ArrayLike<number>;
  readonly y: ArrayLike<number>;
}

const DOTS = [
  [0x01, 0x08],
  [0x02, 0x10],
  [0x04, 0x20],
  [0x40, 0x80],
];

/** Draws every series in a panel of its own, so that lines need no colour to be told apart. */
export function textPlot(
  title: string,
  xLabel: string,
  yLabel: string,
  series: readonly TextSeries[],
  wide: number,
): string {
  const columns = Math.max(20, Math.min(100, wide - 12));
  const rows = 8;
  const xs = series.flatMap((s) => [min(s.x), max(s.x)]);
  const x0 = Math.min(...xs);
  const x1 = Math.max(...xs);
  const y0 = Math.min(0, ...series.map((s) => min(s.y)));
  const y1 = Math.max(...series.map((s) => max(s.y)));
  const panels = series.map((s) => {
    const grid = Array.from({ length: rows }, () => new Uint8Array(columns));
    const spots = columns * 2;
    let before: number | undefined;
    for (let c = 0; c < spots; c++) {
      const y = valueAt(s, x0 + ((x1 - x0) * c) / (spots - 1));
      if (y === undefined) continue;
      const dot = Math.round((1 - (y - y0) / (y1 - y0 || 1)) * (rows * 4 - 1));
      const from = before ?? dot;
      for (let d = Math.min(from, dot); d <= Math.max(from, dot); d++) {
        const cell = grid[d >> 2];
        if (cell !== undefined) cell[c >> 1] = cell[c >> 1]! | DOTS[d & 3]![c & 1]!;
      }
      before = dot;
    }
    const lines = grid.map(
      (g, i) =>
        `${i === 0 ? y1.toFixed(0).padStart(6) : i === rows - 1 ? y0.toFixed(0).padStart(6) : '      '} │${[...g].map((b) => String.fromCharCode(0x2800 + b)).join('')}`,
    );
    return `  ${s.label}\n${lines.join('\n')}\n`;
  });
  const axis = `       └${'─'.repeat(columns)}\n        ${x0.toFixed(0)}${`${x1.toFixed(0)} ${xLabel}`.padStart(columns - x0.toFixed(0).length)}\n`;
  return `\n${title} [${yLabel}]\n${panels.join('')}${axis}`;
}

function valueAt(s: TextSeries, x: number): number | undefined {
  const n = s.x.length;
  if (n < 2 || x < s.x[0]! || x > s.x[n - 1]!) return undefined;
  let low = 0;
  let high = n - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (s.x[middle]! <= x) low = middle;
    else high = middle;
  }
  const h = s.x[high]! - s.x[low]!;
  return h > 0 ? s.y[low]! + ((s.y[high]! - s.y[low]!) * (x - s.x[low]!)) / h : s.y[high]!;
}

function min(values: ArrayLike<number>): number {
  let m = Number.POSITIVE_INFINITY;
  for (let i = 0; i < values.length; i++) m = Math.min(m, values[i]!);
  return m;
}

function max(values: ArrayLike<number>): number {
  let m = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < values.length; i++) m = Math.max(m, values[i]!);
  return m;
}
