/** Undo and redo: steps, gestures, branches. */
import { expect, test } from 'vitest';
import type { Command } from '../../../../ui/web/state/history.ts';
import {
  applied,
  currentDocument,
  openHistory,
  redoLabel,
  redone,
  undoLabel,
  undone,
} from '../../../../ui/web/state/history.ts';

const set = (n: number): Command => ({ label: `n ${n}`, apply: (d) => ({ ...d, n }) });
const first = openHistory({ n: 0 });

test('steps are undone and redone in order, by name', () => {
  const two = applied(applied(first, set(1)), set(2));
  expect([undoLabel(two), redoLabel(two)]).toEqual(['n 2', undefined]);
  const back = undone(two);
  expect(currentDocument(back)).toEqual({ n: 1 });
  expect([undoLabel(back), redoLabel(back)]).toEqual(['n 1', 'n 2']);
  expect(currentDocument(redone(back))).toEqual({ n: 2 });
  expect(undone(undone(undone(two)))).toEqual({ ...two, at: 0 });
});

test('commands of one gesture are one step; another gesture or none begins a new one', () => {
  let history = first;
  for (const n of [1, 2, 3]) history = applied(history, set(n), 'drag 1');
  history = applied(history, set(4), 'drag 2');
  history = applied(history, set(5));
  history = applied(history, set(6));
  expect(history.steps.map((s) => s.label)).toEqual(['', 'n 3', 'n 4', 'n 5', 'n 6']);
});

test('a new step after an undo drops what was undone', () => {
  const branched = applied(undone(applied(applied(first, set(1)), set(2))), set(3));
  expect(branched.steps.map((s) => s.label)).toEqual(['', 'n 1', 'n 3']);
  expect(redoLabel(branched)).toBeUndefined();
});
