/**
 * The only file that knows the chart library: a plot in, a drawn canvas out.
 *
 * `chartOptions` and `chartData` are pure; `drawPlot` keeps one chart per canvas and redraws it in place, without
 * animation and without parsing. Strip, levels and marks are drawn by a plugin of our own.
 */
import type { ChartConfiguration, ChartData, ChartOptions, Plugin } from 'chart.js';
import { Chart, LinearScale, LineController, LineElement, PointElement } from 'chart.js';
import type { Palette } from '../look/palette.ts';
import type { Axis, Plot, Series, Stretch } from './plot.ts';
import { stationAt } from './station.ts';

Chart.register(LineController, LineElement, PointElement, LinearScale);

export interface DrawnPlot {
  show(plot: Plot, palette: Palette): void;
  /** The chart as drawn, on paper, with its title above. */
  picture(): HTMLCanvasElement;
  /** Where values of the x axis lie, px from the left edge of the canvas. */
  pixelOf(x: number): number;
  valueAt(pixel: number): number;
  /** The part of the canvas between the axes, px. */
  area(): { readonly left: number; readonly right: number };
  destroy(): void;
}

type LineData = ChartData<'line', { x: number; y: number }[]>;
type LineConfiguration = ChartConfiguration<'line', { x: number; y: number }[]>;

const FONT = { family: 'system-ui, sans-serif', size: 12 };
/** px */
const STRIP_HEIGHT = 16;

export function chartData(plot: Plot, palette: Palette): LineData {
  return {
    datasets: plot.series.map((series) => ({
      label: series.name,
      data: pointsOf(series, plot.x),
      yAxisID: series.side === 'right' ? 'right' : 'y',
      borderColor: series.colour,
      borderWidth: palette.weight * (series.weight ?? 2),
      borderDash: [...(series.dash ?? [])],
      stepped: series.stepped === true,
      ...(series.dots === true
        ? {
            showLine: false,
            pointRadius: (series.dotSize ?? 1.5) * palette.weight,
            pointBackgroundColor: series.colour,
            pointBorderWidth: 0,
          }
        : {}),
    })),
  };
}

export function chartOptions(plot: Plot, palette: Palette): ChartOptions<'line'> {
  return {
    animation: false,
    parsing: false,
    normalized: true,
    responsive: true,
    maintainAspectRatio: false,
    events: [],
    font: FONT,
    color: palette.ink,
    layout: {
      padding: {
        top: plot.marks.length > 0 ? 16 : 6,
        right: plot.right === undefined ? (plot.margins?.right ?? 6) : 0,
      },
    },
    elements: { point: { radius: 0 }, line: { tension: 0 } },
    scales: {
      x: { type: 'linear', ...axisOptions(plot.x, true, palette) },
      y: {
        type: 'linear',
        position: 'left',
        ...axisOptions(plot.left, true, palette),
        ...fixedWidth(plot.margins?.left),
      },
      ...(plot.right === undefined
        ? {}
        : {
            right: {
              type: 'linear',
              position: 'right',
              ...axisOptions(plot.right, false, palette),
              ...fixedWidth(plot.margins?.right),
            },
          }),
    },
  };
}

export function drawPlot(
  canvas: HTMLCanvasElement,
  first: Plot,
  firstPalette: Palette,
  onLayout: () => void,
): DrawnPlot {
  let shown = first;
  let palette = firstPalette;
  const furniture: Plugin<'line'> = {
    id: 'furniture',
    beforeDatasetsDraw: (chart) => drawStrip(chart as Chart, shown, palette),
    afterDatasetsDraw: (chart) => drawLines(chart as Chart, shown, palette),
    afterRender: onLayout,
  };
  const configuration: LineConfiguration = {
    type: 'line',
    data: chartData(first, palette),
    options: chartOptions(first, palette),
    plugins: [furniture],
  };
  const chart = new Chart(canvas, configuration);
  return {
    show(plot, nextPalette) {
      if (plot === shown && nextPalette === palette) return;
      // New options cost far more than new points (every scale is resolved anew), and seldom differ.
      const sameScales = nextPalette === palette && scaleWords(plot) === scaleWords(shown);
      shown = plot;
      palette = nextPalette;
      replaceData(chart.data, chartData(plot, palette));
      if (!sameScales) chart.options = chartOptions(plot, palette);
      chart.update('none');
    },
    pixelOf: (x) => chart.scales['x']?.getPixelForValue(x) ?? 0,
    valueAt: (pixel) => chart.scales['x']?.getValueForPixel(pixel) ?? 0,
    area: () => chart.chartArea,
    picture: () => onPaper(canvas, shown, palette),
    destroy: () => chart.destroy(),
  };
}

