/** What pointers on the drawing board mean: tap, drag, stroke, moving the ground, and how each of them ends. */
import { expect, test } from 'vitest';
import type { Deed, Gesture, Mode, Press, Step } from '../../../../ui/web/drawing/gesture.ts';
import { cancelled, lifted, movedTo, pinchBegun, pressed } from '../../../../ui/web/drawing/gesture.ts';
import type { Place } from '../../../../ui/web/drawing/point-edits.ts';

const SERIAL = 7;
const AT: Place = { x: 100, y: 200 };
const ON_BARE_GROUND: Press = { at: AT, over: undefined, grip: { x: 0, y: 0 }, pan: false };
const BESIDE_POINT_3: Press = { at: AT, over: 2, grip: { x: -9, y: 4.5 }, pan: false };

/** Pressed and moved through places. */
function after(press: Press, mode: Mode, ...places: readonly Place[]): Step {
  let { gesture } = pressed(press);
  let deeds: readonly Deed[] = [];
  for (const place of places) {
    const step = movedTo(gesture, mode, place, SERIAL);
    gesture = step.gesture;
    deeds = [...deeds, ...step.deeds];
  }
  return { gesture, deeds };
}

test('a point grasped beside its middle keeps its distance from the pointer, there and back', () => {
  const { deeds } = after(BESIDE_POINT_3, 'move', { x: 106, y: 200 }, { x: 150, y: 170 }, AT);
  expect(deeds).toEqual([
    { do: 'drag', point: 2, to: { x: 97, y: 204.5 }, serial: SERIAL },
    { do: 'drag', point: 2, to: { x: 141, y: 174.5 }, serial: SERIAL },
    { do: 'drag', point: 2, to: { x: 91, y: 204.5 }, serial: SERIAL },
  ]);
});

test('a hand that trembles taps', () => {
  const { gesture, deeds } = after(BESIDE_POINT_3, 'move', { x: 103, y: 203 });
  expect(deeds).toEqual([]);
  expect(lifted(gesture, 'move').deeds).toEqual([{ do: 'select', point: 2 }]);
  expect(lifted(gesture, 'draw').deeds).toEqual([{ do: 'tap', at: AT, over: 2 }]);
});

test('cancelled, a drag is taken back and nothing else is done; the hand then moves nothing', () => {
  const far = { x: 160, y: 260 };
  const dragging = after(BESIDE_POINT_3, 'move', far).gesture;
  expect(cancelled(dragging).deeds).toEqual([{ do: 'withdraw', serial: SERIAL }]);
  const others: Gesture[] = [
    { kind: 'none' },
    pressed(BESIDE_POINT_3).gesture,
    after(ON_BARE_GROUND, 'draw', far).gesture,
    after(ON_BARE_GROUND, 'move', far).gesture,
    pinchBegun({ kind: 'none' }, AT, far).gesture,
  ];
  expect(others.map((g) => g.kind)).toEqual(['none', 'pressed', 'stroke', 'panning', 'pinching']);
  for (const gesture of others) expect(cancelled(gesture).deeds).toEqual([]);
  for (const gesture of [dragging, ...others]) {
    const { gesture: ended } = cancelled(gesture);
    for (const mode of ['move', 'draw', 'measure'] as const) {
      expect(movedTo(ended, mode, AT, SERIAL).deeds).toEqual([]);
      expect(lifted(ended, mode).deeds).toEqual([]);
    }
  }
});

test('a second finger takes back what the first has dragged, and drops its stroke', () => {
  const second = { x: 300, y: 240 };
  const dragging = after(BESIDE_POINT_3, 'move', { x: 160, y: 260 }).gesture;
  const pinch = pinchBegun(dragging, AT, second);
  expect(pinch.deeds).toEqual([{ do: 'withdraw', serial: SERIAL }]);
  expect(pinch.gesture).toMatchObject({ kind: 'pinching', middle: { x: 200, y: 220 } });
  const stroke = after(ON_BARE_GROUND, 'draw', { x: 160, y: 260 }).gesture;
  expect(pinchBegun(stroke, AT, second).deeds).toEqual([]);
});

test('one finger on bare ground moves the ground, but draws while drawing; with the space key it moves it always', () => {
  const to = { x: 120, y: 190 };
  const pan: Deed = { do: 'pan', dx: 20, dy: -10 };
  expect(after(ON_BARE_GROUND, 'move', to).deeds).toEqual([pan]);
  expect(after(ON_BARE_GROUND, 'measure', to).deeds).toEqual([pan]);
  expect(after(ON_BARE_GROUND, 'draw', to).gesture).toEqual({ kind: 'stroke', stroke: [AT, to] });
  for (const mode of ['move', 'draw', 'measure'] as const)
    expect(after({ ...BESIDE_POINT_3, pan: true }, mode, to).deeds).toEqual([pan]);
});
