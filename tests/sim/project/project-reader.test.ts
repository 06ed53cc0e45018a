/** Reading again what changed gives what reading the whole gives, whatever the edits were. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createProjectReader, readProjectValue } from '../../../sim/index.ts';
import { demoInput } from '../../../ui/demo/demo-project.ts';
import { withoutValue, withValue } from '../../../ui/web/state/document.ts';
import { placeOf } from '../../../ui/web/state/input-commands.ts';

const demo = demoInput();
const paths = readProjectValue(demo).notes.map((n) => n.path);

const edit = fc.oneof(
  fc.record({
    path: fc.constantFrom(...paths, 'units.speed', 'name', 'karts.x', 'days', 'tyres.new', 'nonsense.key'),
    value: fc.constantFrom<unknown>(
      '12 kg',
      '0.5',
      '300 mm',
      -1,
      'x',
      null,
      7,
      'mph',
      {},
      { value: '3 %' },
      [1],
    ),
  }),
  fc.record({
    path: fc.constantFrom(
      'karts.clodlet-four-knobbly',
      'tracks.oval',
      'days.damp',
      'units',
      'chassis',
      ...paths,
    ),
    value: fc.constant(undefined),
  }),
);

describe('project reader', () => {
  it('agrees with reading the whole after every one of 25 rows of edits', () => {
    fc.assert(
      fc.property(fc.array(edit, { minLength: 1, maxLength: 6 }), (edits) => {
        const reader = createProjectReader();
        let document: Readonly<Record<string, unknown>> = demo;
        reader.read(document);
        for (const { path, value } of edits) {
          const place = placeOf(path);
          const next =
            value === undefined ? withoutValue(document, place) : withValue(document, place, value);
          // As text: numbers to the last digit and every order too, at a tenth of the time of a deep comparison.
          expect(JSON.stringify(reader.read(next))).toBe(JSON.stringify(readProjectValue(next)));
          // A builder takes back what was refused; some rows go on from it.
          if (readProjectValue(next).project !== undefined || edits.length % 2 === 0) document = next;
        }
      }),
      { numRuns: 25, seed: 5 },
    );
  });

  it('keeps the identity of what did not change', () => {
    const reader = createProjectReader();
    const first = reader.read(demo).project!;
    const second = reader.read(withValue(demo, ['karts', 'clodlet-four-knobbly', 'sprockets', 'rear'], 45))
      .project!;
    expect(second.karts['clodlet-four-knobbly']?.sprockets?.rear).toBe(45);
    expect(second.tracks).toBe(first.tracks);
    expect(second.karts['clodlet-single-knobbly']).toBe(first.karts['clodlet-single-knobbly']);
  });
});