/** A copy on paper with the title and the names of the lines above, for keeping. */
function onPaper(canvas: HTMLCanvasElement, plot: Plot, palette: Palette): HTMLCanvasElement {
  const scale = canvas.width / Math.max(1, canvas.clientWidth);
  const keys = plot.series.length > 1 ? plot.series : [];
  const head = (26 + 18 * keys.length) * scale;
  const sheet = document.createElement('canvas');
  sheet.width = canvas.width;
  sheet.height = canvas.height + head;
  const ctx = sheet.getContext('2d');
  if (ctx === null) return sheet;
  ctx.fillStyle = palette.paper;
  ctx.fillRect(0, 0, sheet.width, sheet.height);
  ctx.drawImage(canvas, 0, head);
  ctx.scale(scale, scale);
  ctx.fillStyle = palette.ink;
  ctx.textBaseline = 'middle';
  ctx.font = `bold 13px ${FONT.family}`;
  ctx.fillText(plot.title, 8, 14);
  ctx.font = `12px ${FONT.family}`;
  for (const [i, series] of keys.entries()) {
    const y = 34 + 18 * i;
    ctx.strokeStyle = series.colour;
    ctx.lineWidth = palette.weight * (series.weight ?? 2);
    ctx.setLineDash([...(series.dash ?? [])]);
    line(ctx, 8, y, 36, y);
    ctx.fillText(series.name, 44, y);
  }
  return sheet;
}

/** Everything of a plot that the options are made from. */
function scaleWords(plot: Plot): string {
  return JSON.stringify([plot.x, plot.left, plot.right, plot.margins, plot.marks.length > 0]);
}

/** Puts new points and looks into the data sets there are; adds and drops sets at the end. */
function replaceData(into: LineData, from: LineData): void {
  into.datasets.length = Math.min(into.datasets.length, from.datasets.length);
  for (const [i, set] of from.datasets.entries()) {
    const held = into.datasets[i];
    if (held === undefined) into.datasets.push(set);
    else Object.assign(held, set);
  }
}

/** More points than a screen has pixels show nothing more and cost time at every change. */
const MOST_POINTS = 700;

/** The points in sight, and one beyond on either side. */
function pointsOf({ x, y, dots }: Series, axis: Axis): { x: number; y: number }[] {
  if (dots === true) return Array.from({ length: x.length }, (_, i) => ({ x: x[i]!, y: y[i]! }));
  const n = x.length;
  if (n === 0) return [];
  const from = axis.min === undefined ? 0 : stationAt(x, axis.min);
  const to = axis.max === undefined ? n - 1 : Math.min(n - 1, stationAt(x, axis.max) + 1);
  const step = Math.max(1, Math.ceil((to - from) / MOST_POINTS));
  const points: { x: number; y: number }[] = [];
  for (let i = from; i <= to; i += step) points.push({ x: x[i]!, y: y[i]! });
  if ((to - from) % step !== 0) points.push({ x: x[to]!, y: y[to]! });
  return points;
}

function axisOptions(axis: Axis, grid: boolean, palette: Palette) {
  const words = axis.tickWords;
  return {
    ...(axis.min === undefined ? {} : { min: axis.min }),
    ...(axis.max === undefined ? {} : { max: axis.max }),
    title: { display: true, text: axis.title, color: palette.ink, font: FONT },
    grid: { display: grid, color: palette.rule, drawTicks: false },
    border: { color: palette.inkSoft },
    ticks: {
      color: palette.ink,
      font: FONT,
      padding: 6,
      minRotation: 0,
      maxRotation: 0,
      // Few and short labels: thinning them out would cost more than drawing the lines.
      autoSkip: false,
      maxTicksLimit: 8,
      includeBounds: false,
      ...(axis.tickStep === undefined ? {} : { stepSize: axis.tickStep }),
      ...(words === undefined
        ? {}
        : { callback: (value: number | string) => words[Number(value) - 1] ?? '' }),
    },
  };
}

function fixedWidth(width: number | undefined) {
  if (width === undefined) return {};
  return {
    afterFit: (scale: { width: number }) => {
      scale.width = width;
    },
  };
}

function drawStrip(chart: Chart, plot: Plot, palette: Palette): void {
  const { ctx, chartArea: area } = chart;
  const x = chart.scales['x'];
  if (x === undefined || plot.strip.length === 0) return;
  const top = area.bottom - STRIP_HEIGHT;
  ctx.save();
  for (const stretch of plot.strip) {
    const from = Math.max(area.left, x.getPixelForValue(stretch.from));
    const to = Math.min(area.right, x.getPixelForValue(stretch.to));
    if (to - from < 0.5) continue;
    drawStretch(ctx, stretch, from, to, top, palette);
  }
  ctx.restore();
}

