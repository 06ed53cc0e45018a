/** Fits a track drawn in metres (x east, y north) into a picture in pixels (y down). Pure. */

export interface Fitted {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** px per metre */
  readonly scale: number;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

/** Height of a picture of a given width that suits the track: neither a sliver nor taller than a screen. */
export function fittingHeight(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  width: number,
  room: number,
  most: number,
): number {
  const [wide, tall] = [extent(x), extent(y)];
  const scale = (width - 2 * room) / Math.max(wide.to - wide.from, 1e-9);
  return Math.min(most, Math.max(220, scale * (tall.to - tall.from) + 2 * room));
}

export function fitTrack(x: ArrayLike<number>, y: ArrayLike<number>, size: Size, room: number): Fitted {
  const [wide, tall] = [extent(x), extent(y)];
  const scale = Math.min(
    (size.width - 2 * room) / Math.max(wide.to - wide.from, 1e-9),
    (size.height - 2 * room) / Math.max(tall.to - tall.from, 1e-9),
  );
  const midX = (wide.from + wide.to) / 2;
  const midY = (tall.from + tall.to) / 2;
  return {
    x: Float64Array.from(x, (v) => size.width / 2 + scale * (v - midX)),
    y: Float64Array.from(y, (v) => size.height / 2 - scale * (v - midY)),
    scale,
  };
}

/** Other places of the same ground, in the same picture as a course already fitted. */
export function fittedAlike(
  course: { readonly x: ArrayLike<number>; readonly y: ArrayLike<number>; readonly fitted: Fitted },
  x: ArrayLike<number>,
  y: ArrayLike<number>,
): Fitted {
  const { fitted } = course;
  return {
    x: Float64Array.from(x, (v) => fitted.x[0]! + fitted.scale * (v - course.x[0]!)),
    y: Float64Array.from(y, (v) => fitted.y[0]! - fitted.scale * (v - course.y[0]!)),
    scale: fitted.scale,
  };
}

/** Index of the drawn point nearest to a place in the picture. */
export function nearestPoint(fitted: Fitted, x: number, y: number): number {
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < fitted.x.length; i++) {
    const d = (fitted.x[i]! - x) ** 2 + (fitted.y[i]! - y) ** 2;
    if (d < least) [least, best] = [d, i];
  }
  return best;
}

function extent(values: ArrayLike<number>): { from: number; to: number } {
  let from = Number.POSITIVE_INFINITY;
  let to = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < values.length; i++) {
    from = Math.min(from, values[i]!);
    to = Math.max(to, values[i]!);
  }
  return from <= to ? { from, to } : { from: 0, to: 0 };
}
