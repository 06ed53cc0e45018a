/** Pasted gear ratios, in the ways builders and their papers write them. Data invented. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readGears, stepsOf } from '../../../../ui/web/forms/paste-gears.ts';

const gears = (text: string) => readGears(text).gears;

describe('pasted gears', () => {
  test.each([
    ['2.70 1.98 1.62', ['2.70', '1.98', '1.62']],
    ['2.70, 1.98, 1.62', ['2.70', '1.98', '1.62']],
    ['2,70 1,98 1,62', ['2.70', '1.98', '1.62']],
    ['2,70; 1,98; 1,62', ['2.70', '1.98', '1.62']],
    ['2,70, 1,98, 1,62', ['2.70', '1.98', '1.62']],
    ['2.70,1.98,1.62', ['2.70', '1.98', '1.62']],
    ['2.70\n1.98\n1.62', ['2.70', '1.98', '1.62']],
    ['39/14, 36/17', ['39/14', '36/17']],
    ['39/14,36/17', ['39/14', '36/17']],
    ['39:14 36:17', ['39/14', '36/17']],
    ['1st 2.846 (37/13)\n2nd 1.947 (37/19)', ['37/13', '37/19']],
    ['1st 37/13 2.846 2nd 37/19 1.947', ['37/13', '37/19']],
    ['1 2.70\n2 1.98\n3 1.62', ['2.70', '1.98', '1.62']],
    ['1. 2.70\n2. 1.98', ['2.70', '1.98']],
    ['1: 2.70\n2: 1.98', ['2.70', '1.98']],
    ['1:2.70\n2:1.98', ['2.70', '1.98']],
    ['2.70:1, 1.98:1', ['2.70', '1.98']],
    ['Gear 1 = 2.70\nGear 2 = 1.98', ['2.70', '1.98']],
    ['First 2.70\nSecond 1.98', ['2.70', '1.98']],
    ['3rd 1.62, 2nd 1.98, 1st 2.70', ['2.70', '1.98', '1.62']],
    ['2.5 2 1.5 1', ['2.5', '2', '1.5', '1']],
  ])('%j', (text, expected) => {
    expect(readGears(text)).toMatchObject({ gears: expected, refused: false });
  });

  test('primary, final and reverse are no gears, and said to be left out', () => {
    const found = readGears('Primary 86/41\n1st 2.70\n2nd 1.98\nFinal 49/14');
    expect(found.gears).toEqual(['2.70', '1.98']);
    expect(found.remarks).toHaveLength(2);
  });

  test('teeth and a ratio that do not agree: the teeth are taken, and said', () => {
    const found = readGears('1st 2.900 (37/13)\n2nd 1.947 (37/19)');
    expect(found.gears).toEqual(['37/13', '37/19']);
    expect(found.remarks.join()).toMatch(/37\/13 is 2\.846, but 2\.900/);
  });

  test('what cannot be told apart, is out of range or stands twice is refused', () => {
    expect(readGears('2,70,1,98')).toMatchObject({ refused: true, remarks: [/A comma cannot/] });
    expect(readGears('270 198 162')).toMatchObject({
      refused: true,
      remarks: [/Gear 1, 270: ratio is out of range/],
    });
    expect(readGears('1st 2.70\n1st 1.98')).toMatchObject({ refused: true });
    expect(readGears('nothing here')).toMatchObject({ refused: true, gears: [] });
  });

  test('gears the wrong way round are shown, with a word', () => {
    expect(readGears('1.17 1.27 1.41').remarks.join()).toMatch(/Gear 2 is not taller than gear 1/);
  });

  test('steps: the share by which the engine drops', () => {
    expect(stepsOf([3, 2, undefined, 1])).toEqual([1 - 2 / 3, undefined, undefined]);
  });

  test('any box, in any of the ways of writing, comes back', () => {
    const ratio = fc.integer({ min: 51, max: 499 }).map((n) => (n / 100).toFixed(2));
    const teeth = fc.tuple(fc.integer({ min: 20, max: 60 }), fc.integer({ min: 10, max: 40 }));
    const layout = fc.constantFrom(
      (list: string[]) => list.join(' '),
      (list: string[]) => list.join(', '),
      (list: string[]) => list.join('\n'),
      (list: string[]) => list.map((g, i) => `${i + 1}${['st', 'nd', 'rd'][i] ?? 'th'} ${g}`).join('\n'),
      (list: string[]) => list.map((g, i) => `gear ${i + 1}: ${g}`).join('\n'),
      (list: string[]) => list.map((g, i) => `${i + 1}) ${g}`).join('\n'),
    );
    fc.assert(
      fc.property(
        fc.array(ratio, { minLength: 2, maxLength: 8 }),
        layout,
        fc.boolean(),
        (list, write, comma) => {
          const text = write(list);
          expect(gears(comma ? text.replaceAll('.', ',') : text)).toEqual(list);
        },
      ),
      { seed: 46 },
    );
    fc.assert(
      fc.property(fc.array(teeth, { minLength: 2, maxLength: 8 }), layout, (list, write) => {
        const pairs = list.map(([a, b]) => `${a}/${b}`);
        expect(gears(write(pairs))).toEqual(pairs);
      }),
      { seed: 47 },
    );
  });
});