function drawStretch(
  ctx: CanvasRenderingContext2D,
  stretch: Stretch,
  from: number,
  to: number,
  top: number,
  palette: Palette,
): void {
  ctx.save();
  ctx.beginPath();
  ctx.rect(from, top, to - from, STRIP_HEIGHT);
  ctx.clip();
  ctx.fillStyle = palette.roadbed;
  ctx.fillRect(from, top, to - from, STRIP_HEIGHT);
  ctx.strokeStyle = palette.grain;
  ctx.fillStyle = palette.grain;
  ctx.lineWidth = 1;
  ctx.beginPath();
  const start = Math.floor((from - STRIP_HEIGHT) / 6) * 6;
  if (stretch.pattern === 'hatch' || stretch.pattern === 'cross')
    for (let x = start; x < to; x += 6) {
      ctx.moveTo(x, top + STRIP_HEIGHT);
      ctx.lineTo(x + STRIP_HEIGHT, top);
    }
  if (stretch.pattern === 'cross')
    for (let x = start; x < to; x += 6) {
      ctx.moveTo(x, top);
      ctx.lineTo(x + STRIP_HEIGHT, top + STRIP_HEIGHT);
    }
  ctx.stroke();
  if (stretch.pattern === 'dots')
    for (let x = start; x < to; x += 6) {
      ctx.fillRect(x, top + 3, 1.5, 1.5);
      ctx.fillRect(x + 3, top + 8, 1.5, 1.5);
      ctx.fillRect(x, top + 13, 1.5, 1.5);
    }
  ctx.font = `11px ${FONT.family}`;
  const width = ctx.measureText(stretch.word).width;
  if (width + 8 < to - from) {
    ctx.fillStyle = palette.roadbed;
    ctx.fillRect(from + 2, top + 1, width + 6, STRIP_HEIGHT - 2);
    ctx.fillStyle = palette.ink;
    ctx.textBaseline = 'middle';
    ctx.fillText(stretch.word, from + 5, top + STRIP_HEIGHT / 2 + 0.5);
  }
  ctx.restore();
  ctx.fillStyle = palette.inkSoft;
  ctx.fillRect(from, top, 1, STRIP_HEIGHT);
}

function drawLines(chart: Chart, plot: Plot, palette: Palette): void {
  const { ctx, chartArea: area } = chart;
  const x = chart.scales['x'];
  const y = chart.scales['y'];
  if (x === undefined || y === undefined) return;
  ctx.save();
  ctx.font = `11px ${FONT.family}`;
  ctx.strokeStyle = palette.ink;
  ctx.lineWidth = 1;
  for (const { at, word } of plot.levels) {
    const py = y.getPixelForValue(at);
    if (py < area.top || py > area.bottom) continue;
    ctx.setLineDash([8, 3, 2, 3]);
    line(ctx, area.left, py, area.right, py);
    boxed(ctx, word, area.left + 6, py - 9, palette);
  }
  let free = Number.NEGATIVE_INFINITY;
  for (const { at, word } of plot.marks) {
    const px = x.getPixelForValue(at);
    if (px < area.left || px > area.right) continue;
    ctx.setLineDash([2, 3]);
    line(ctx, px, area.top, px, area.bottom);
    const width = ctx.measureText(word).width;
    // Beside the axis: over it, the word would hide the top number.
    const from = Math.max(area.left + 3, Math.min(px - width / 2, chart.width - width - 3));
    if (from < free) continue;
    boxed(ctx, word, from, area.top - 8, palette);
    free = from + width + 6;
  }
  ctx.restore();
}

function line(ctx: CanvasRenderingContext2D, x0: number, y0: number, x1: number, y1: number): void {
  ctx.beginPath();
  ctx.moveTo(x0, y0);
  ctx.lineTo(x1, y1);
  ctx.stroke();
}

/** A word on a patch of paper, its middle at y. */
function boxed(ctx: CanvasRenderingContext2D, word: string, x: number, y: number, palette: Palette): void {
  ctx.setLineDash([]);
  ctx.fillStyle = palette.paper;
  ctx.fillRect(x - 2, y - 7, ctx.measureText(word).width + 4, 14);
  ctx.fillStyle = palette.ink;
  ctx.textBaseline = 'middle';
  ctx.fillText(word, x, y);
}
