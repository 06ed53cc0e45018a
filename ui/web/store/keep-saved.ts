/**
 * Autosave: whatever changes in the workbench is stored a moment later, and at once when the page goes out of sight.
 *
 * In: the workbench's signals and a store. Out: a way to have everything stored now. One write at a time; a newer
 * state waits for the one in hand.
 */
import type { ReadonlySignal } from '@preact/signals';
import { effect } from '@preact/signals';
import type { History } from '../state/history.ts';
import type { Store } from './kept-projects.ts';
import type { Session } from './records.ts';

export interface Kept {
  readonly history: ReadonlySignal<History>;
  readonly session: ReadonlySignal<Session>;
  /** A hand is dragging something: what it does is stored once it lets go, and with the page. */
  readonly inHand: ReadonlySignal<boolean>;
}

export interface Keeping {
  /** Resolves when what is shown now has been stored, or could not be. */
  flush(): Promise<void>;
  dispose(): void;
}

/** ms. Long enough that presses in a row are one write or two, short enough to be over before a hand reaches another key. */
const PAUSE = 250;

export function keepSaved(workbench: Kept, store: Store): Keeping {
  let timer: ReturnType<typeof setTimeout> | undefined;
  let running: Promise<void> | undefined;
  let waiting = false;

  const run = (): Promise<void> => {
    clearTimeout(timer);
    timer = undefined;
    if (running !== undefined) {
      waiting = true;
      return running;
    }
    running = (async () => {
      do {
        waiting = false;
        await store.save(workbench.history.peek(), workbench.session.peek());
      } while (waiting);
      running = undefined;
    })();
    return running;
  };

  const stopWatching = effect(() => {
    // Read for the waking only. The current project changes with a branch, which has nothing else to wake for.
    for (const watched of [workbench.history, workbench.session, store.current]) watched.value;
    if (workbench.inHand.value) {
      clearTimeout(timer);
      timer = undefined;
      return;
    }
    timer ??= setTimeout(() => void run(), PAUSE);
  });

  /** What would be lost with the page: asked about before it goes. */
  const isAtRisk = (): boolean => {
    const { kind } = store.storing.peek();
    const unkept = kind === 'not-kept' || kind === 'failed' || kind === 'conflict';
    return unkept && !store.isKept(workbench.history.peek());
  };
  const onHidden = (): void => {
    if (document.visibilityState === 'hidden') void run();
  };
  const onPageHide = (): void => {
    store.leave(workbench.history.peek(), workbench.session.peek());
    void run();
  };
  const onPageShow = (event: PageTransitionEvent): void => {
    if (event.persisted) void run();
  };
  const onBeforeUnload = (event: BeforeUnloadEvent): void => {
    if (isAtRisk()) event.preventDefault();
  };
  const hasPage = typeof document !== 'undefined';
  if (hasPage) {
    document.addEventListener('visibilitychange', onHidden);
    addEventListener('pagehide', onPageHide);
    addEventListener('pageshow', onPageShow);
    addEventListener('beforeunload', onBeforeUnload);
  }

  return {
    flush: run,
    dispose() {
      clearTimeout(timer);
      stopWatching();
      if (!hasPage) return;
      document.removeEventListener('visibilitychange', onHidden);
      removeEventListener('pagehide', onPageHide);
      removeEventListener('pageshow', onPageShow);
      removeEventListener('beforeunload', onBeforeUnload);
    },
  };
}
