/** Systems of short rows and bounded quadratics against ml-matrix and the optimality conditions. */
import { Matrix, solve } from 'ml-matrix';
import { describe, expect, test } from 'vitest';
import { boundedMinimum, type QuadraticRows } from '../../../sim/numerics/bounded-quadratic.ts';
import {
  addTo,
  bandMatrix,
  factor,
  multiply,
  skylineMatrix,
  solveWith,
} from '../../../sim/numerics/skyline.ts';

/** Park and Miller's generator: the same numbers every time. */
function random(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 16_807) % 2_147_483_647;
    return state / 2_147_483_647;
  };
}

function randomSystem(n: number, reach: number, cyclic: boolean, next: () => number) {
  const m = bandMatrix(n, reach, cyclic);
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

test('rows of any length solve as dense, and take no entry before their first', () => {
  for (let seed = 1; seed <= 20; seed++) {
    const n = 30;
    const next = random(seed);
    const first = Int32Array.from({ length: n }, (_, row) => Math.floor(row * (1 - next() * next())));
    const m = skylineMatrix(first);
    const dense = Matrix.zeros(n, n);
    for (let row = 0; row < n; row++)
      for (let column = first[row]!; column <= row; column++) {
        // The diagonal outweighs its row, so that the matrix is positive definite.
        const value = column === row ? n : next() - 0.5;
        addTo(m, column, row, value);
        dense.set(row, column, value);
        dense.set(column, row, value);
      }
    const b = Array.from({ length: n }, () => next() - 0.5);
    const ours = solveWith(m, factor(m)!, b);
    const theirs = solve(dense, Matrix.columnVector(b)).to1DArray();
    // Condition below 3 times rounding.
    for (let i = 0; i < n; i++) expect(Math.abs(ours[i]! - theirs[i]!)).toBeLessThan(1e-14);
    const row = first.findIndex((column) => column > 0);
    expect(() => addTo(m, row, first[row]! - 1, 1)).toThrow('before the first');
  }
});

/** Rows in pairs of opposite sides about a chain of neighbours, then rows of their own. */
function someRows(n: number, pairs: number, singles: number, next: () => number): QuadraticRows {
  const start = [0];
  const column: number[] = [];
  const value: number[] = [];
  const most: number[] = [];
  for (let r = 0; r < pairs + singles; r++) {
    const first = Math.floor(next() * (n - 3));
    const entries = [0, 1, 2].map(() => next() - 0.5);
    for (const side of r < pairs ? [1, -1] : [1]) {
      for (const [e, entry] of entries.entries()) {
        column.push(first + e);
        value.push(side * entry);
      }
      start.push(column.length);
      most.push(0.05 * next());
    }
  }
  return {
    start: Int32Array.from(start),
    column: Int32Array.from(column),
    value: Float64Array.from(value),
    most: Float64Array.from(most),
    pairs,
  };
}

test.each([false, true])(
  'a quadratic with rows is no greater than at any point that meets them, cyclic %s',
  (cyclic) => {
    const n = 60;
    const next = random(5);
    const { m } = randomSystem(n, 3, cyclic, next);
    const g = Array.from({ length: n }, () => next() - 0.5);
    const low = new Array<number>(n).fill(-1);
    const high = new Array<number>(n).fill(1);
    const rows = someRows(n, 15, 15, next);
    const { x } = boundedMinimum(m, g, low, high, 1e-13, rows);
    const at = (p: ArrayLike<number>) => {
      const mp = multiply(m, Float64Array.from(p));
      return mp.reduce((sum, v, i) => sum + p[i]! * (v / 2 + g[i]!), 0);
    };
    const over = (p: ArrayLike<number>) =>
      Math.max(
        ...Array.from(rows.most, (most, r) => {
          let sum = 0;
          for (let k = rows.start[r]!; k < rows.start[r + 1]!; k++)
            sum += rows.value[k]! * p[rows.column[k]!]!;
          return sum - most;
        }),
      );
    // Left of what the rows are missed by at the start.
    expect(over(x)).toBeLessThan(2e-5);
    // Some row holds: without them the least lies outside.
    expect(over(boundedMinimum(m, g, low, high, 1e-13).x)).toBeGreaterThan(0.01);
    const least = at(x);
    let inside = 0;
    for (let tried = 0; tried < 5000; tried++) {
      const size = 10 ** (-4 * next());
      const p = x.map((value) =>
        Math.min(1, Math.max(-1, value * (1 - size) + size * size * (next() - 0.5))),
      );
      if (over(p) > 0) continue;
      inside++;
      // Of a convex function: no better nearby, none anywhere. Rows missed by 2e-5 are worth less than this.
      expect(at(p)).toBeGreaterThan(least - 1e-4);
    }
    expect(inside).toBeGreaterThan(50);
  },
);

test('rows in pairs may change places: the answer upside down is the same to the last bit', () => {
  for (let seed = 1; seed <= 20; seed++) {
    const n = 40;
    const next = random(seed);
    const { m } = randomSystem(n, 3, seed % 2 === 0, next);
    const g = Array.from({ length: n }, () => next() - 0.5);
    const bound = Array.from({ length: n }, next);
    const low = bound.map((value) => -value);
    const rows = someRows(n, 12, 0, next);
    const swapped = { ...rows, most: rows.most.map((_, r) => rows.most[r ^ 1]!) };
    const up = boundedMinimum(m, g, low, bound, 1e-8, rows);
    const down = boundedMinimum(
      m,
      g.map((value) => -value),
      low,
      bound,
      1e-8,
      swapped,
    );
    expect(down.iterations).toBe(up.iterations);
    expect(down.x).toEqual(up.x.map((value) => -value));
  }
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
  const m = bandMatrix(2, 1, false);
  addTo(m, 0, 0, -1);
  addTo(m, 1, 1, 1);
  expect(factor(m)).toBeUndefined();
  const one = bandMatrix(2, 1, false);
  addTo(one, 0, 0, 1);
  addTo(one, 1, 1, 1);
  const { x } = boundedMinimum(one, [-5, -5], [1, 0], [1, 2]);
  expect(x[0]).toBeCloseTo(1, 8);
  expect(x[1]).toBeCloseTo(2, 6);
});
