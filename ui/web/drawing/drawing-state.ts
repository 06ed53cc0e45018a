/**
 * What the drawing board shows and what is picked on it. Belongs to the session: nothing of it is in the project.
 *
 * Out: signals. The builder's own picture stays in this page: it is neither stored nor sent.
 */
import type { Signal } from '@preact/signals';
import { signal } from '@preact/signals';
import type { Mode } from './gesture.ts';
import type { Place } from './point-edits.ts';
import type { Viewport } from './viewport.ts';
import { zoomed } from './viewport.ts';

export interface Picture {
  /** An object URL. */
  readonly address: string;
  readonly name: string;
  /** px of the picture itself */
  readonly width: number;
  readonly height: number;
  /** Ground under its middle, m. */
  readonly x: number;
  readonly y: number;
  readonly metresPerPixel: number;
  /** 0 to 1 */
  readonly strength: number;
}

export interface DrawingState {
  readonly mode: Signal<Mode>;
  readonly selected: Signal<number | undefined>;
  /** The other end of a range of points, for straightening and for laying a surface. */
  readonly rangeFrom: Signal<number | undefined>;
  /** Undefined until the board has been fitted to the course. */
  readonly view: Signal<Viewport | undefined>;
  readonly picture: Signal<Picture | undefined>;
  /** Two places a known distance apart. */
  readonly spots: Signal<readonly Place[]>;
  /** True from "Draw a new course" to its second place: the course shown is not the chosen track. */
  readonly fresh: Signal<boolean>;
  /** The first place of a new course that has no second yet. */
  readonly draft: Signal<Place | undefined>;
  /** The track the board is fitted to. */
  readonly of: Signal<string>;
  /** A stroke was just drawn that the course could not take: it is closed. */
  readonly strokeDropped: Signal<boolean>;
  /** Gestures so far: no two of them, on whatever track, share a number. */
  readonly gestures: Signal<number>;
}

export function createDrawingState(): DrawingState {
  return {
    mode: signal<Mode>('move'),
    selected: signal<number | undefined>(undefined),
    rangeFrom: signal<number | undefined>(undefined),
    view: signal<Viewport | undefined>(undefined),
    picture: signal<Picture | undefined>(undefined),
    spots: signal<readonly Place[]>([]),
    fresh: signal(false),
    draft: signal<Place | undefined>(undefined),
    of: signal(''),
    strokeDropped: signal(false),
    gestures: signal(0),
  };
}

/** Kept while other views are looked at. */
export const drawing = createDrawingState();

/** Closer by a factor above 1, farther by one below, round the middle of the board. */
export function zoomBy(state: DrawingState, factor: number): void {
  const view = state.view.peek();
  if (view !== undefined) state.view.value = zoomed(view, factor);
}

/** The new course is not begun after all: the board shows the track again. */
export function backToTrack({ fresh, draft, mode }: DrawingState): void {
  fresh.value = false;
  draft.value = undefined;
  mode.value = 'move';
}

/** A point picked, or the start of a range, that the course does not have any more is not picked. */
export function unpickBeyond({ selected, rangeFrom }: DrawingState, points: number): void {
  for (const picked of [selected, rangeFrom]) if ((picked.peek() ?? 0) >= points) picked.value = undefined;
}
