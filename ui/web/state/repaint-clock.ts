/**
 * Measures from a change to its picture: `performance.measure` entries named kartwright:first and kartwright:all.
 *
 * In: when the change happened and which part is now in the signals. The measure ends after the frame that shows it:
 * for the first answer the next; for all of them the one after, which has the drawings.
 */
import { afterPaint } from './after-paint.ts';

export function measureRepaint(part: 'first' | 'all', changedAt: number): void {
  const end = (): void => {
    performance.measure(`kartwright:${part}`, { start: changedAt, end: performance.now() });
  };
  afterPaint(part === 'first' ? end : () => afterPaint(end));
}
