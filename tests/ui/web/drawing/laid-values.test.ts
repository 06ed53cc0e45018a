/** Height, edges and bank set at points: what is set is driven there, and the rest of the course stays as it was. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { CompiledTrack } from '../../../../sim/index.ts';
import { compileTrack } from '../../../../sim/index.ts';
import type { DrawnPoint } from '../../../../ui/web/drawing/drawn-points.ts';
import { writtenPoint } from '../../../../ui/web/drawing/drawn-points.ts';
import {
  edgeSet,
  groundsAt,
  hasOwnEdges,
  laidOn,
  writtenGround,
} from '../../../../ui/web/drawing/laid-values.ts';
import { stretchesToPoints } from '../../../../ui/web/drawing/track-commands.ts';
import { demoWith, type Raw } from '../../../sim/demo-project.ts';

const DEGREE = Math.PI / 180;
/** Written to a millimetre and a hundredth of a degree. */
const [MILLIMETRE, ANGLE] = [0.00051, 0.0051 * DEGREE];

/** A course with points as given, compiled by the one way into the simulator. */
function ring(points: readonly DrawnPoint[], closed = true, more: object = {}) {
  const project = demoWith((raw) => {
    raw.tracks['tried'] = {
      name: 'Tried',
      closed,
      surface: raw.tracks['tansy-hollow'].surface,
      width: '6 m',
      ...more,
      points: points.map(writtenPoint),
    };
  });
  const spec = project.tracks['tried']!;
  return { spec, track: compileTrack(spec, 't', 0.5).track! };
}

const bare = Array.from({ length: 10 }, (_, i): DrawnPoint => {
  const angle = (2 * Math.PI * i) / 10;
  return {
    x: Math.round(6000 * Math.cos(angle)) / 100,
    y: Math.round(4000 * Math.sin(angle)) / 100,
    laid: {},
  };
});

/** Stations that lie outside the range and the spans on either side of it. */
function elsewhere(points: readonly DrawnPoint[], track: CompiledTrack, from: number, to: number): number[] {
  const n = points.length;
  const [first, last] = [(from - 1 + n) % n, (to + 1) % n];
  const place = groundStations(track, points);
  const [a, b] = [place[last]!, place[first]!];
  return Array.from({ length: track.count }, (_, i) => i).filter((i) =>
    a <= b ? i >= a && i <= b : i >= a || i <= b,
  );
}

function groundStations(track: CompiledTrack, points: readonly DrawnPoint[]): number[] {
  return points.map(({ x, y }) => {
    let [best, least] = [0, Number.POSITIVE_INFINITY];
    for (let i = 0; i < track.count; i++) {
      const d = (track.x[i]! - x) ** 2 + (track.y[i]! - y) ** 2;
      if (d < least) [best, least] = [i, d];
    }
    return best;
  });
}

