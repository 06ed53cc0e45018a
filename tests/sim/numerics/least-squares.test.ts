/** Least squares: a certified nonlinear problem, a line in closed form, bounds, lost rank. */
import { describe, expect, it } from 'vitest';
import { conditionOf, leastSquares } from '../../../sim/numerics/least-squares.ts';

const open = (n: number) => ({
  min: new Array<number>(n).fill(Number.NEGATIVE_INFINITY),
  max: new Array<number>(n).fill(Number.POSITIVE_INFINITY),
});
const asked =
  (f: (p: readonly number[]) => number[]) =>
  (points: readonly (readonly number[])[]): Promise<Float64Array[]> =>
    Promise.resolve(points.map((p) => Float64Array.from(f(p))));

describe('least squares', () => {
  it('meets the certified values of an exponential fit', async () => {
    // NIST Statistical Reference Datasets, Misra1a: y = b1 (1 - exp(-b2 x)); data and certified values from memory.
    const y = [
      10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.4, 75.47, 81.78,
    ];
    const x = [77.6, 114.9, 141.1, 190.8, 239.9, 289, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760];
    const fit = await leastSquares({
      start: [500, 0.0001],
      step: [1e-4, 1e-9],
      ...open(2),
      residuals: asked(([b1, b2]) => x.map((v, i) => b1! * (1 - Math.exp(-b2! * v)) - y[i]!)),
    });
    const s2 = fit.residuals.reduce((sum, r) => sum + r * r, 0) / 12;
    // One-sided differences are good to about 1e-6 of a derivative, and shift the answer by as little.
    expect(Math.abs(fit.parameters[0]! / 238.94212918 - 1)).toBeLessThan(1e-6);
    expect(Math.abs(fit.parameters[1]! / 5.5015643181e-4 - 1)).toBeLessThan(1e-6);
    expect(Math.sqrt(s2)).toBeCloseTo(0.1018787633, 8);
    expect(Math.abs(Math.sqrt(s2 * fit.covariance!.get(0, 0)) / 2.7070075241 - 1)).toBeLessThan(1e-4);
    expect(Math.abs(Math.sqrt(s2 * fit.covariance!.get(1, 1)) / 7.2668688436e-6 - 1)).toBeLessThan(1e-4);
  });

  it('fits a line as the closed form does, and stops at a bound with the rest still best', async () => {
    const x = [0, 1, 2, 3, 4];
    const y = [1, 3, 2, 5, 4];
    const residuals = asked(([a, b]) => x.map((v, i) => a! + b! * v - y[i]!));
    const free = await leastSquares({ start: [0, 0], step: [1e-5, 1e-5], ...open(2), residuals });
    // Slope Sxy/Sxx = 8/10, intercept 3 - 0.8 * 2.
    expect(free.parameters[0]).toBeCloseTo(1.4, 8);
    expect(free.parameters[1]).toBeCloseTo(0.8, 8);
    expect(free.covariance!.get(1, 1)).toBeCloseTo(1 / 10, 8);
    const held = await leastSquares({
      start: [0, 0],
      step: [1e-5, 1e-5],
      min: [-10, -10],
      max: [10, 0.5],
      residuals,
    });
    expect(held.atBound).toEqual([false, true]);
    expect(held.parameters[1]).toBe(0.5);
    // With the slope held at 0.5 the intercept is 3 - 0.5 * 2.
    expect(held.parameters[0]).toBeCloseTo(2, 8);
  });

  it('says where rank is lost', async () => {
    const fit = await leastSquares({
      start: [1, 1],
      step: [1e-5, 1e-5],
      ...open(2),
      residuals: asked(([a, b]) => [a! + b! - 3, 2 * (a! + b!) - 6, a! + b! - 3.1]),
    });
    expect(fit.parameters[0]! + fit.parameters[1]!).toBeCloseTo(18.1 / 6, 6);
    expect(fit.covariance).toBeUndefined();
    expect(conditionOf(fit.jacobian)).toBeGreaterThan(1e6);
  });

  it('has nothing to say where the start cannot be computed', async () => {
    const fit = await leastSquares({
      start: [1],
      step: [1e-3],
      ...open(1),
      residuals: () => Promise.resolve([undefined]),
    });
    expect(fit.status).toBe('stuck');
  });
});
