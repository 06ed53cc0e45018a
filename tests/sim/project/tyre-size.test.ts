/**
 * Diameters from tyre codes. Inch codes state the diameter; metric: rim + 2 x width x aspect ratio
 * (ISO 4000-1 and ISO 5751 designation; the values are worked out from it by hand).
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { tyreDiameter } from '../../../sim/project/tyre-size.ts';

describe('tyreDiameter', () => {
  it.each([
    ['20x11-9', 508],
    ['25x8-12', 635],
    ['AT22x11-10', 558.8],
    ['at 22 x 11 - 10', 558.8],
    ['25x8R12', 635],
    ['25X8.00R12', 635],
    ['10x4.50-5', 254],
    ['10x4,50-5', 254],
    ['11x7.10-5', 279.4],
    ['20×11-9', 508],
    ['20-in', 508],
    ['20 in', 508],
    ['20"', 508],
    ['225/40-10', 254 + 2 * 225 * 0.4],
    ['225/70R15', 381 + 2 * 225 * 0.7],
    ['P225/70R15 103T', 381 + 2 * 225 * 0.7],
    ['120/70ZR17', 431.8 + 2 * 120 * 0.7],
    ['180/550-13', 550],
  ])('%s is %d mm', (code, expected) => {
    expect((tyreDiameter(code) ?? 0) * 1000).toBeCloseTo(expected, 9);
  });

  it.each(['', 'knobbly', '6.00-16', '9x10-20', '20x11', '225/40', '0x0-0', '999x11-9', '20x11-9.5.5'])(
    'cannot read %j',
    (code) => {
      expect(tyreDiameter(code)).toBeUndefined();
    },
  );

  it('never throws; gives a possible diameter or nothing', () => {
    const code = fc
      .array(fc.constantFrom(...'0123456789x/-Rr., "in'.split('')), { maxLength: 16 })
      .map((c) => c.join(''));
    fc.assert(
      fc.property(code, (text) => {
        const diameter = tyreDiameter(text);
        if (diameter !== undefined) expect(diameter >= 0.1 && diameter <= 2.5).toBe(true);
      }),
      { numRuns: 5000, seed: 31 },
    );
  });
});
