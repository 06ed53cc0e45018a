/**
 * Whether a table is wider than the screen it stands on: then its rows are shown one below the other.
 *
 * In: the frame of a table, and the table. Out: true on narrow screens where the columns do not fit. A figure cut off at the
 * edge of a telephone reads as another figure.
 */
import type { RefObject } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { PlotTable } from './plot.ts';

/** Wider screens scroll a table sideways with its columns in place. */
const NARROW = '(width < 600px)';

export function useTooWide(
  frame: RefObject<HTMLElement | null>,
  table: PlotTable,
  isAsked: boolean,
): boolean {
  const [isTooWide, setTooWide] = useState(false);
  const columns = table.heads.join('|');
  // Other columns are measured anew, before they are painted. Other figures in the same columns are not: while a study goes
  // on they change many times, and what was opened below the columns would close.
  const [measured, setMeasured] = useState(columns);
  if (measured !== columns) {
    setMeasured(columns);
    setTooWide(false);
  }
  /** px the columns asked for when they were last seen */
  const needs = useRef(0);
  useLayoutEffect(() => {
    const element = frame.current;
    if (element === null || !isAsked) return undefined;
    let isStacked = isTooWide;
    const look = (): void => {
      if (!isStacked) needs.current = element.scrollWidth;
      isStacked = matchMedia(NARROW).matches && needs.current > element.clientWidth + 1;
      setTooWide(isStacked);
    };
    look();
    const watcher = new ResizeObserver(look);
    watcher.observe(element);
    return () => watcher.disconnect();
  }, [isTooWide, table, isAsked]);
  return isTooWide;
}
