/** Shares of the variance on a function whose shares are known in closed form. */
import { describe, expect, it } from 'vitest';
import { BLOCKS, pointMaker } from '../../../sim/study/unknowns/plan.ts';
import type { Share } from '../../../sim/study/unknowns/variance-shares.ts';
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

type Of = (u: readonly number[]) => number;
/** A part of a stand-in: a function of one unknown, less its mean, and its variance. */
interface Part {
  readonly of: (u: number) => number;
  readonly variance: number;
}

function sharesOf(f: Of, unknowns: number, rows: number, seed = 1, parts?: readonly Part[]): Share[] {
  const points = pointMaker(unknowns, seed);
  const pairs = Array.from({ length: rows }, (_, n) => ({ a: [...points(n, 'a')], b: [...points(n, 'b')] }));
  return varianceShares(
    {
      a: pairs.map((p) => f(p.a)),
      b: pairs.map((p) => f(p.b)),
      mixed: Array.from({ length: unknowns }, (_, i) =>
        pairs.map((p) => f(p.a.map((x, j) => (i === j ? p.b[j]! : x)))),
      ),
    },
    parts?.map(({ of, variance }, i) => ({
      a: pairs.map((p) => of(p.a[i]!)),
      b: pairs.map((p) => of(p.b[i]!)),
      variance,
    })),
  );
}

const NO_PART: Part = { of: () => 0, variance: 0 };
/** The parts of one unknown each of the function above: what is left is x1 and x3 in company. */
const ALONE: readonly Part[] = [
  { of: (u) => Math.sin(Math.PI * (2 * u - 1)) * (1 + (b * P4) / 5), variance: V1 },
  { of: (u) => a * (Math.sin(Math.PI * (2 * u - 1)) ** 2 - 0.5), variance: V2 },
  NO_PART,
];

/** Thirty unknowns, a few of weight, and a little company: f = s + s^2/20, s = sum w_i (u_i - 1/2). */
const WEIGHTS = Array.from({ length: 30 }, (_, i) => (i < 3 ? 4 - i : 0.1));
const bent: Of = (u) => {
  const s = WEIGHTS.reduce((sum, w, i) => sum + w * (u[i]! - 0.5), 0);
  return s + (s * s) / 20;
};
/** Var(w (u - 1/2)) = w^2/12. What is w^2 (u - 1/2)^2 / 20 in f by itself is left for the sums to find. */
const STRAIGHT: readonly Part[] = WEIGHTS.map((w) => ({ of: (u) => w * (u - 0.5), variance: (w * w) / 12 }));
/**
 * In closed form: with m2 = w^2/12 and m4 = w^4/80 of each term, a term by itself has m2 + (m4 - m2^2)/400, and each pair
 * in company has (2/20)^2 m2 m2.
 */
const BENT_FIRST = WEIGHTS.map((w) => w ** 2 / 12 + (w ** 4 / 80 - w ** 4 / 144) / 400);
const BENT_COMPANY = WEIGHTS.map((w, i) =>
  WEIGHTS.reduce((sum, v, j) => sum + (i === j ? 0 : (0.01 * w * w * v * v) / 144), 0),
);
const BENT_ALL = BENT_FIRST.reduce((s, x) => s + x, 0) + BENT_COMPANY.reduce((s, x) => s + x, 0) / 2;

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

  it('with a stand-in of known parts is far nearer the truth, with errors that hold', () => {
    const off = (parts: readonly Part[] | undefined) =>
      Array.from({ length: 24 }, (_, seed) => sharesOf(bent, 30, 256, seed + 1, parts)).flatMap((shares) =>
        shares.slice(0, 3).map((s, i) => ({
          ...s,
          first: s.first - BENT_FIRST[i]! / BENT_ALL,
          total: s.total - (BENT_FIRST[i]! + BENT_COMPANY[i]!) / BENT_ALL,
        })),
      );
    const rms = (values: readonly number[]) =>
      Math.sqrt(values.reduce((sum, x) => sum + x * x, 0) / values.length);
    const [helped, plain] = [off(STRAIGHT), off(undefined)];
    // 97 % of the variance is in the parts: the scatter left is that of the rest.
    expect(rms(helped.map((x) => x.first))).toBeLessThan(0.5 * rms(plain.map((x) => x.first)));
    expect(rms(helped.map((x) => x.total))).toBeLessThan(0.5 * rms(plain.map((x) => x.total)));
    // t with 7 degrees of freedom: deviation 1.18. Over 72 values within a factor two.
    for (const ratio of [
      rms(helped.map((x) => x.first / x.firstError)),
      rms(helped.map((x) => x.total / x.totalError)),
    ]) {
      expect(ratio).toBeGreaterThan(0.5);
      expect(ratio).toBeLessThan(2.4);
    }
  });

  it('is exact for a function that is the sum of its parts, in whatever scale', () => {
    // Var(3 u) = 9/12; Var(u^2) = 1/5 - 1/9 = 4/45.
    const parts: Part[] = [
      { of: (u) => 3 * (u - 0.5), variance: 9 / 12 },
      { of: (u) => u ** 2 - 1 / 3, variance: 4 / 45 },
    ];
    const whole = 9 / 12 + 4 / 45;
    for (const scale of [1, -2.5]) {
      const shares = sharesOf((u) => scale * (3 * u[0]! + u[1]! ** 2), 2, 64, 3, parts);
      for (const [i, share] of shares.entries()) {
        // Rounding alone: sums of 64 terms.
        expect(share.total).toBeCloseTo(parts[i]!.variance / whole, 12);
        expect(share.first).toBeCloseTo(parts[i]!.variance / whole, 12);
        expect(share.firstError).toBeLessThan(1e-12);
      }
    }
  });

  it('is not led astray by a stand-in that has nothing to do with the function', () => {
    const mean = (1 - Math.cos(40)) / 40;
    const stranger: Part[] = [
      NO_PART,
      NO_PART,
      { of: (u) => Math.sin(40 * u) - mean, variance: 0.5 - Math.sin(80) / 160 - mean ** 2 },
    ];
    const shares = sharesOf(ishigami, 3, 2048, 5, stranger);
    expect(Math.abs(shares[1]!.first - V2 / V)).toBeLessThan(4 * shares[1]!.firstError + 1e-3);
    expect(Math.abs(shares[2]!.total - V13 / V)).toBeLessThan(4 * shares[2]!.totalError + 1e-3);
  });

  it('holds for the usual function with the parts of one unknown each', () => {
    const shares = sharesOf(ishigami, 3, 2048, 7, ALONE);
    const first = [V1 / V, V2 / V, 0];
    const total = [(V1 + V13) / V, V2 / V, V13 / V];
    for (const [i, share] of shares.entries()) {
      expect(Math.abs(share.first - first[i]!), `first ${i}`).toBeLessThan(4 * share.firstError + 1e-3);
      expect(Math.abs(share.total - total[i]!), `total ${i}`).toBeLessThan(4 * share.totalError + 1e-3);
    }
  });

  it('never says that an unknown does more alone than in company, or less than nothing', () => {
    // 32 points are far too few: the plain sums say so here and there.
    for (let seed = 1; seed <= 40; seed++)
      for (const share of sharesOf(ishigami, 3, 4 * BLOCKS, seed)) {
        expect(share.first).toBeGreaterThanOrEqual(0);
        expect(share.first).toBeLessThanOrEqual(share.total);
      }
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
