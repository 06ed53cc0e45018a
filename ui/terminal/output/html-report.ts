/** A page complete in itself: tables and line plots as inline SVG, no script, nothing fetched. */

export interface HtmlSeries {
  readonly label: string;
  readonly x: ArrayLike<number>;
  readonly y: ArrayLike<number>;
}

export interface HtmlPlot {
  readonly title: string;
  readonly xLabel: string;
  readonly yLabel: string;
  readonly series: readonly HtmlSeries[];
  /** Equal scales on both axes, for a map */
  readonly map?: true;
}

export interface HtmlReport {
  readonly title: string;
  /** The answer in sentences, first on the page */
  readonly answer?: readonly string[];
  /** Those without rows are left out */
  readonly tables: readonly {
    readonly title: string;
    readonly head: readonly string[];
    readonly rows: readonly (readonly string[])[];
    /** Said right under it */
    readonly notes?: readonly string[];
  }[];
  readonly plots: readonly HtmlPlot[];
  readonly remarks: readonly string[];
}

const INK = ['#1b3a4b', '#b4441f', '#3f6b2a', '#7a3b8f', '#8a6100', '#0f6f78'];
/** Height of a line of the legend, which stands above the plot. */
const LEGEND_LINE = 18;
const DASH = ['', '7 4', '2 3', '10 3 2 3', '14 4', '4 2 1 2'];

