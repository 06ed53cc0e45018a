/**
 * Whether a table is wider than the screen it stands on: then its rows are shown one below the other.
 *
 * In: the frame of a table, and what it holds. Out: true on narrow screens where the columns do not fit. A figure cut off at
 * the edge of a telephone reads as another figure.
 */
import type { RefObject } from 'preact';
import { useLayoutEffect, useState } from 'preact/hooks';

/** Wider screens scroll a table sideways with its columns in place. */
const NARROW = '(width < 600px)';

export function useTooWide(frame: RefObject<HTMLElement | null>, holds: unknown, asked: boolean): boolean {
  const [isTooWide, setTooWide] = useState(false);
  // What was measured last belongs to other contents: columns again, and measured before they are painted.
  const [measured, setMeasured] = useState(holds);
  if (measured !== holds) {
    setMeasured(holds);
    setTooWide(false);
  }
  useLayoutEffect(() => {
    const element = frame.current;
    if (element === null || !asked) return undefined;
    let needs = 0;
    let isStacked = false;
    const look = (): void => {
      if (!isStacked) needs = element.scrollWidth;
      isStacked = matchMedia(NARROW).matches && needs > element.clientWidth + 1;
      setTooWide(isStacked);
    };
    look();
    const watcher = new ResizeObserver(look);
    watcher.observe(element);
    return () => watcher.disconnect();
  }, [holds, asked]);
  return isTooWide;
}
