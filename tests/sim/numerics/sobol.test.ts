/** Sobol' points: the sequence against SciPy's, what scrambling must keep, and what it is for. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { coordinate, directionNumbers, sobolSequence, TABLED } from '../../../sim/numerics/sobol.ts';

const { sobol } = JSON.parse(
  readFileSync(new URL('../../evidence/independent/sampling.json', import.meta.url), 'utf8'),
) as { sobol: { dimensions: number[]; places: number[]; points: number[][] } };

describe('sobol sequence', () => {
  it('is the one SciPy makes, bit for bit', () => {
    // scipy.stats.qmc.Sobol without scrambling, in Gray-code order; tests/evidence/independent/sampling.py.
    for (const [i, place] of sobol.places.entries())
      for (const [j, d] of sobol.dimensions.entries())
        expect(coordinate(directionNumbers(d), place ^ (place >>> 1)), `place ${place}, dimension ${d}`).toBe(
          sobol.points[i]![j],
        );
  });

  it.each([1, 77])('scrambled by seed %i, each of 2^m equal parts still holds one of 2^m points', (seed) => {
    // Owen (1995): nested uniform scrambling keeps nets nets; in one dimension every elementary interval has its point.
    const dimensions = 140; // some beyond the table
    expect(dimensions).toBeGreaterThan(TABLED);
    const sequence = sobolSequence(dimensions);
    const points = Array.from({ length: 64 }, (_, n) => sequence.point(n, seed).slice());
    for (const d of [0, 1, 50, 127, 128, 139])
      expect(new Set(points.map((p) => Math.floor(p[d]! * 64))).size, `dimension ${d}`).toBe(64);
  });

  it('keeps the first two dimensions a net in two: each of 8 x 8 boxes has its point', () => {
    // The first two coordinates of Sobol's sequence are a (0, 2)-sequence (Sobol' 1967); scrambling keeps it one.
    const sequence = sobolSequence(2);
    const boxes = Array.from({ length: 64 }, (_, n) => {
      const [x, y] = sequence.point(n, 5);
      return Math.floor(x! * 8) * 8 + Math.floor(y! * 8);
    });
    expect(new Set(boxes).size).toBe(64);
  });

  it('is the same from the same seed, another from another, and depends on nothing else', () => {
    const one = sobolSequence(6);
    const other = sobolSequence(6);
    one.point(3, 9);
    expect([...one.point(17, 4)]).toEqual([...other.point(17, 4)]);
    expect([...one.point(17, 5)]).not.toEqual([...other.point(17, 4)]);
    // More dimensions extend the point: the first coordinates do not move.
    expect([...sobolSequence(9).point(17, 4)].slice(0, 6)).toEqual([...one.point(17, 4)]);
  });

  it('finds a smooth mean far better than independent draws of the same number would', () => {
    // Mean of prod (1 + (x - 1/2)/2) over 6 dimensions is 1; variance (1 + 1/48)^6 - 1 = 0.132.
    const sequence = sobolSequence(6);
    const n = 1024;
    let worst = 0;
    for (const seed of [1, 2, 3, 4]) {
      let sum = 0;
      for (let i = 0; i < n; i++) sum += sequence.point(i, seed).reduce((f, x) => f * (1 + (x - 0.5) / 2), 1);
      worst = Math.max(worst, Math.abs(sum / n - 1));
    }
    // Independent draws: sqrt(0.132/1024) = 0.011. A tenth of it is what any net of this quality beats.
    expect(worst).toBeLessThan(0.0011);
  });
});
