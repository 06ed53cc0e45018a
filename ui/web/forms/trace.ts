/**
 * The state of a traced picture: marks on its axes, points of the curve, what is selected. Pure.
 *
 * In: taps in pixels of the picture, keys, texts. Out: the next state; points with their values.
 */
import type { PointsSpec } from '../../../sim/index.ts';
import { parseQuantity } from '../../../sim/index.ts';
import { THOUSANDS } from './paste-curve.ts';
import type { Pixel, ScaleFound, TraceScale } from './trace-scale.ts';
import { inPicture, nudged, toPicture, traceScale } from './trace-scale.ts';

/** A and B on the axis of engine speed, C and D on the other. */
export type TraceMark = 'A' | 'B' | 'C' | 'D';
export type Selected = TraceMark | number | undefined;

export interface TracePoint {
  readonly id: number;
  readonly pixel: Pixel;
}

export interface Trace {
  readonly picture?: { readonly url: string; readonly size: Pixel };
  readonly trouble?: string;
  readonly marks: Readonly<
    Record<TraceMark, { readonly pixel: Pixel; readonly text: string; readonly placed: boolean }>
  >;
  readonly points: readonly TracePoint[];
  /** What the next tap sets. */
  readonly active: TraceMark | 'curve';
  /** What the arrow keys move. */
  readonly selected: Selected;
  readonly speedUnit: string;
  readonly figureUnit: string;
  readonly zoom: number;
}

export const MARKS = [
  { mark: 'A', label: 'Engine speed, low' },
  { mark: 'B', label: 'Engine speed, high' },
  { mark: 'C', label: 'Figure, low' },
  { mark: 'D', label: 'Figure, high' },
] as const satisfies readonly { readonly mark: TraceMark; readonly label: string }[];

export const FIGURE_UNITS = ['N·m', 'lbf·ft', 'kgf·m', 'kW', 'hp', 'PS'] as const;

export const NO_TRACE: Trace = {
  marks: {
    A: { pixel: { x: 0, y: 0 }, text: '', placed: false },
    B: { pixel: { x: 0, y: 0 }, text: '', placed: false },
    C: { pixel: { x: 0, y: 0 }, text: '', placed: false },
    D: { pixel: { x: 0, y: 0 }, text: '', placed: false },
  },
  points: [],
  active: 'A',
  selected: 'A',
  speedUnit: 'rpm',
  figureUnit: 'N·m',
  zoom: 1,
};

/** A picture just opened: the marks stand where axes often are, to be put right. */
export function opened(url: string, size: Pixel): Trace {
  const at = (x: number, y: number): Pixel => ({ x: Math.round(size.x * x), y: Math.round(size.y * y) });
  const mark = (pixel: Pixel) => ({ pixel, text: '', placed: false });
  return {
    ...NO_TRACE,
    picture: { url, size },
    marks: { A: mark(at(0.15, 0.9)), B: mark(at(0.9, 0.9)), C: mark(at(0.1, 0.85)), D: mark(at(0.1, 0.1)) },
  };
}

/** A tap on the picture: sets the active mark and goes on to the next, or adds a point. */
export function tapped(trace: Trace, pixel: Pixel): Trace {
  const { active } = trace;
  if (active === 'curve') {
    const id = Math.max(0, ...trace.points.map((point) => point.id)) + 1;
    return { ...trace, points: [...trace.points, { id, pixel }], selected: id };
  }
  const set = moved(trace, active, pixel);
  const next = MARKS.find(({ mark }) => !set.marks[mark].placed)?.mark ?? 'curve';
  return { ...set, active: next, selected: active };
}

/** Moves a mark or a point to a pixel. */
export function moved(trace: Trace, what: Selected, pixel: Pixel): Trace {
  const to = trace.picture === undefined ? pixel : inPicture(pixel, trace.picture.size);
  if (what === undefined) return trace;
  if (typeof what === 'number')
    return {
      ...trace,
      points: trace.points.map((point) => (point.id === what ? { ...point, pixel: to } : point)),
    };
  return { ...trace, marks: { ...trace.marks, [what]: { ...trace.marks[what], pixel: to, placed: true } } };
}

