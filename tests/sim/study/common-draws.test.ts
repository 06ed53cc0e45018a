/** Spread, interval and odds of a difference by common draws: against closed forms, and where a figure jumps. */
import { describe, expect, it } from 'vitest';
import type { InputNote } from '../../../sim/index.ts';
import type { InputChange } from '../../../sim/project/changed-inputs.ts';
import { COMMON_DRAWS, commonDraws, drawnDifference, spreadOfLaps } from '../../../sim/study/common-draws.ts';

const note = (path: string, value: number, spread: number): InputNote => ({
  path,
  quantity: 'distance',
  value,
  spread,
  origin: 'given',
  spreadAssumed: false,
});

/** Twenty inputs, each moving a lap by as many seconds as its spread says. */
const NOTES = Array.from({ length: 20 }, (_, i) => note(`place.${i}`, 1000, 0.1 + 0.02 * i));
const DEVIATION = Math.hypot(...NOTES.map(({ spread }) => spread));
const lapOf = (changes: readonly InputChange[]) =>
  60 + changes.reduce((sum, { value }) => sum + (value as number) - 1000, 0);
const laps = (
  variants: readonly (readonly InputChange[])[],
  more: (lap: number, n: number) => number = (lap) => lap,
) => Float64Array.from(variants, (changes, n) => more(lapOf(changes), n));

describe('common draws', () => {
  const variants = commonDraws(NOTES)(NOTES);

  it('have the spread of a sum of independent inputs', () => {
    expect(variants.length).toBe(COMMON_DRAWS);
    // The middle 68 % of 128 independent draws would be known to 8 % of the deviation; these lie more evenly.
    expect(Math.abs(spreadOfLaps(laps(variants))! / DEVIATION - 1)).toBeLessThan(0.16);
  });

  it('cancel what both rest on, whichever inputs each has besides', () => {
    const own = note('own.of.b', 1000, 0.3);
    const all = commonDraws([...NOTES, own]);
    const a = laps(all(NOTES));
    expect(drawnDifference(a, a)).toEqual({ spread: 0, low: 0, middle: 0, high: 0, probability: 0.5 });
    const found = drawnDifference(a, laps(all([...NOTES, own])))!;
    expect(Math.abs(found.spread / 0.3 - 1)).toBeLessThan(0.16);
    // One normal input: nine in ten lie within 1.645 deviations.
    expect(Math.abs(found.high / (1.645 * 0.3) - 1)).toBeLessThan(0.2);
    expect(Math.abs(found.low / (-1.645 * 0.3) - 1)).toBeLessThan(0.2);
    expect(Math.abs(found.probability - 0.5)).toBeLessThan(0.05);
  });

  it('count a jump as often as it happens, and once', () => {
    // One shift more, a quarter of a second, as soon as the lap is slower than in the file.
    const a = laps(variants);
    const b = laps(variants, (lap) => lap + 0.2 + (lap > 60 ? 0.25 : 0));
    const { low, middle, high, probability } = drawnDifference(a, b)!;
    expect(low).toBeCloseTo(0.2, 9);
    expect(high).toBeCloseTo(0.45, 9);
    expect([0.2, 0.45].some((size) => Math.abs(middle - size) < 0.13)).toBe(true);
    // In none of the draws is b the quicker: not 0, for they are only so many.
    expect(probability).toBeCloseTo(0.5 / (COMMON_DRAWS + 1), 12);
  });

  it('move an input along that the state compared has changed', () => {
    const [first] = variants;
    const over = commonDraws(NOTES)(NOTES, [{ path: 'place.3', value: 1010 }]);
    expect(over[0]![3]!.value as number).toBeCloseTo((first![3]!.value as number) + 10, 9);
    expect(over[0]![2]).toEqual(first![2]);
  });

  it('say nothing where the kart can run in fewer than half of them, or there is nothing to draw', () => {
    const some = laps(variants, (lap, n) => (n % 5 < 3 ? Number.NaN : lap));
    expect(spreadOfLaps(some)).toBe(null);
    expect(drawnDifference(some, laps(variants))).toBe(null);
    expect(commonDraws([])([])).toEqual([]);
    expect(spreadOfLaps(null)).toBe(null);
  });
});
