/**
 * A curve traced over a picture of a sheet: pixels to values and back. Pure.
 *
 * In: two marks on each axis with the values printed there, and points in pixels of the picture. Out: engine speed and
 * figure of every point. A picture taken askew is allowed for: an axis is the line through its two marks, and lines of
 * equal value run along the other axis.
 */

export interface Pixel {
  readonly x: number;
  readonly y: number;
}

export interface AxisMarks {
  readonly from: Pixel;
  readonly to: Pixel;
  /** Values printed at the two marks. */
  readonly fromValue: number;
  readonly toValue: number;
}

export interface TraceScale {
  /** Values at a pixel: [along the first axis, along the second]. */
  valueAt(pixel: Pixel): readonly [number, number];
  pixelAt(values: readonly [number, number]): Pixel;
  /** What one pixel is worth along each axis. */
  readonly perPixel: readonly [number, number];
}

export type ScaleFound =
  | { readonly ok: true; readonly scale: TraceScale }
  | { readonly ok: false; readonly why: string };

/** px between two marks of an axis below which a finger's error is a tenth of the axis (two px of twenty). */
const SHORTEST = 20;
/** Sine of the least angle between the axes: a sheet seen from so far aside cannot be read anyway. */
const FLATTEST = 0.3;

export function traceScale(across: AxisMarks, up: AxisMarks): ScaleFound {
  const u = { x: across.to.x - across.from.x, y: across.to.y - across.from.y };
  const v = { x: up.to.x - up.from.x, y: up.to.y - up.from.y };
  const [lengthU, lengthV] = [Math.hypot(u.x, u.y), Math.hypot(v.x, v.y)];
  if (across.fromValue === across.toValue)
    return { ok: false, why: 'Both marks of the engine speed have the same value: give each its own.' };
  if (up.fromValue === up.toValue)
    return { ok: false, why: 'Both marks of the figure have the same value: give each its own.' };
  if (lengthU < SHORTEST || lengthV < SHORTEST)
    return { ok: false, why: 'The two marks of an axis lie too close together: set them far apart.' };
  const cross = u.x * v.y - u.y * v.x;
  if (Math.abs(cross) / (lengthU * lengthV) < FLATTEST)
    return { ok: false, why: 'The marks of both axes lie along one line: check where they stand.' };
  /** Shares s and t of p = origin + s u + t v. */
  const shares = (p: Pixel, origin: Pixel): readonly [number, number] => {
    const d = { x: p.x - origin.x, y: p.y - origin.y };
    return [(d.x * v.y - d.y * v.x) / cross, (u.x * d.y - u.y * d.x) / cross];
  };
  const rangeU = across.toValue - across.fromValue;
  const rangeV = up.toValue - up.fromValue;
  return {
    ok: true,
    scale: {
      valueAt: (p) => [
        across.fromValue + shares(p, across.from)[0] * rangeU,
        up.fromValue + shares(p, up.from)[1] * rangeV,
      ],
      pixelAt: ([first, second]) => {
        // The crossing of the line of equal first value with the line of equal second value.
        const s = (first - across.fromValue) / rangeU;
        const along = { x: across.from.x + s * u.x, y: across.from.y + s * u.y };
        const t = (second - up.fromValue) / rangeV - shares(along, up.from)[1];
        return { x: along.x + t * v.x, y: along.y + t * v.y };
      },
      perPixel: [Math.abs(rangeU) / lengthU, Math.abs(rangeV) / lengthV],
    },
  };
}

/** A value as exact as the picture: rounded to the decimal step below half a pixel's worth. */
export function toPicture(value: number, perPixel: number): number {
  const step = 10 ** Math.floor(Math.log10(perPixel / 2));
  return Number((Math.round(value / step) * step).toPrecision(10));
}

/** Where an arrow key moves a pixel; undefined for other keys. Kept inside the picture. */
export function nudged(pixel: Pixel, key: string, far: boolean, size: Pixel): Pixel | undefined {
  const by = far ? 10 : 1;
  const moves: Readonly<Record<string, Pixel>> = {
    ArrowLeft: { x: -by, y: 0 },
    ArrowRight: { x: by, y: 0 },
    ArrowUp: { x: 0, y: -by },
    ArrowDown: { x: 0, y: by },
  };
  const move = moves[key];
  if (move === undefined) return undefined;
  return inPicture({ x: pixel.x + move.x, y: pixel.y + move.y }, size);
}

export function inPicture({ x, y }: Pixel, size: Pixel): Pixel {
  return { x: Math.min(size.x, Math.max(0, x)), y: Math.min(size.y, Math.max(0, y)) };
}
