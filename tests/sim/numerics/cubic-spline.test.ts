import { expect, test } from 'vitest';
import { cubicSpline, evaluateSpline } from '../../../sim/numerics/cubic-spline.ts';

const circle = (n: number) => {
  const u = Array.from({ length: n + 1 }, (_, i) => (2 * Math.PI * i) / n);
  return {
    u,
    spline: cubicSpline(
      u,
      u.map((x, i) => (i === n ? Math.sin(0) : Math.sin(x))),
      true,
    ),
  };
};

test('a periodic spline of a sine has fourth-order error', () => {
  const error = (n: number) => {
    const { spline } = circle(n);
    let worst = 0;
    for (let k = 0; k < 1000; k++) {
      const x = (2 * Math.PI * k) / 1000;
      worst = Math.max(worst, Math.abs(evaluateSpline(spline, x).value - Math.sin(x)));
    }
    return worst;
  };
  // de Boor ch. V: error O(h^4), so halving the step divides it by 16; 12 leaves room for the coarse end.
  expect(error(16) / error(32)).toBeGreaterThan(12);
  expect(error(64)).toBeLessThan(1e-6);
});

test('value, slope and bend are continuous at the knots and round the seam', () => {
  const { u, spline } = circle(7);
  for (const knot of u.slice(1, -1)) {
    const before = evaluateSpline(spline, knot - 1e-9);
    const after = evaluateSpline(spline, knot + 1e-9);
    // 2e-9 apart: a change of that size times the next derivative, below 3e-9.
    expect(Math.abs(after.value - before.value)).toBeLessThan(3e-9);
    expect(Math.abs(after.slope - before.slope)).toBeLessThan(3e-9);
    expect(Math.abs(after.bend - before.bend)).toBeLessThan(3e-9);
  }
  const start = evaluateSpline(spline, 0);
  const end = evaluateSpline(spline, 2 * Math.PI, 6);
  expect(end.slope).toBeCloseTo(start.slope, 12);
  expect(end.bend).toBeCloseTo(start.bend, 12);
});

test('a natural spline is straight through two points and has no bend at its ends', () => {
  const line = cubicSpline([0, 2], [1, 5], false);
  expect(evaluateSpline(line, 0.5)).toMatchObject({ value: 2, slope: 2, bend: 0 });
  const s = cubicSpline([0, 1, 2, 4], [0, 1, 0, 2], false);
  expect([evaluateSpline(s, 0).bend, evaluateSpline(s, 4).bend]).toEqual([0, 0]);
  expect(evaluateSpline(s, 1).value).toBeCloseTo(1, 14);
});

test('refuses knots that do not increase and too few points for a ring', () => {
  expect(() => cubicSpline([0, 1, 1], [0, 1, 2], false)).toThrow(/increase/);
  expect(() => cubicSpline([0, 1, 2], [0, 1, 0], true)).toThrow(/three or more/);
});
