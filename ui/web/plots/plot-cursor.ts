/** A cursor that plots and map share: where it is, what it says, how it is moved. */
import type { ReadonlySignal } from '@preact/signals';

export interface PlotCursor {
  readonly at: ReadonlySignal<number | undefined>;
  readonly min: number;
  readonly max: number;
  /** One press of an arrow key. */
  readonly step: number;
  readonly say: (at: number) => string;
  readonly move: (at: number) => void;
}

/** Where a key takes the cursor; undefined for other keys. */
export function cursorAfterKey(cursor: PlotCursor, key: string, shift: boolean): number | undefined {
  const at = cursor.at.peek() ?? cursor.min;
  const step = cursor.step * (shift ? 10 : 1);
  const to = {
    ArrowRight: at + step,
    ArrowUp: at + step,
    ArrowLeft: at - step,
    ArrowDown: at - step,
    PageUp: at + 10 * cursor.step,
    PageDown: at - 10 * cursor.step,
    Home: cursor.min,
    End: cursor.max,
  }[key];
  return to === undefined ? undefined : Math.min(cursor.max, Math.max(cursor.min, to));
}

/** True for a mouse that moved and a finger that presses; not for the page moving below a mouse at rest. */
export function isPointing(event: PointerEvent): boolean {
  if (event.pointerType !== 'mouse') return event.buttons > 0;
  return event.movementX !== 0 || event.movementY !== 0;
}
