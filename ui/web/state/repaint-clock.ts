/**
 * Measures from a change to its picture: `performance.measure` entries named kartwright:first and kartwright:all.
 *
 * In: when the change happened and which part is now in the signals. The measure ends after the frame that shows it:
 * a task posted from an animation frame runs once that frame has been painted.
 */

export function measureRepaint(part: 'first' | 'all', changedAt: number): void {
  requestAnimationFrame(() => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      performance.measure(`kartwright:${part}`, { start: changedAt, end: performance.now() });
    };
    port2.postMessage(undefined);
  });
}
