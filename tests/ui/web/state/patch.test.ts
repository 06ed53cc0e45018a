/** Patches: they lead from one document to the other, share what they leave alone, and are small. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { demoInput } from '../../../../ui/demo/demo-project.ts';
import { withValue } from '../../../../ui/web/state/document.ts';
import { patchBetween, patched } from '../../../../ui/web/state/patch.ts';

/** Documents near one another: few keys and short lists, so that parts are shared, moved and removed. */
const { document } = fc.letrec((tie) => ({
  leaf: fc.oneof(fc.integer({ min: 0, max: 3 }), fc.constantFrom('a', 'b'), fc.constant(null), fc.boolean()),
  value: fc.oneof({ depthSize: 'small' }, tie('leaf'), tie('list'), tie('document')),
  list: fc.array(tie('value'), { maxLength: 5 }),
  document: fc.dictionary(fc.constantFrom('a', 'b', 'c', 'd', '0', '__proto__'), tie('value'), {
    maxKeys: 4,
  }),
}));

describe('patch', () => {
  test('leads from any document to any other, order of keys included', () => {
    fc.assert(
      fc.property(document, document, (before, after) => {
        const patch = JSON.parse(JSON.stringify(patchBetween(before, after)));
        expect(JSON.stringify(patched(before, patch))).toBe(JSON.stringify(after));
      }),
      { numRuns: 2000 },
    );
  });

  test('is empty exactly for equal documents', () => {
    fc.assert(
      fc.property(document, document, (before, after) => {
        expect(patchBetween(before, structuredClone(before))).toEqual([]);
        const equal = JSON.stringify(before) === JSON.stringify(after);
        expect(patchBetween(before, after).length === 0).toBe(equal);
      }),
    );
  });

  test('one value changed in the demo is one small change, and everything else is shared', () => {
    const before = demoInput();
    const after = withValue(
      structuredClone(before),
      ['karts', 'clodlet-four-knobbly', 'sprockets', 'rear'],
      41,
    );
    const patch = patchBetween(before, after);
    expect(patch).toEqual([{ at: ['karts', 'clodlet-four-knobbly', 'sprockets', 'rear'], to: 41 }]);
    const result = patched(before, patch);
    expect(result).toEqual(after);
    expect(result['tracks']).toBe(before['tracks']);
  });

  test('a point put into a list is one cut, whatever the length of the list', () => {
    const points = Array.from({ length: 500 }, (_, x) => ({ x, y: 0 }));
    const more = structuredClone([...points.slice(0, 250), { x: 249.5, y: 1 }, ...points.slice(250)]);
    expect(patchBetween({ points }, { points: more })).toEqual([
      { at: ['points'], from: 250, cut: 0, put: [{ x: 249.5, y: 1 }] },
    ]);
  });

  test('a patch of another document is refused', () => {
    const patch = patchBetween({ a: { b: [1, 2] } }, { a: { b: [1, 3] } });
    expect(() => patched({ a: { b: [1] } }, patch)).toThrow('a.b.1');
    expect(() => patched({ a: 5 } as object, patch)).toThrow('no place');
  });
});
