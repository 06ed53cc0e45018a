/**
 * The only file that knows the chart library: a plot in, a drawn canvas out.
 *
 * `chartOptions` and `chartData` are pure; `drawPlot` keeps one chart per canvas and redraws it in place, without
 * animation and without parsing. Strip, levels and marks are drawn by a plugin of our own.
 */
import type { ChartConfiguration, ChartData, ChartOptions, Plugin } from 'chart.js';
import { Chart, LinearScale, LineController, LineElement, PointElement } from 'chart.js';
import { INK, INK_SOFT, PAPER, ROADBED, RULE } from '../look/palette.ts';
import type { Axis, Plot, Series, Stretch } from './plot.ts';

Chart.register(LineController, LineElement, PointElement, LinearScale);

export interface DrawnPlot {
  show(plot: Plot): void;
  /** Where values of the x axis lie, px from the left edge of the canvas. */
  pixelOf(x: number): number;
  valueAt(pixel: number): number;
  destroy(): void;
}

type LineData = ChartData<'line', { x: number; y: number }[]>;
type LineConfiguration = ChartConfiguration<'line', { x: number; y: number }[]>;

const FONT = { family: 'system-ui, sans-serif', size: 12 };
/** px */
const STRIP_HEIGHT = 16;

export function chartData(plot: Plot): LineData {
  return {
    datasets: plot.series.map((series) => ({
      label: series.name,
      data: pointsOf(series),
      yAxisID: series.side === 'right' ? 'right' : 'y',
      borderColor: series.colour,
      borderWidth: series.weight ?? 2,
      borderDash: [...(series.dash ?? [])],
      stepped: series.stepped === true,
    })),
  };
}

export function chartOptions(plot: Plot): ChartOptions<'line'> {
  return {
    animation: false,
    parsing: false,
    normalized: true,
    responsive: true,
    maintainAspectRatio: false,
    events: [],
    font: FONT,
    color: INK,
    layout: {
      padding: {
        top: plot.marks.length > 0 ? 16 : 6,
        right: plot.right === undefined ? (plot.margins?.right ?? 6) : 0,
      },
    },
    elements: { point: { radius: 0 }, line: { tension: 0 } },
    scales: {
      x: { type: 'linear', ...axisOptions(plot.x, true) },
      y: {
        type: 'linear',
        position: 'left',
        ...axisOptions(plot.left, true),
        ...fixedWidth(plot.margins?.left),
      },
      ...(plot.right === undefined
        ? {}
        : {
            right: {
              type: 'linear',
              position: 'right',
              ...axisOptions(plot.right, false),
              ...fixedWidth(plot.margins?.right),
            },
          }),
    },
  };
}