describe('set at a point', () => {
  test('a bank is driven there, by the sign of the quantities: left edge higher positive; the rest stays level', () => {
    const before = ring(bare);
    const grounds = groundsAt(before.track, bare);
    const set = laidOn(bare, { from: 3, to: 5 }, true, 'bank', grounds, () => ({ bank: '8°' }));
    const { track } = ring(set);
    const here = groundsAt(track, set);
    expect(here.map(({ bank }) => Math.round(bank / DEGREE))).toEqual([0, 0, 0, 8, 8, 8, 0, 0, 0, 0]);
    // Left edge higher: gravity pulls to the right, which the columns of a lap count as negative to the left.
    const i = groundStations(track, set)[4]!;
    expect(track.lateralG[i]!).toBeCloseTo(Math.sin(8 * DEGREE), 9);
    expect(set.filter((p) => p.laid['bank'] !== undefined)).toHaveLength(5);
  });

  test('one edge by itself: the other stays where it lay, whatever was written of it', () => {
    const { track } = ring(bare);
    const set = laidOn(
      bare,
      { from: 2, to: 2 },
      true,
      'edges',
      groundsAt(track, bare),
      edgeSet('left', '1.5 m'),
    );
    expect(set[2]!.laid).toEqual({ widthLeft: '1.5 m', widthRight: '3 m' });
    // Those next to it are as wide as they were, one width as long as both sides are alike.
    expect([set[1]!.laid, set[3]!.laid, set[4]!.laid]).toEqual([{ width: '6 m' }, { width: '6 m' }, {}]);
    const again = ring(set);
    const other = laidOn(
      set,
      { from: 2, to: 2 },
      true,
      'edges',
      groundsAt(again.track, set),
      edgeSet('right', '14 ft'),
    );
    expect(other[2]!.laid).toEqual({ widthLeft: '1.5 m', widthRight: '14 ft' });
    const { left, right } = groundsAt(ring(other).track, other)[2]!;
    expect(left).toBeCloseTo(1.5, 9);
    expect(right).toBeCloseTo(14 * 0.3048, 9);
    expect([hasOwnEdges(other, 2, again.spec), hasOwnEdges(other, 1, again.spec)]).toEqual([true, false]);
  });

  test('on an open course the ends have one neighbour; round the start a range goes on', () => {
    const { track } = ring(bare, false);
    const grounds = groundsAt(track, bare);
    const put = () => ({ bank: '2°' });
    const banked = (points: readonly DrawnPoint[]) => points.map((p) => p.laid['bank']);
    expect(banked(laidOn(bare, { from: 0, to: 0 }, false, 'bank', grounds, put)).slice(0, 3)).toEqual([
      '2°',
      '0°',
      undefined,
    ]);
    const round = banked(laidOn(bare, { from: 9, to: 0 }, true, 'bank', grounds, put));
    expect([round[8], round[9], round[0], round[1], round[2]]).toEqual(['0°', '2°', '2°', '0°', undefined]);
  });

  test('law: what is set is there, and elsewhere edges and bank are what they were', () => {
    const laid = fc.record(
      {
        width: fc.integer({ min: 3, max: 12 }).map((w) => `${w} m`),
        bank: fc.integer({ min: -20, max: 20 }).map((b) => `${b}°`),
      },
      { requiredKeys: [] },
    );
    const at = fc.nat({ max: 9 });
    fc.assert(
      fc.property(
        fc.array(laid, { minLength: 10, maxLength: 10 }),
        at,
        at,
        fc.double({ min: 1, max: 8, noNaN: true }).map((w) => Number(w.toFixed(2))),
        (each, from, length, wide) => {
          const points = bare.map((point, i): DrawnPoint => ({ ...point, laid: each[i]! }));
          const to = (from + Math.min(length, 6)) % 10;
          const before = ring(points).track;
          const grounds = groundsAt(before, points);
          const edged = laidOn(points, { from, to }, true, 'edges', grounds, edgeSet('right', `${wide} m`));
          const set = laidOn(edged, { from, to }, true, 'bank', grounds, () => ({ bank: '7°' }));
          const after = ring(set).track;
          for (const [i, here] of groundsAt(after, set).entries()) {
            if (!(from <= to ? i >= from && i <= to : i >= from || i <= to)) continue;
            expect(here.right).toBeCloseTo(wide, 9);
            expect(Math.abs(here.left - grounds[i]!.left)).toBeLessThan(MILLIMETRE);
            expect(here.bank).toBeCloseTo(7 * DEGREE, 12);
          }
          for (const i of elsewhere(set, after, from, to)) {
            expect(Math.abs(after.left[i]! - before.left[i]!)).toBeLessThan(MILLIMETRE);
            expect(Math.abs(after.right[i]! - before.right[i]!)).toBeLessThan(MILLIMETRE);
            expect(Math.abs(after.bank[i]! - before.bank[i]!)).toBeLessThan(ANGLE);
          }
        },
      ),
      { numRuns: 60 },
    );
  });

  test('what is written of a ground reads as that ground', () => {
    expect(writtenGround('edges', { height: 0, left: 2.5, right: 2.5, bank: 0 })).toEqual({ width: '5 m' });
    expect(writtenGround('bank', { height: 0, left: 1, right: 1, bank: -0.1 })).toEqual({ bank: '-5.73°' });
  });
});

describe('stretches turned into points', () => {
  test('keep edges of their own and banks, stated on the stretches or on the track', () => {
    const stretches = [
      { straight: '40 m', widthLeft: '2 m', widthRight: '5 m' },
      { turn: 'left', angle: '180 deg', radius: '15 m', bank: '-6°', widthLeft: '2 m', widthRight: '5 m' },
      { straight: '40 m', widthLeft: '2 m', widthRight: '5 m' },
    ];
    const put = (raw: Raw): void => {
      raw.tracks.bent = {
        name: 'Bent',
        closed: false,
        surface: raw.tracks.oval.surface,
        width: '6 m',
        stretches,
      };
    };
    const spec = demoWith(put).tracks['bent']!;
    const { track } = compileTrack(spec, 't', 0.5);
    const turned = demoWith((raw) => {
      put(raw);
      Object.assign(raw, stretchesToPoints('bent', track!, spec).apply(raw));
    }).tracks['bent']!;
    const after = compileTrack(turned, 't', 0.5).track!;
    expect([Math.min(...after.left), Math.max(...after.left)]).toEqual([2, 2]);
    expect([Math.min(...after.right), Math.max(...after.right)]).toEqual([5, 5]);
    expect(Math.min(...after.bank)).toBeCloseTo(-6 * DEGREE, 6);
  });
});
