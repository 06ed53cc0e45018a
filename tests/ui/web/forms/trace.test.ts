/** The state of a traced picture: taps go from mark to mark to the curve; keys move; values come and go. */
import { describe, expect, test } from 'vitest';
import type { Trace, TraceMark } from '../../../../ui/web/forms/trace.ts';
import {
  keyed,
  moved,
  opened,
  plainNumber,
  pointAt,
  scaleOf,
  tapped,
  tracedPoints,
  tracedValues,
} from '../../../../ui/web/forms/trace.ts';

function withValue(trace: Trace, mark: TraceMark, text: string): Trace {
  return { ...trace, marks: { ...trace.marks, [mark]: { ...trace.marks[mark], text } } };
}

/** One pixel is 10 rpm across and 0.1 up, from (100, 500). */
function scaled(): Trace {
  const taps = [
    { x: 100, y: 500 },
    { x: 900, y: 500 },
    { x: 100, y: 500 },
    { x: 100, y: 100 },
  ];
  const placed = taps.reduce(tapped, opened('blob:x', { x: 1000, y: 600 }));
  return (
    [
      ['A', '2000'],
      ['B', '10 000'],
      ['C', '0'],
      ['D', '40'],
    ] as const
  ).reduce((trace, [mark, text]) => withValue(trace, mark, text), placed);
}

describe('tracing', () => {
  test('taps place the marks in turn, then points', () => {
    const start = opened('blob:x', { x: 1000, y: 600 });
    expect(start.active).toBe('A');
    const one = tapped(start, { x: 100, y: 500 });
    expect([one.active, one.marks.A.placed, one.marks.B.placed]).toEqual(['B', true, false]);
    const all = scaled();
    expect(all.active).toBe('curve');
    const two = tapped(tapped(all, { x: 500, y: 300 }), { x: 300, y: 350 });
    expect([two.points.length, two.selected]).toEqual([2, 2]);
  });

  test('no scale before every mark is placed and has a value; it says which are missing', () => {
    expect(scaleOf(opened('blob:x', { x: 1000, y: 600 }))).toMatchObject({ ok: false, why: /A, B, C, D/ });
    expect(scaleOf(withValue(scaled(), 'D', 'forty'))).toMatchObject({ ok: false, why: /: D\./ });
  });

  test('points come out in order of engine speed, a typed value goes in', () => {
    const trace = tapped(tapped(scaled(), { x: 500, y: 300 }), { x: 300, y: 350 });
    const found = scaleOf(trace);
    expect(found.ok && tracedPoints(trace, found.scale)).toEqual({
      columns: ['rpm', 'N·m'],
      rows: [
        [4000, 15],
        [6000, 20],
      ],
    });
    expect(pointAt(trace, '6000', '20')).toEqual({ x: 500, y: 300 });
    expect(pointAt(trace, '6000', 'x')).toBeUndefined();
  });

  test('a sheet in thousands of rpm is shown so and kept in rpm', () => {
    const thousands = { ...withValue(withValue(scaled(), 'A', '2'), 'B', '10'), speedUnit: '1000 rpm' };
    const trace = tapped(thousands, { x: 500, y: 300 });
    const found = scaleOf(trace);
    expect(tracedValues(trace)[0]).toMatchObject({ speed: 6, figure: 20 });
    expect(found.ok && tracedPoints(trace, found.scale).rows).toEqual([[6000, 20]]);
    expect(pointAt(trace, '6', '20')).toEqual({ x: 500, y: 300 });
  });

  test('keys move what is chosen, add beside it, take it away; nothing leaves the picture', () => {
    const trace = tapped(scaled(), { x: 500, y: 300 });
    expect(keyed(trace, 'ArrowUp', true)?.points[0]?.pixel).toEqual({ x: 500, y: 290 });
    expect(keyed(trace, 'Enter', false)?.points).toHaveLength(2);
    expect(keyed(trace, 'Delete', false)).toMatchObject({ points: [], selected: undefined });
    expect(keyed(trace, 'Tab', false)).toBeUndefined();
    expect(keyed({ ...trace, selected: 'A' }, 'Delete', false)).toBeUndefined();
    expect(moved(trace, 1, { x: -50, y: 9000 }).points[0]?.pixel).toEqual({ x: 0, y: 600 });
  });

  test('numbers without a unit', () => {
    expect([plainNumber('0'), plainNumber('21,5'), plainNumber('10 000')]).toEqual([0, 21.5, 10_000]);
    expect([plainNumber('5 %'), plainNumber('12 kW'), plainNumber('')]).toEqual([
      undefined,
      undefined,
      undefined,
    ]);
  });
});