/** What a key does to the selected mark or point; undefined where it means nothing. */
export function keyed(trace: Trace, key: string, far: boolean): Trace | undefined {
  const { selected, picture } = trace;
  if (selected === undefined || picture === undefined) return undefined;
  const from = pixelOf(trace, selected);
  if (from === undefined) return undefined;
  if (typeof selected === 'number' && (key === 'Delete' || key === 'Backspace'))
    return { ...trace, points: trace.points.filter((point) => point.id !== selected), selected: undefined };
  if (typeof selected === 'number' && key === 'Enter') return tapped({ ...trace, active: 'curve' }, from);
  const to = nudged(from, key, far, picture.size);
  return to === undefined ? undefined : moved(trace, selected, to);
}

export function pixelOf(trace: Trace, what: Selected): Pixel | undefined {
  if (what === undefined) return undefined;
  return typeof what === 'number'
    ? trace.points.find((point) => point.id === what)?.pixel
    : trace.marks[what].pixel;
}

export function scaleOf(trace: Trace): ScaleFound {
  const { A, B, C, D } = trace.marks;
  const missing = MARKS.filter(
    ({ mark }) => !trace.marks[mark].placed || plainNumber(trace.marks[mark].text) === undefined,
  ).map(({ mark }) => mark);
  if (missing.length > 0)
    return { ok: false, why: `Still to be placed, or without a value: ${missing.join(', ')}.` };
  const factor = trace.speedUnit === THOUSANDS ? 1000 : 1;
  const value = (text: string): number => plainNumber(text) ?? 0;
  return traceScale(
    { from: A.pixel, to: B.pixel, fromValue: value(A.text) * factor, toValue: value(B.text) * factor },
    { from: C.pixel, to: D.pixel, fromValue: value(C.text), toValue: value(D.text) },
  );
}

/** The points as the file holds them, in order of engine speed, rpm. */
export function tracedPoints(trace: Trace, scale: TraceScale): PointsSpec {
  const rows = trace.points
    .map(({ pixel }): [number, number] => {
      const [speed, figure] = scale.valueAt(pixel);
      return [toPicture(speed, scale.perPixel[0]), toPicture(figure, scale.perPixel[1])];
    })
    .sort((a, b) => a[0] - b[0]);
  return { columns: ['rpm', trace.figureUnit], rows };
}

/** Every point with its values in the units of the sheet, in order of engine speed. */
export function tracedValues(
  trace: Trace,
): readonly { readonly id: number; readonly speed: number; readonly figure: number }[] {
  const found = scaleOf(trace);
  if (!found.ok) return [];
  const { scale } = found;
  const factor = trace.speedUnit === THOUSANDS ? 1000 : 1;
  return trace.points
    .map(({ id, pixel }) => {
      const [speed, figure] = scale.valueAt(pixel);
      return {
        id,
        speed: toPicture(speed / factor, scale.perPixel[0] / factor),
        figure: toPicture(figure, scale.perPixel[1]),
      };
    })
    .sort((a, b) => a.speed - b.speed);
}

/** The pixel of typed values; undefined while they cannot be read. */
export function pointAt(trace: Trace, speed: string, figure: string): Pixel | undefined {
  const found = scaleOf(trace);
  const values = [plainNumber(speed), plainNumber(figure)];
  if (!found.ok || values[0] === undefined || values[1] === undefined) return undefined;
  const factor = trace.speedUnit === THOUSANDS ? 1000 : 1;
  return found.scale.pixelAt([values[0] * factor, values[1]]);
}

/** A number without a unit, decimal comma or point; undefined for anything else. */
export function plainNumber(text: string): number | undefined {
  // A sheet's axis starts at nought and ends, at the most, at the largest power a file may hold.
  const read = parseQuantity(text, 'ratio', { min: -1e7, max: 1e7 });
  return read.ok && read.unit === '' ? read.value : undefined;
}
