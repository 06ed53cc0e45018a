/** The window onto the ground: metres to pixels and back, zoom about a place, fit. Pure; screen coordinates end here. */
import type { Place } from './point-edits.ts';

export interface Viewport {
  /** Ground at the middle of the board, m. */
  readonly x: number;
  readonly y: number;
  /** px per metre */
  readonly scale: number;
}

export interface Board {
  readonly width: number;
  readonly height: number;
}

/** px per metre. At the least a course of 5 km is as wide as a phone, at the most a point moves by a centimetre in 4 px. */
export const LEAST_SCALE = 0.05;
export const MOST_SCALE = 400;
/** px left free round a course that is fitted in. */
const ROOM = 48;

export function toScreen({ x, y, scale }: Viewport, board: Board, place: Place): Place {
  return { x: board.width / 2 + scale * (place.x - x), y: board.height / 2 - scale * (place.y - y) };
}

export function toGround({ x, y, scale }: Viewport, board: Board, pixel: Place): Place {
  return { x: x + (pixel.x - board.width / 2) / scale, y: y - (pixel.y - board.height / 2) / scale };
}

/** Closer (factor above 1) or farther round the middle; a window fitted to more than the bounds hold goes on from there. */
export function zoomed(view: Viewport, factor: number): Viewport {
  const least = Math.min(LEAST_SCALE, view.scale);
  const most = Math.max(MOST_SCALE, view.scale);
  return { ...view, scale: Math.min(most, Math.max(least, view.scale * factor)) };
}

/** The same with the ground under a pixel staying there. */
export function zoomedAt(view: Viewport, board: Board, pixel: Place, factor: number): Viewport {
  const { scale } = zoomed(view, factor);
  const under = toGround(view, board, pixel);
  return {
    x: under.x - (pixel.x - board.width / 2) / scale,
    y: under.y + (pixel.y - board.height / 2) / scale,
    scale,
  };
}

/** Moved by pixels, the ground going with the hand. */
export function panned(view: Viewport, dx: number, dy: number): Viewport {
  return { ...view, x: view.x - dx / view.scale, y: view.y + dy / view.scale };
}

/** The window that holds all places, however far apart; `least` metres across where they are few or close together. */
export function fitted(places: readonly Place[], board: Board, least = 40): Viewport {
  const xs = places.map((p) => p.x);
  const ys = places.map((p) => p.y);
  const [x0, x1] = places.length === 0 ? [0, 0] : [Math.min(...xs), Math.max(...xs)];
  const [y0, y1] = places.length === 0 ? [0, 0] : [Math.min(...ys), Math.max(...ys)];
  const scale = Math.min(
    (board.width - 2 * ROOM) / Math.max(x1 - x0, least),
    (board.height - 2 * ROOM) / Math.max(y1 - y0, least),
  );
  return {
    x: (x0 + x1) / 2,
    y: (y0 + y1) / 2,
    scale: Math.min(MOST_SCALE, scale),
  };
}

/** A round length for the scale bar, about `pixels` long. */
export function scaleBar(
  view: Viewport,
  pixels: number,
): { readonly metres: number; readonly pixels: number } {
  const asked = pixels / view.scale;
  const power = 10 ** Math.floor(Math.log10(asked));
  const metres = [5, 2, 1].map((m) => m * power).find((m) => m <= asked) ?? power;
  return { metres, pixels: metres * view.scale };
}
