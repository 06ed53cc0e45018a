/** Normal distribution against SciPy's (tests/evidence/independent/sampling.py). */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  normalCdf,
  normalQuantile,
  truncatedNormal,
  truncatedNormalMoments,
  truncatedNormalQuantile,
} from '../../../sim/numerics/normal.ts';

const stored = JSON.parse(
  readFileSync(new URL('../../evidence/independent/sampling.json', import.meta.url), 'utf8'),
) as {
  quantile: [number, number][];
  cdf: [number, number][];
  truncated: [u: number, mean: number, deviation: number, min: number, max: number, x: number][];
};

describe('normal distribution', () => {
  it.each(stored.cdf)('probability below %f', (z, expected) => {
    // Relative, tails included: a dozen roundings of the series, 38² of them in the exponent.
    expect(Math.abs(normalCdf(z) / expected - 1)).toBeLessThan(2e-13);
  });

  it.each(stored.quantile)('quantile at %f', (p, expected) => {
    // AS 241 promises 1e-16 relative; some roundings on both sides.
    expect(Math.abs(normalQuantile(p) - expected)).toBeLessThan(1e-14 * Math.max(1, Math.abs(expected)));
  });

  it.each(stored.truncated)('cut off, u = %f of N(%f, %f) in [%f, %f]', (u, mean, deviation, min, max, x) => {
    // A probability near one has lost digits; in the worst case here 1e-16 over a density of 1e-3.
    expect(Math.abs(truncatedNormalQuantile(u, mean, deviation, min, max) - x)).toBeLessThan(
      1e-11 * deviation,
    );
  });

  it('quantile and probability undo each other', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-12, max: 1 - 1e-12, noNaN: true }), (p) => {
        // The quantile promises 1e-15 relative; a relative error e of z is z^2 e in p, and z^2 is 49 at p = 1e-12.
        // Worst of six million draws: 3.8e-14 at p = 1.8e-10, and 2.7e-14 where the series takes over.
        expect(Math.abs(normalCdf(normalQuantile(p)) - p)).toBeLessThan(5e-14 * p);
      }),
      // Found by chance: just above -2.5 the series had lost too many digits.
      { examples: [[0.006240841387054009]] },
    );
  });

  it('stays within the cut wherever it lies and rises with u', () => {
    const real = fc.double({ min: -50, max: 50, noNaN: true });
    fc.assert(
      fc.property(
        real,
        fc.double({ min: 0.01, max: 20, noNaN: true }),
        real,
        real,
        (mean, deviation, p, q) => {
          const [min, max] = p < q ? [p, q] : [q, p];
          const at = (u: number) => truncatedNormalQuantile(u, mean, deviation, min, max);
          const values = [1e-9, 0.2, 0.5, 0.8, 1 - 1e-9].map(at);
          for (const x of values) expect(x >= min && x <= max).toBe(true);
          // Each value is only as good as its digits: the probability to 5e-14 (above), which over the density is at
          // most 1.26 times that in z; the quantile to 1e-15 of z; and the last sum to its rounding.
          const rounding = (x: number) =>
            1.3e-13 * deviation +
            2e-15 * Math.abs(x - mean) +
            4 * Number.EPSILON * (Math.abs(x) + Math.abs(mean));
          for (const [i, x] of values.slice(1).entries())
            expect(x).toBeGreaterThanOrEqual(values[i]! - rounding(x));
        },
      ),
      // Found by chance: a cut of 5e-14 far from the mean, narrower than the digits.
      { examples: [[0, 9.758773775689273, 49.99999999999981, 49.99999999999976]] },
    );
  });

  // SciPy 1.17.1: truncnorm.moment(k, (min - mean)/s, (max - mean)/s) s^k; cut at 40 deviations where there is no end.
  it.each([
    [
      0.8,
      0.1,
      0,
      1,
      [-0.005524786267898488, 0.008895042746419788, -0.000331487176073599, 0.000222652992249137],
    ],
    [1, 0.05, 0.05, Number.MAX_VALUE, [0, 0.0025, 0, 1.875e-5]],
    [-0.2, 0.5, -0.25, 2, [0.3676464581866488, 0.2315656965153605, 0.1846305870018808, 0.1733823185066061]],
    [
      0.02,
      0.03,
      0,
      0.5,
      [0.012820527749944893, 0.0006435894450011022, 2.820516104987877e-5, 1.635127279503416e-6],
    ],
  ])('has the moments of SciPy: mean %d, deviation %d, cut at %d and %d', (mean, s, min, max, expected) => {
    // Differences of terms of the size of s^k: 1e-14 of that.
    for (const [k, moment] of truncatedNormalMoments(mean, s, min, max).entries())
      expect(Math.abs(moment - expected[k]!)).toBeLessThan(1e-14 * s ** (k + 1));
  });

  it('has moments that are those of its own draws', () => {
    const [mean, s, min, max] = [0.3, 0.2, 0.1, 1];
    const draw = truncatedNormal(mean, s, min, max);
    const n = 20_000;
    const z = Array.from({ length: n }, (_, i) => draw((i + 0.5) / n) - mean);
    for (const [k, moment] of truncatedNormalMoments(mean, s, min, max).entries()) {
      const drawn = z.reduce((sum, x) => sum + x ** (k + 1), 0) / n;
      // Midpoints miss the far tail: 1e-4 of the moment's scale is ten times what is seen.
      expect(Math.abs(drawn - moment)).toBeLessThan(1e-4 * s ** (k + 1));
    }
  });

  it('refuses what is no probability', () => {
    expect(() => normalQuantile(0)).toThrow();
    expect(() => normalQuantile(1)).toThrow();
  });
});
