/** Points of an engine curve as the document holds them: cells, conversion, new rows, words. Data invented. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { problem, readPoints } from '../../../../sim/index.ts';
import {
  asPoints,
  cellOf,
  columnsOf,
  converted,
  inTableWords,
  otherFigure,
  readCurveCell,
  withPoint,
} from '../../../../ui/web/forms/curve-points.ts';

const SPEC = {
  columns: ['rpm', 'N·m'] as [string, string],
  rows: [
    [3000, 34],
    ['4,200', '39,5'],
    [5600, 44],
  ] as [number | string, number | string][],
};

describe('curve points', () => {
  test('only what has the form of points is taken for points', () => {
    expect(asPoints(SPEC)).toBe(SPEC);
    for (const raw of [
      undefined,
      null,
      4,
      {},
      { columns: ['rpm'], rows: [] },
      { ...SPEC, rows: [[1]] },
      { ...SPEC, rows: [[1, {}]] },
    ])
      expect(asPoints(raw)).toBeUndefined();
  });

  test('columns are known by their units, in either order', () => {
    expect(columnsOf(SPEC).figure).toEqual({ at: 1, kind: 'engineTorque', unit: 'N·m' });
    expect(columnsOf({ ...SPEC, columns: ['power (hp)', 'engine speed (rpm)'] })).toEqual({
      speed: { at: 1, kind: 'engineSpeed', unit: 'rpm' },
      figure: { at: 0, kind: 'enginePower', unit: 'hp' },
    });
    expect(columnsOf({ ...SPEC, columns: ['rpm', 'what'] }).figure.unit).toBe('');
  });

  test('a cell is read in the unit of its column or its own, and refused with the limit', () => {
    const { speed, figure } = columnsOf(SPEC);
    expect(readCurveCell('39,5', figure)).toMatchObject({ ok: true, value: 39.5 });
    // 50 lbf·ft: 50 x 0.45359237 x 9.80665 x 0.3048 N·m.
    const own = readCurveCell('50 lbf·ft', figure);
    expect(own.ok && own.value).toBeCloseTo(67.790897, 5);
    expect(readCurveCell('90000', speed)).toMatchObject({ ok: false, limit: '100 to 25000 rpm' });
    expect(readCurveCell('-4', figure)).toMatchObject({ ok: false });
    expect(readCurveCell('-4', figure, true)).toMatchObject({ ok: true, value: 4 });
    expect([cellOf(' 34.5 '), cellOf('34,5'), cellOf('34 kW')]).toEqual([34.5, '34,5', '34 kW']);
  });

  test('another unit converts: the reader finds the same torques, whichever way the figures went', () => {
    const unit = fc.constantFrom(
      ['engineTorque', 'lbf·ft'],
      ['engineTorque', 'kgf·m'],
      ['enginePower', 'kW'],
      ['enginePower', 'hp'],
      ['enginePower', 'PS'],
    ) as fc.Arbitrary<['engineTorque' | 'enginePower', string]>;
    const rows = fc
      .uniqueArray(fc.integer({ min: 10, max: 140 }), { minLength: 2, maxLength: 12 })
      .map((list) => list.toSorted((a, b) => a - b).map((n): [number, number] => [n * 100, 20 + (n % 37)]));
    fc.assert(
      fc.property(rows, fc.array(unit, { maxLength: 5 }), (list, units) => {
        const start = { columns: ['rpm', 'N·m'] as [string, string], rows: list };
        const before = readPoints(start, '').points?.torque ?? [];
        const end = units.reduce(
          (spec, [kind, name]) => converted(spec, 'figure', kind, name),
          start as typeof SPEC,
        );
        const after = readPoints(end, '').points?.torque ?? [];
        expect(after).toHaveLength(list.length);
        // Six figures are kept at each of up to five steps: 5 x 5e-6 of the value.
        for (const [i, torque] of after.entries())
          expect(Math.abs(torque / before[i]! - 1)).toBeLessThan(2.6e-5);
      }),
      { seed: 49 },
    );
  });

  test('a heading that says nothing is replaced, its figures left alone', () => {
    const named = converted({ ...SPEC, columns: ['rpm', 'what'] }, 'figure', 'engineTorque', 'lbf·ft');
    expect(named).toEqual({ ...SPEC, columns: ['rpm', 'lbf·ft'] });
  });

  test('a new point goes where its engine speed puts it', () => {
    expect(withPoint(SPEC, '4500 rpm', '40').at).toBe(2);
    expect(withPoint(SPEC, '9000', '40').spec.rows.at(-1)).toEqual([9000, 40]);
    expect(withPoint({ ...SPEC, columns: ['N·m', 'rpm'] }, '9000', '40').spec.rows.at(-1)).toEqual([
      40, 9000,
    ]);
  });

  test('the figure a row leaves out', () => {
    // 34 N·m at 3000 rpm, 100 pi rad/s, are 10 681 W.
    expect(otherFigure([3000, 34], columnsOf(SPEC))).toBeCloseTo(34 * 100 * Math.PI, 6);
    expect(otherFigure(['x', 34], columnsOf(SPEC))).toBeUndefined();
  });

  test('the reader counts rows from nought, the table from one', () => {
    const duplicate = problem('duplicate', 'a.rows[4]', 'has the same engine speed as row 3');
    expect(inTableWords(duplicate)).toMatchObject({
      path: '',
      message: 'row 5 has the same engine speed as row 4',
    });
    expect(inTableWords(problem('x', 'a.rows[0][1]', 'torque is out of range'), 'point').message).toBe(
      'point 1: torque is out of range',
    );
  });
});
