/** Lines found by a search: of the course and kart they were found for, and said to be old once these have changed. */
import { expect, test } from 'vitest';
import { compileKart } from '../../../../sim/compile/kart.ts';
import { compileTrack } from '../../../../sim/compile/track.ts';
import type { KeptLineSpec } from '../../../../sim/project/schema.ts';
import { madeFor } from '../../../../sim/run/line/made-for.ts';
import { changedSince } from '../../../../ui/web/state/lines-changed.ts';
import type { Raw } from '../../../sim/demo-project.ts';
import { demoWith } from '../../../sim/demo-project.ts';

const before = demoWith();
const of = {
  kart: Object.keys(before.karts)[0]!,
  day: Object.keys(before.days)[0]!,
  track: 'tansy-hollow',
};
const spec = before.tracks[of.track]!;
const { kart } = compileKart(before, of);
const { track } = compileTrack(spec, 't', 2);
const keep = [
  {
    kind: 'fastest',
    ...of,
    time: 30,
    distance: [0, 1],
    offset: [0, 0],
    madeFor: madeFor(kart!, spec, track!.surfaces),
  },
] as unknown as readonly KeptLineSpec[];

const changed = (change: (raw: Raw) => void): string | undefined => changedSince(demoWith(change), of, keep);

test('of the same course, kart and day lines are as they were found; a name changes nothing', () => {
  expect(changedSince(before, of, keep)).toBeUndefined();
  expect(
    changed((raw) => {
      raw.tracks[of.track].name = 'Another name';
    }),
  ).toBeUndefined();
});

test('once the course or the kart is another, they are said to be of the one before', () => {
  expect(
    changed((raw) => {
      raw.tracks[of.track].points[3].x += 0.5;
    }),
  ).toBe('the course');
  // A little more mass moves lines by little, but their times are not of this kart any more.
  expect(
    changed((raw) => {
      raw.karts[of.kart].driver.mass = '91 kg';
    }),
  ).toBe('the kart or the day');
});
