/** Banded systems and bounded quadratics against ml-matrix and the optimality conditions. */
import { Matrix, solve } from 'ml-matrix';
import { describe, expect, test } from 'vitest';
import { addTo, bandedMatrix, factor, multiply, solveWith } from '../../../sim/numerics/banded.ts';
import { boundedMinimum } from '../../../sim/numerics/bounded-quadratic.ts';

/** Park and Miller's generator: the same numbers every time. */
function random(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 16_807) % 2_147_483_647;
    return state / 2_147_483_647;
  };
}

function randomSystem(n: number, reach: number, cyclic: boolean, next: () => number) {
  const m = bandedMatrix(n, reach, cyclic);
  const dense = Matrix.zeros(n, n);
  const add = (i: number, j: number, v: number) => {
    addTo(m, i, j, v);
    dense.set(i, j, dense.get(i, j) + v);
    if (i !== j) dense.set(j, i, dense.get(j, i) + v);
  };
  const rows = cyclic ? n : n - reach;
  for (let r = 0; r < rows; r++) {
    const c = Array.from({ length: reach + 1 }, () => next() - 0.5);
    for (let p = 0; p <= reach; p++)
      for (let q = p; q <= reach; q++) add((r + p) % n, (r + q) % n, c[p]! * c[q]!);
  }
  for (let i = 0; i < n; i++) add(i, i, 0.01);
  return { m, dense };
}

describe.each([false, true])('cyclic: %s', (cyclic) => {
  test.each([9, 10, 41, 200])('%i unknowns solve as dense', (n) => {
    const next = random(n);
    const { m, dense } = randomSystem(n, 3, cyclic, next);
    const b = Array.from({ length: n }, () => next() - 0.5);
    const ours = solveWith(m, factor(m)!, b);
    const theirs = solve(dense, Matrix.columnVector(b)).to1DArray();
    // Condition about 1e3 times rounding.
    for (let i = 0; i < n; i++) expect(Math.abs(ours[i]! - theirs[i]!)).toBeLessThan(1e-9);
    const back = multiply(m, ours);
    for (let i = 0; i < n; i++) expect(Math.abs(back[i]! - b[i]!)).toBeLessThan(1e-9);
  });

  test('a bounded quadratic meets its optimality conditions', () => {
    const n = 150;
    const next = random(3);
    const { m } = randomSystem(n, 3, cyclic, next);
    const g = Array.from({ length: n }, () => next() - 0.5);
    const low = Array.from({ length: n }, () => -next());
    const high = Array.from({ length: n }, (_, i) => low[i]! + next());
    const { x } = boundedMinimum(m, g, low, high, 1e-13);
    const slope = multiply(m, x);
    let held = 0;
    for (let i = 0; i < n; i++) {
      const s = slope[i]! + g[i]!;
      expect(x[i]!).toBeGreaterThanOrEqual(low[i]!);
      expect(x[i]!).toBeLessThanOrEqual(high[i]!);
      const atLow = x[i]! - low[i]! < 1e-6;
      const atHigh = high[i]! - x[i]! < 1e-6;
      if (atLow || atHigh) held++;
      if (atLow) expect(s).toBeGreaterThan(-1e-5);
      else if (atHigh) expect(s).toBeLessThan(1e-5);
      else expect(Math.abs(s)).toBeLessThan(1e-5);
    }
    expect(held).toBeGreaterThan(10);
    expect(held).toBeLessThan(n);
  });
});

test('a bounded quadratic turned upside down has its answer upside down, to the last bit', () => {
  for (const cyclic of [false, true])
    for (let seed = 1; seed <= 20; seed++) {
      const n = 40;
      const next = random(seed);
      const { m } = randomSystem(n, 3, cyclic, next);
      const g = Array.from({ length: n }, () => next() - 0.5);
      const low = Array.from({ length: n }, () => -next());
      const high = Array.from({ length: n }, (_, i) => low[i]! + next());
      const up = boundedMinimum(m, g, low, high, 1e-8);
      const negative = (values: readonly number[]) => values.map((value) => -value);
      const down = boundedMinimum(m, negative(g), negative(high), negative(low), 1e-8);
      expect(down.iterations).toBe(up.iterations);
      expect(down.x).toEqual(up.x.map((value) => -value));
    }
});

test('a matrix that is not positive definite has no factor; equal bounds hold their unknown', () => {
  const m = bandedMatrix(2, 1, false);
  addTo(m, 0, 0, -1);
  addTo(m, 1, 1, 1);
  expect(factor(m)).toBeUndefined();
  const one = bandedMatrix(2, 1, false);
  addTo(one, 0, 0, 1);
  addTo(one, 1, 1, 1);
  const { x } = boundedMinimum(one, [-5, -5], [1, 0], [1, 2]);
  expect(x[0]).toBeCloseTo(1, 8);
  expect(x[1]).toBeCloseTo(2, 6);
});
