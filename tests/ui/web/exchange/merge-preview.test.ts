/** Merging another project: what is said is what happens, and nothing of mine is lost unless so decided. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readProjectValue } from '../../../../sim/index.ts';
import { demoInput } from '../../../../ui/demo/demo-project.ts';
import type { Decision, MergeLine } from '../../../../ui/web/exchange/merge-preview.ts';
import { previewMerge } from '../../../../ui/web/exchange/merge-preview.ts';
import { COLLECTIONS, entriesOf, withNewId } from '../../../../ui/web/exchange/references.ts';
import { withValue, written } from '../../../../ui/web/state/document.ts';

const KART = 'clodlet-four-knobbly';
const DONOR = String(written(demoInput(), ['karts', KART, 'donor']));

/** The demo with another rear sprocket, another mass of a donor, one track more, other units. */
function theirs() {
  let document = withValue(demoInput(), ['karts', KART, 'sprockets', 'rear'], 33);
  document = withValue(document, ['donors', DONOR, 'name'], 'Their donor');
  document = withValue(document, ['tracks', 'new-track'], written(document, ['tracks', 'circle']));
  return withValue(document, ['units'], { speed: 'mph' });
}

const clashing = (lines: readonly MergeLine[]) => lines.filter((line) => line.choices.length > 0);

describe('merge preview', () => {
  test('says what is added, same and left; mine stands where both differ', () => {
    const mine = demoInput();
    const { lines, document, read } = previewMerge(mine, theirs());
    expect(lines.filter((line) => line.fate === 'added').map((line) => line.path)).toEqual([
      'tracks.new-track',
    ]);
    expect(clashing(lines).map((line) => [line.path, line.fate])).toEqual([
      [`karts.${KART}`, 'left'],
      [`donors.${DONOR}`, 'left'],
      ['units', 'left'],
    ]);
    expect(document).toEqual(withValue(mine, ['tracks', 'new-track'], written(mine, ['tracks', 'circle'])));
    expect(read.project).toBeDefined();
    expect(mine).toEqual(demoInput());
  });

  test('theirs replaces in place; both keeps two, and their kart keeps their donor', () => {
    const { lines, document, read } = previewMerge(
      demoInput(),
      theirs(),
      new Map<string, Decision>([
        [`karts.${KART}`, 'both'],
        [`donors.${DONOR}`, 'both'],
        ['units', 'theirs'],
      ]),
    );
    expect(clashing(lines).map((line) => [line.fate, line.newId])).toEqual([
      ['renamed', `${KART}-2`],
      ['renamed', `${DONOR}-2`],
      ['replaced', undefined],
    ]);
    expect(written(document, ['karts', KART])).toEqual(written(demoInput(), ['karts', KART]));
    expect(written(document, ['karts', `${KART}-2`, 'sprockets', 'rear'])).toBe(33);
    expect(written(document, ['karts', `${KART}-2`, 'donor'])).toBe(`${DONOR}-2`);
    expect(written(document, ['donors', `${DONOR}-2`, 'name'])).toBe('Their donor');
    expect(written(document, ['units'])).toEqual({ speed: 'mph' });
    expect(read.project).toBeDefined();
    const replaced = previewMerge(demoInput(), theirs(), new Map([[`karts.${KART}`, 'theirs' as const]]));
    expect(written(replaced.document, ['karts', KART, 'sprockets', 'rear'])).toBe(33);
    expect(Object.keys(entriesOf(replaced.document, 'karts'))).toEqual(
      Object.keys(entriesOf(demoInput(), 'karts')),
    );
  });

  test('a project merged with itself, or with its keys in another order, changes nothing', () => {
    const turned = Object.fromEntries(Object.entries(demoInput()).reverse());
    for (const other of [demoInput(), turned]) {
      const { lines, document } = previewMerge(demoInput(), other);
      expect(new Set(lines.map((line) => line.fate))).toEqual(new Set(['same']));
      expect(document).toEqual(demoInput());
    }
  });

  test('whatever is decided, the result is sound, has every entry of both, and what is mine stays', () => {
    const all = clashing(previewMerge(demoInput(), theirs()).lines);
    const decided = fc.tuple(...all.map((line) => fc.constantFrom(...line.choices)));
    fc.assert(
      fc.property(decided, (choices) => {
        const decisions = new Map(all.map((line, i) => [line.path, choices[i] as Decision]));
        const { lines, document, read } = previewMerge(demoInput(), theirs(), decisions);
        expect(read.project).toBeDefined();
        for (const line of lines) {
          const place = line.path.split('.');
          const [collection = '', id = ''] = place;
          if (line.fate === 'left' || line.fate === 'same' || line.fate === 'renamed')
            expect(written(document, place)).toEqual(written(demoInput(), place));
          if (line.fate === 'renamed')
            expect(entriesOf(document, collection)).toHaveProperty(line.newId ?? id);
        }
      }),
      { numRuns: 27 },
    );
  });

  test('every entry of the demo can be given another id, and everything that names it follows', () => {
    const demo = demoInput();
    for (const collection of COLLECTIONS) {
      for (const id of Object.keys(entriesOf(demo, collection))) {
        const renamed = withNewId(demo, collection, id, 'another');
        const codes = readProjectValue(renamed).problems.map((p) => `${p.code} ${p.path}`);
        expect([id, codes]).toEqual([id, readProjectValue(demo).problems.map((p) => `${p.code} ${p.path}`)]);
        expect(withNewId(renamed, collection, 'another', id)).toEqual(demo);
        expect(JSON.stringify(renamed)).not.toBe(JSON.stringify(demo));
      }
    }
  });
});
