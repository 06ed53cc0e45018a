/** What is picked and shown on the drawing board, when the course under it changes. */
import { expect, test } from 'vitest';
import {
  backToTrack,
  createDrawingState,
  unpickBeyond,
  zoomBy,
} from '../../../../ui/web/drawing/drawing-state.ts';

test('picked points and ranges that the course does not have any more are not picked; the others stay', () => {
  const state = createDrawingState();
  const picked = () => [state.selected.value, state.rangeFrom.value];
  unpickBeyond(state, 8);
  expect(picked()).toEqual([undefined, undefined]);
  state.selected.value = 8;
  state.rangeFrom.value = 7;
  unpickBeyond(state, 9);
  expect(picked()).toEqual([8, 7]);
  unpickBeyond(state, 8);
  expect(picked()).toEqual([undefined, 7]);
  unpickBeyond(state, 0);
  expect(picked()).toEqual([undefined, undefined]);
  // The first point too, of a course that is not there.
  state.selected.value = 0;
  unpickBeyond(state, 0);
  expect(picked()).toEqual([undefined, undefined]);
});

test('closer and farther by buttons and keys have an end', () => {
  const state = createDrawingState();
  zoomBy(state, 2);
  expect(state.view.value).toBeUndefined();
  state.view.value = { x: 3, y: 4, scale: 5 };
  for (let i = 0; i < 50; i++) zoomBy(state, 1.4);
  expect(state.view.value).toEqual({ x: 3, y: 4, scale: 400 });
  for (let i = 0; i < 50; i++) zoomBy(state, 1 / 1.4);
  expect(state.view.value).toEqual({ x: 3, y: 4, scale: 1 / 20 });
});

test('a new course that was not begun goes back to the track, with nothing of it left', () => {
  const state = createDrawingState();
  state.fresh.value = true;
  state.draft.value = { x: 1, y: 2 };
  state.mode.value = 'draw';
  backToTrack(state);
  expect([state.fresh.value, state.draft.value, state.mode.value]).toEqual([false, undefined, 'move']);
});
