/** Runs an effect at once when a signal it read changes; the hook of the signals package waits for the next frame. */
import { effect } from '@preact/signals';
import { useLayoutEffect, useRef } from 'preact/hooks';

export function useImmediateEffect(run: () => void): void {
  const latest = useRef(run);
  latest.current = run;
  useLayoutEffect(() => effect(() => latest.current()), []);
}
