/** Autosave: a moment after an edit, one write at a time, and never for nothing. */
import { signal } from '@preact/signals';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { applied } from '../../../../ui/web/state/history.ts';
import { keepSaved } from '../../../../ui/web/store/keep-saved.ts';
import type { Store } from '../../../../ui/web/store/kept-projects.ts';
import { counted, set } from './browser-storage.ts';

/** A store whose writes end when the test says so. */
function slowStore() {
  const written: unknown[] = [];
  const ends: (() => void)[] = [];
  const store = {
    current: signal<string | undefined>('p'),
    storing: signal({ kind: 'kept', at: 0 }),
    isKept: () => false,
    save(history: ReturnType<typeof counted>) {
      written.push(history.steps.length);
      return new Promise<void>((resolve) => void ends.push(resolve));
    },
  };
  return { store: store as unknown as Store, written, endWrite: () => ends.shift()?.() };
}

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

test('many edits in a row are one write, and those made meanwhile are the next', async () => {
  const { store, written, endWrite } = slowStore();
  const history = signal(counted(0));
  const keeping = keepSaved({ history, session: signal({}), inHand: signal(false) }, store);
  for (let n = 0; n < 20; n++) history.value = applied(history.value, set('n', `edit ${n}`));
  await vi.advanceTimersByTimeAsync(1000);
  expect(written).toEqual([21]);
  history.value = applied(history.value, set('n', 'later'));
  await vi.advanceTimersByTimeAsync(1000);
  expect(written).toEqual([21]);
  endWrite();
  await vi.advanceTimersByTimeAsync(1);
  expect(written).toEqual([21, 22]);
  endWrite();
  keeping.dispose();
  history.value = applied(history.value, set('n', 'after the end'));
  await vi.advanceTimersByTimeAsync(1000);
  expect(written).toEqual([21, 22]);
});

test('what a hand drags is stored once it lets go, or with the page', async () => {
  const { store, written, endWrite } = slowStore();
  const history = signal(counted(0));
  const inHand = signal(false);
  const keeping = keepSaved({ history, session: signal({}), inHand }, store);
  history.value = applied(history.value, set('n', 'just before'));
  inHand.value = true;
  for (let n = 0; n < 20; n++) {
    history.value = applied(history.value, set('n', `dragged ${n}`), 'drag 1');
    await vi.advanceTimersByTimeAsync(100);
  }
  expect(written).toEqual([]);
  void keeping.flush();
  expect(written).toEqual([3]);
  endWrite();
  await vi.advanceTimersByTimeAsync(1);
  inHand.value = false;
  await vi.advanceTimersByTimeAsync(1000);
  expect(written).toEqual([3, 3]);
  endWrite();
  keeping.dispose();
});

test('a flush does not wait for the pause, and ends when all is written', async () => {
  const { store, written, endWrite } = slowStore();
  const history = signal(counted(1));
  const keeping = keepSaved({ history, session: signal({}), inHand: signal(false) }, store);
  let flushed = false;
  void keeping.flush().then(() => {
    flushed = true;
  });
  expect(written).toEqual([2]);
  await vi.advanceTimersByTimeAsync(1);
  expect(flushed).toBe(false);
  endWrite();
  await vi.advanceTimersByTimeAsync(1);
  expect(flushed).toBe(true);
  keeping.dispose();
});