export function drawPlot(canvas: HTMLCanvasElement, first: Plot, onLayout: () => void): DrawnPlot {
  let shown = first;
  const furniture: Plugin<'line'> = {
    id: 'furniture',
    beforeDatasetsDraw: (chart) => drawStrip(chart as Chart, shown),
    afterDatasetsDraw: (chart) => drawLines(chart as Chart, shown),
    afterRender: onLayout,
  };
  const configuration: LineConfiguration = {
    type: 'line',
    data: chartData(first),
    options: chartOptions(first),
    plugins: [furniture],
  };
  const chart = new Chart(canvas, configuration);
  return {
    show(plot) {
      if (plot === shown) return;
      // New options cost far more than new points (every scale is resolved anew), and seldom differ.
      const sameScales = scaleWords(plot) === scaleWords(shown);
      shown = plot;
      replaceData(chart.data, chartData(plot));
      if (!sameScales) chart.options = chartOptions(plot);
      chart.update('none');
    },
    pixelOf: (x) => chart.scales['x']?.getPixelForValue(x) ?? 0,
    valueAt: (pixel) => chart.scales['x']?.getValueForPixel(pixel) ?? 0,
    destroy: () => chart.destroy(),
  };
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

function pointsOf({ x, y }: Series): { x: number; y: number }[] {
  const points = new Array<{ x: number; y: number }>(x.length);
  for (let i = 0; i < x.length; i++) points[i] = { x: x[i]!, y: y[i]! };
  return points;
}

function axisOptions(axis: Axis, grid: boolean) {
  const words = axis.tickWords;
  return {
    ...(axis.min === undefined ? {} : { min: axis.min }),
    ...(axis.max === undefined ? {} : { max: axis.max }),
    title: { display: true, text: axis.title, color: INK, font: FONT },
    grid: { display: grid, color: RULE, drawTicks: false },
    border: { color: INK_SOFT },
    ticks: {
      color: INK,
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

function drawStrip(chart: Chart, plot: Plot): void {
  const { ctx, chartArea: area } = chart;
  const x = chart.scales['x'];
  if (x === undefined || plot.strip.length === 0) return;
  const top = area.bottom - STRIP_HEIGHT;
  ctx.save();
  for (const stretch of plot.strip) {
    const from = Math.max(area.left, x.getPixelForValue(stretch.from));
    const to = Math.min(area.right, x.getPixelForValue(stretch.to));
    if (to - from < 0.5) continue;
    drawStretch(ctx, stretch, from, to, top);
  }
  ctx.restore();
}

function drawStretch(
  ctx: CanvasRenderingContext2D,
  stretch: Stretch,
  from: number,
  to: number,
  top: number,
): void {
  ctx.save();
  ctx.beginPath();
  ctx.rect(from, top, to - from, STRIP_HEIGHT);
  ctx.clip();
  ctx.fillStyle = ROADBED;
  ctx.fillRect(from, top, to - from, STRIP_HEIGHT);
  ctx.strokeStyle = '#b9ae98';
  ctx.fillStyle = '#b9ae98';
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
    ctx.fillStyle = ROADBED;
    ctx.fillRect(from + 2, top + 1, width + 6, STRIP_HEIGHT - 2);
    ctx.fillStyle = INK;
    ctx.textBaseline = 'middle';
    ctx.fillText(stretch.word, from + 5, top + STRIP_HEIGHT / 2 + 0.5);
  }
  ctx.restore();
  ctx.fillStyle = INK_SOFT;
  ctx.fillRect(from, top, 1, STRIP_HEIGHT);
}

function drawLines(chart: Chart, plot: Plot): void {
  const { ctx, chartArea: area } = chart;
  const x = chart.scales['x'];
  const y = chart.scales['y'];
  if (x === undefined || y === undefined) return;
  ctx.save();
  ctx.font = `11px ${FONT.family}`;
  ctx.strokeStyle = INK;
  ctx.lineWidth = 1;
  for (const { at, word } of plot.levels) {
    const py = y.getPixelForValue(at);
    if (py < area.top || py > area.bottom) continue;
    ctx.setLineDash([8, 3, 2, 3]);
    line(ctx, area.left, py, area.right, py);
    boxed(ctx, word, area.left + 6, py - 9);
  }
  let free = Number.NEGATIVE_INFINITY;
  for (const { at, word } of plot.marks) {
    const px = x.getPixelForValue(at);
    if (px < area.left || px > area.right) continue;
    ctx.setLineDash([2, 3]);
    line(ctx, px, area.top, px, area.bottom);
    const width = ctx.measureText(word).width;
    if (px - width / 2 < free) continue;
    boxed(ctx, word, Math.min(px - width / 2, chart.width - width - 3), area.top - 8);
    free = px + width / 2 + 6;
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
function boxed(ctx: CanvasRenderingContext2D, word: string, x: number, y: number): void {
  ctx.setLineDash([]);
  ctx.fillStyle = PAPER;
  ctx.fillRect(x - 2, y - 7, ctx.measureText(word).width + 4, 14);
  ctx.fillStyle = INK;
  ctx.textBaseline = 'middle';
  ctx.fillText(word, x, y);
}
