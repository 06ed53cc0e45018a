/** Shares of the variance on a function whose shares are known in closed form. */
import { describe, expect, it } from 'vitest';
import { BLOCKS, pointMaker } from '../../../sim/study/unknowns/plan.ts';
import { varianceShares } from '../../../sim/study/unknowns/variance-shares.ts';

/**
 * T. Ishigami and T. Homma, An importance quantification technique in uncertainty analysis for computer models (1990):
 * f = sin x1 + a sin^2 x2 + b x3^4 sin x1, x uniform in (-pi, pi); its variances in closed form.
 */
const a = 7;
const b = 0.1;
const P4 = Math.PI ** 4;
const V1 = 0.5 * (1 + (b * P4) / 5) ** 2;
const V2 = a ** 2 / 8;
const V13 = b ** 2 * P4 ** 2 * (1 / 18 - 1 / 50);
const V = V1 + V2 + V13;
const ishigami = ([u1, u2, u3]: readonly number[]) => {
  const [x1, x2, x3] = [u1!, u2!, u3!].map((u) => Math.PI * (2 * u - 1)) as [number, number, number];
  return Math.sin(x1) + a * Math.sin(x2) ** 2 + b * x3 ** 4 * Math.sin(x1);
};

function sharesOf(f: (u: readonly number[]) => number, unknowns: number, rows: number, seed = 1) {
  const points = pointMaker(unknowns, seed);
  const pairs = Array.from({ length: rows }, (_, n) => ({ a: [...points(n, 'a')], b: [...points(n, 'b')] }));
  return varianceShares({
    a: pairs.map((p) => f(p.a)),
    b: pairs.map((p) => f(p.b)),
    mixed: Array.from({ length: unknowns }, (_, i) =>
      pairs.map((p) => f(p.a.map((x, j) => (i === j ? p.b[j]! : x)))),
    ),
  });
}

describe('variance shares', () => {
  it('finds the shares of a function with an unknown that acts only in company', () => {
    const shares = sharesOf(ishigami, 3, 8192);
    const first = [V1 / V, V2 / V, 0];
    const total = [(V1 + V13) / V, V2 / V, V13 / V];
    for (const [i, share] of shares.entries()) {
      // 8192 points in eight blocks: four standard errors as reported, and these are small.
      expect(Math.abs(share.first - first[i]!), `first ${i}`).toBeLessThan(4 * share.firstError + 1e-3);
      expect(Math.abs(share.total - total[i]!), `total ${i}`).toBeLessThan(4 * share.totalError + 1e-3);
      expect(share.firstError).toBeLessThan(0.02);
      expect(share.totalError).toBeLessThan(0.02);
    }
  });

  it('states errors that hold: over seeds, the shares scatter as said', () => {
    const runs = Array.from({ length: 24 }, (_, seed) => sharesOf(ishigami, 3, 512, seed + 1));
    const off = runs.map((r) => (r[1]!.total - V2 / V) / r[1]!.totalError);
    // With 8 blocks the ratio follows t with 7 degrees: beyond 3.5 in 1 % of cases; 2 of 24 would be luck of 2 %.
    expect(off.filter((t) => Math.abs(t) > 3.5).length).toBeLessThanOrEqual(2);
    const rms = Math.sqrt(off.reduce((sum, t) => sum + t * t, 0) / off.length);
    // t with 7 degrees has deviation 1.18; over 24 seeds within a factor two.
    expect(rms).toBeGreaterThan(0.5);
    expect(rms).toBeLessThan(2.4);
  });

  it('gives nothing to what is not drawn on, and leaves out points where a run could not be', () => {
    const n = 8 * BLOCKS;
    const values = Array.from({ length: n }, (_, k) => Math.sin(k));
    const [share] = varianceShares({ a: values, b: values, mixed: [undefined] });
    expect(share).toEqual({ first: 0, total: 0, firstError: 0, totalError: 0 });
    const holed = values.map((x, k) => (k === 5 ? Number.NaN : x));
    const [whole] = varianceShares({ a: holed, b: values.toReversed(), mixed: [values.toReversed()] });
    // Everything taken from B: the total share is all of it, up to the scatter of 64 points.
    expect(whole!.total).toBeGreaterThan(0.7);
    expect(Number.isFinite(whole!.first)).toBe(true);
  });
});
