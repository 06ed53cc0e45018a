import fc from 'fast-check';
import { expect, test } from 'vitest';
import { evaluateCubic, monotoneCubic } from '../../../sim/numerics/monotone-cubic.ts';

test('a straight line is reproduced', () => {
  const curve = monotoneCubic([0, 1, 4, 5], [1, 3, 9, 11]);
  for (const x of [0, 0.3, 2.2, 4.9, 5]) expect(evaluateCubic(curve, x)).toBeCloseTo(1 + 2 * x, 12);
});

const PCHIP = [1.2053571428571428, 2.7142857142857144, 3.0, 2.037037037037037];

test('values of a general-purpose library: scipy.interpolate.PchipInterpolator 1.17 on x = 0 1 3 4 7, y = 0 2 3 3 1', () => {
  // Printed by that library at 0.5, 2, 3.5, 6.
  const curve = monotoneCubic([0, 1, 3, 4, 7], [0, 2, 3, 3, 1]);
  const at = (x: number) => evaluateCubic(curve, x);
  expect([at(0.5), at(2), at(3.5), at(6)]).toEqual(PCHIP.map((y) => expect.closeTo(y, 12)));
});

test('never leaves the band between neighbouring points', () => {
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: -100, max: 100, noNaN: true }), { minLength: 2, maxLength: 12 }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      (ys, part) => {
        const curve = monotoneCubic(
          ys.map((_, i) => i + 0.7 * Math.floor(i / 2)),
          ys,
        );
        for (let j = 0; j + 1 < ys.length; j++) {
          const x = curve.knots[j]! + part * (curve.knots[j + 1]! - curve.knots[j]!);
          const y = evaluateCubic(curve, x);
          const slack = 1e-9 * (1 + Math.abs(ys[j]!) + Math.abs(ys[j + 1]!));
          expect(y).toBeGreaterThanOrEqual(Math.min(ys[j]!, ys[j + 1]!) - slack);
          expect(y).toBeLessThanOrEqual(Math.max(ys[j]!, ys[j + 1]!) + slack);
        }
      },
    ),
  );
});

test('beyond the ends the end value holds', () => {
  const curve = monotoneCubic([1, 2, 3], [5, 7, 6]);
  expect([evaluateCubic(curve, -9), evaluateCubic(curve, 99)]).toEqual([5, 6]);
});

test.each([
  [[1], [1]],
  [
    [1, 1],
    [2, 3],
  ],
  [
    [2, 1],
    [2, 3],
  ],
  [[1, 2], [3]],
])('refuses knots %j with %j', (x, y) => {
  expect(() => monotoneCubic(x, y)).toThrow(/monotoneCubic/);
});
