import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { integratePhase } from '../../../sim/numerics/ode.ts';
import { findRoot } from '../../../sim/numerics/root.ts';

describe('findRoot', () => {
  test('finds the root of a cubic wherever it lies', () => {
    fc.assert(
      fc.property(fc.double({ min: -9, max: 9, noNaN: true }), (r) => {
        // The root of (x - r)^3 + (x - r) is simple: found to the tolerance.
        expect(Math.abs(findRoot((x) => (x - r) ** 3 + (x - r), -10, 10) - r)).toBeLessThan(1e-11);
      }),
    );
  });
  test('takes a root at an end, and refuses a bracket without one', () => {
    expect(findRoot((x) => x - 1, 1, 3)).toBe(1);
    expect(() => findRoot((x) => x * x + 1, -1, 1)).toThrow(/no sign change/);
  });
});

describe('integratePhase', () => {
  const fall = {
    derivative: (_t: number, y: readonly number[]) => [y[1]!, -9.8],
    start: 0,
    state: [0, 10],
    end: 10,
    tolerance: 1e-11,
    maxStep: 0.5,
    sampleEvery: 0.25,
  };

  test('stops at a terminal event and times a passing one (a thrown ball in closed form)', () => {
    const run = integratePhase({
      ...fall,
      events: [
        { name: 'down', value: (_t, y) => -y[0]! - 1e-300 },
        { name: 'top', value: (_t, y) => -y[1]!, passing: true },
      ],
    });
    expect(run.status).toBe('event');
    expect(run.event).toBe('down');
    // Closed form 2 v/g and v/g; tolerance of the integration.
    expect(run.t).toBeCloseTo(20 / 9.8, 9);
    expect(run.y[1]).toBeCloseTo(-10, 8);
    expect(run.passed[0]?.t).toBeCloseTo(10 / 9.8, 9);
    for (const sample of run.samples) expect(sample.y[0]).toBeCloseTo(10 * sample.t - 4.9 * sample.t ** 2, 8);
  });

  test('a derivative that is not finite ends the run as failed, with a finite state', () => {
    const run = integratePhase({
      ...fall,
      derivative: (t, y) => (t > 1 ? [Number.NaN, 0] : [y[1]!, -9.8]),
      events: [],
    });
    expect(run.status).toBe('failed');
    expect(run.y.every(Number.isFinite)).toBe(true);
  });
});