export function htmlReport(report: HtmlReport): string {
  const filled = report.tables.filter(({ rows }) => rows.length > 0);
  const tables = filled.map(
    (t) =>
      `<h2>${asText(t.title)}</h2><div class="table" tabindex="0" role="region" aria-label="${asText(t.title)}"><table><thead><tr>${t.head.map((h) => `<th scope="col">${asText(h)}</th>`).join('')}</tr></thead><tbody>${t.rows
        .map(
          (r) =>
            `<tr>${r.map((c, i) => (i === 0 ? `<th scope="row">${asText(c)}</th>` : `<td>${asText(c)}</td>`)).join('')}</tr>`,
        )
        .join('')}</tbody></table></div>${(t.notes ?? []).map((note) => `<p>${asText(note)}</p>`).join('')}`,
  );
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${asText(report.title)}</title>
<style>
body{font:16px/1.5 system-ui,sans-serif;margin:2rem auto;max-width:60rem;padding:0 1rem;color:#17232b;background:#fff}
.table{overflow-x:auto;margin:0 0 1.5rem}table{border-collapse:collapse}th,td{padding:.25rem .9rem .25rem 0;text-align:right;border-bottom:1px solid #cdd6d6}
th:first-child{text-align:left;max-width:24rem}figure{margin:0 0 2rem}figcaption{font-weight:600}svg{width:100%;height:auto}
.remark{border-left:.3rem solid #b4441f;padding-left:.8rem}@media (max-width:40rem){th:first-child{min-width:7.5rem;max-width:9rem;overflow-wrap:anywhere}td{white-space:nowrap}}@media print{body{margin:0}.table{overflow:visible}}
</style></head><body>
<h1>${asText(report.title)}</h1>
${(report.answer ?? []).map((line) => `<p>${asText(line)}</p>`).join('\n')}
${tables.join('\n')}
${report.plots.map(figure).join('\n')}
${report.remarks.map((r) => `<p class="remark">${asText(r)}</p>`).join('\n')}
<p>An estimate for a closed course. Class rules and the inspector stand over any number here.</p>
</body></html>
`;
}

function figure(plot: HtmlPlot): string {
  const W = 900;
  const top = 20 + LEGEND_LINE * plot.series.length;
  const H = top + (plot.map ? 500 : 300);
  const left = 70;
  const bottom = 46;
  const [x0, x1] = range(
    plot.series.map((s) => s.x),
    plot.map === true || isFarFromZero(plot.series.map((s) => s.x)),
  );
  const [y0, y1] = range(
    plot.series.map((s) => s.y),
    plot.map === true,
  );
  let sx = (W - left - 20) / (x1 - x0 || 1);
  let sy = (H - bottom - top) / (y1 - y0 || 1);
  if (plot.map) {
    sx = Math.min(sx, sy);
    sy = sx;
  }
  const legendAt = (k: number) => 12 + LEGEND_LINE * k;
  const px = (x: number) => (left + (x - x0) * sx).toFixed(1);
  const py = (y: number) => (H - bottom - (y - y0) * sy).toFixed(1);
  const ticks = (a: number, b: number) => niceTicks(a, b, 6);
  const grid = plot.map
    ? ''
    : ticks(x0, x1)
        .map(
          (t) =>
            `<line x1="${px(t)}" x2="${px(t)}" y1="${top}" y2="${H - bottom}" stroke="#dde4e4"/><text x="${px(t)}" y="${H - bottom + 18}" text-anchor="middle">${tidy(t)}</text>`,
        )
        .join('') +
      ticks(y0, y1)
        .map(
          (t) =>
            `<line x1="${left}" x2="${W - 20}" y1="${py(t)}" y2="${py(t)}" stroke="#dde4e4"/><text x="${left - 8}" y="${py(t)}" dy=".35em" text-anchor="end">${tidy(t)}</text>`,
        )
        .join('');
  const lines = plot.series
    .map((s, k) => {
      let d = '';
      for (let i = 0; i < s.x.length; i++) d += `${i === 0 ? 'M' : 'L'}${px(s.x[i]!)} ${py(s.y[i]!)}`;
      return `<path d="${d}" fill="none" stroke="${INK[k % INK.length]}" stroke-width="2" stroke-dasharray="${DASH[k % DASH.length]}"/>`;
    })
    .join('');
  const legend = plot.series
    .map(
      (s, k) =>
        `<line x1="${left + 10}" x2="${left + 50}" y1="${legendAt(k)}" y2="${legendAt(k)}" stroke="${INK[k % INK.length]}" stroke-width="2" stroke-dasharray="${DASH[k % DASH.length]}"/><text x="${left + 58}" y="${legendAt(k)}" dy=".35em">${asText(s.label)}</text>`,
    )
    .join('');
  return `<figure><figcaption>${asText(plot.title)}</figcaption><svg viewBox="0 0 ${W} ${H}" role="img" aria-label="${asText(plot.title)}" font-size="13" fill="#17232b">${grid}${lines}${legend}<text x="${(left + W) / 2}" y="${H - 8}" text-anchor="middle">${asText(plot.xLabel)}</text><text transform="translate(16 ${(top + H - bottom) / 2}) rotate(-90)" text-anchor="middle">${asText(plot.yLabel)}</text></svg></figure>`;
}

function range(columns: readonly ArrayLike<number>[], free: boolean): [number, number] {
  let low = free ? Number.POSITIVE_INFINITY : 0;
  let high = Number.NEGATIVE_INFINITY;
  for (const c of columns) {
    for (let i = 0; i < c.length; i++) {
      low = Math.min(low, c[i]!);
      high = Math.max(high, c[i]!);
    }
  }
  return [low, high > low ? high : low + 1];
}

/** Zero is left off an axis along which the values fill less than half of what it would take. */
function isFarFromZero(columns: readonly ArrayLike<number>[]): boolean {
  const [low, high] = range(columns, true);
  return low > 0.5 * high;
}

function niceTicks(a: number, b: number, about: number): number[] {
  const raw = (b - a) / about;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= raw) ?? raw;
  const ticks: number[] = [];
  for (let t = Math.ceil(a / step) * step; t <= b + step * 1e-9; t += step) ticks.push(t);
  return ticks;
}

function tidy(x: number): string {
  return String(Number(x.toPrecision(6)));
}

/** Text of a file never becomes markup. */
function asText(text: string): string {
  return text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}
