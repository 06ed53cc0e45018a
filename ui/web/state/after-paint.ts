/**
 * What may wait until the frame in hand is on the screen: first the sentence, then the drawings.
 *
 * In: work, or a signal. Out: the work done in a task after the next frame, in the order asked for; a signal that
 * follows another one frame behind.
 */
import type { ReadonlySignal } from '@preact/signals';
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';

/** A task posted from an animation frame runs once that frame has been painted. A page not in sight has no frames. */
export function afterPaint(work: () => void): void {
  if (document.hidden) {
    setTimeout(work);
    return;
  }
  requestAnimationFrame(() => {
    channel ??= openChannel();
    posted.push(work);
    channel.postMessage(undefined);
  });
}

/** One for all: to open one a frame costs half as much as to work out what the frame shows. */
let channel: MessagePort | undefined;
const posted: (() => void)[] = [];

function openChannel(): MessagePort {
  const { port1, port2 } = new MessageChannel();
  port1.onmessage = () => posted.shift()?.();
  return port2;
}

/**
 * The first value at once; each later one a frame after it came. What comes before the one in hand is shown is skipped, and
 * so is what comes while `waits` holds.
 */
export function useOneFrameLater<T>(
  source: ReadonlySignal<T>,
  waits?: ReadonlySignal<boolean>,
): ReadonlySignal<T> {
  const late = useSignal(source.peek());
  useEffect(() => {
    let isWaiting = false;
    let isOver = false;
    const follow = (value: T): void => {
      if (isWaiting || isOver || waits?.peek() === true || value === late.peek()) return;
      isWaiting = true;
      afterPaint(() => {
        isWaiting = false;
        if (isOver) return;
        // Not the newest: that may have come since, and its sentence is not on the screen yet.
        late.value = value;
        follow(source.peek());
      });
    };
    const stop = source.subscribe(follow);
    const stopWaiting = waits?.subscribe(() => follow(source.peek()));
    return () => {
      isOver = true;
      stop();
      stopWaiting?.();
    };
  }, [source, waits]);
  return late;
}
