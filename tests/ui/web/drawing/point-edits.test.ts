/** Edits of control points: what moves, what stays, and that each can be taken back by its opposite. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { compileTrack } from '../../../../sim/index.ts';
import type { DrawnPoint } from '../../../../ui/web/drawing/drawn-points.ts';
import { writtenPoint } from '../../../../ui/web/drawing/drawn-points.ts';
import {
  bent,
  carriedSurfaces,
  gapSpread,
  inserted,
  moved,
  nextPlaceAfter,
  pickedRange,
  removed,
  reversed,
  scaled,
  straightened,
  surfaced,
} from '../../../../ui/web/drawing/point-edits.ts';
import { bentToRadius } from '../../../../ui/web/drawing/radius.ts';
import { radiiAt, saidStretches } from '../../../../ui/web/drawing/stretches-of.ts';
import { spaced, thinned } from '../../../../ui/web/drawing/stroke.ts';
import { setPoints, stretchesToPoints } from '../../../../ui/web/drawing/track-commands.ts';
import { fitted, toGround, toScreen, zoomedAt } from '../../../../ui/web/drawing/viewport.ts';
import { demoWith } from '../../../sim/demo-project.ts';

const at = (x: number, y: number, laid: Record<string, unknown> = {}): DrawnPoint => ({ x, y, laid });
const square = [at(0, 0), at(10, 0, { surface: 'clay' }), at(10, 10), at(0, 10, { surface: 'asphalt' })];

describe('points as they are written', () => {
  test('a course from a file, to the millimetre, stays as it is when another point moves', () => {
    expect(writtenPoint(at(12.345, -6.789, { bank: '2°' }))).toEqual({ x: 12.345, y: -6.789, bank: '2°' });
    expect(writtenPoint(at(1 / 3, -1e-9))).toEqual({ x: 0.333, y: 0 });
  });

  test.each([8, 15, 40])('2 m apart on a circle of %d m, rounding does not disturb the bend', (radius) => {
    const apart = 2;
    const count = Math.round((2 * Math.PI * radius) / apart);
    const { surface } = demoWith().tracks['tansy-hollow']!;
    for (const turned of [0.1, 0.37, 1.03]) {
      const points = Array.from({ length: count }, (_, i) => {
        const angle = turned + (2 * Math.PI * i) / count;
        return writtenPoint(at(radius * Math.cos(angle), radius * Math.sin(angle))) as Record<
          'x' | 'y',
          number
        >;
      });
      const spec = { name: 't', closed: true, surface, width: 6, points, sections: [], startSpeed: 0 };
      const { track } = compileTrack(spec, 't', 0.25);
      // Each coordinate off by up to half a millimetre: their second difference by 4 sqrt(2) times that at the most, and
      // the bends of a cubic spline by up to 3 times the second differences over h^2 (the matrix (1 4 1)/6 is diagonally
      // dominant: its inverse is at most 3). A circle through exact points is off by 0.6 % at the tightest.
      const disturbed = (3 * 4 * Math.SQRT2 * 0.0005) / (0.98 * apart) ** 2;
      for (let i = 0; i < track!.count; i++)
        expect(Math.abs(track!.curvature[i]! - 1 / radius)).toBeLessThan(disturbed + 0.006 / radius);
    }
  });
});

describe('points', () => {
  test('a step says what was done first, then on which track: another may be in view when it is undone', () => {
    const { label, apply } = setPoints('oval', 'The oval', 'point 2 moved', [at(1, 2), at(3, 4)]);
    expect(label).toBe('point 2 moved (The oval)');
    expect(apply({ tracks: { oval: { closed: true } } } as never)).toMatchObject({
      tracks: {
        oval: {
          closed: true,
          points: [
            { x: 1, y: 2 },
            { x: 3, y: 4 },
          ],
        },
      },
    });
  });

  test('moved, inserted and removed, with what is laid carried on', () => {
    expect(moved(square, 2, { x: 12, y: 11 })[2]).toEqual(at(12, 11));
    expect(inserted(square, 1, { x: 10, y: 5 }).map((p) => p.y)).toEqual([0, 0, 5, 10, 10]);
    const without = removed(square, 1, true);
    expect(carriedSurfaces(without, 'asphalt')).toEqual(['asphalt', 'clay', 'asphalt']);
    expect(removed(square.slice(0, 3), 1, true)).toHaveLength(3);
  });

  test('a point put in after the end of an open course goes on beyond it, everywhere else half way to the next', () => {
    expect(nextPlaceAfter(square, 3, false)).toEqual({ x: -5, y: 10 });
    expect(nextPlaceAfter(square, 3, true)).toEqual({ x: 0, y: 5 });
    expect(nextPlaceAfter(square, 1, false)).toEqual({ x: 10, y: 5 });
  });

  test('a range of an open course is the same in whichever order its ends are picked; round a closed one it is the other part', () => {
    expect(pickedRange(4, 1, false)).toEqual({ from: 1, to: 4 });
    expect(pickedRange(1, 4, false)).toEqual({ from: 1, to: 4 });
    expect(pickedRange(4, 1, true)).toEqual({ from: 4, to: 1 });
  });

  test('sharper and easier are each other’s opposite', () => {
    const there = bent(bent(square, 1, 1.3, true), 1, 1 / 1.3, true);
    expect(there[1]!.x).toBeCloseTo(10, 12);
    expect(bent(square, 0, 1.2, false)).toEqual(square);
  });

  test('straightened points lie on the chord, in order, round the start too', () => {
    const bowed = [at(0, 0), at(2, 3), at(5, -4), at(8, 2), at(10, 0)];
    const straight = straightened(bowed, 0, 4);
    expect(straight.map((p) => p.y)).toEqual([0, 0, 0, 0, 0]);
    const xs = straight.map((p) => p.x);
    expect(xs).toEqual([...xs].sort((a, b) => a - b));
    const round = straightened(square, 3, 1);
    expect(round[0]!.x).toBeCloseTo(5, 9);
    expect(round[0]!.y).toBeCloseTo(5, 9);
  });

  test('reversed twice is the same course: places, surfaces, sides', () => {
    for (const closed of [true, false]) {
      const sided = square.map((p, i) => ({
        ...p,
        laid: { ...p.laid, bank: `${i + 1}°`, widthLeft: i + 2, widthRight: 9 },
      }));
      const twice = reversed(reversed(sided, closed, 'asphalt'), closed, 'asphalt');
      expect(twice.map(({ x, y }) => [x, y])).toEqual(sided.map(({ x, y }) => [x, y]));
      const spans = closed ? 4 : 3;
      expect(carriedSurfaces(twice, 'asphalt').slice(0, spans)).toEqual(
        carriedSurfaces(sided, 'asphalt').slice(0, spans),
      );
      expect(twice.map((p) => [p.laid['bank'], p.laid['widthLeft'], p.laid['widthRight']])).toEqual(
        sided.map((p) => [p.laid['bank'], p.laid['widthLeft'], p.laid['widthRight']]),
      );
    }
    expect(reversed(square, true, 'asphalt').map(({ x, y }) => [x, y])).toEqual([
      [0, 0],
      [0, 10],
      [10, 10],
      [10, 0],
    ]);
  });

  test('a surface laid on a range leaves the rest as it was, from any point to any other', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 3 }), fc.integer({ min: 0, max: 3 }), (from, to) => {
        const before = carriedSurfaces(square, 'asphalt');
        const after = carriedSurfaces(surfaced(square, from, to, 'grass', 'asphalt'), 'asphalt');
        for (let i = 0; i < 4; i++) {
          const inside = from <= to ? i >= from && i < to : i >= from || i < to;
          expect(after[i]).toBe(inside ? 'grass' : before[i]);
        }
      }),
    );
  });

  test('scaling keeps the first point and every proportion', () => {
    const twice = scaled([at(3, 4), at(5, 4), at(5, 9)], 2);
    expect(twice.map(({ x, y }) => [x, y])).toEqual([
      [3, 4],
      [7, 4],
      [7, 14],
    ]);
  });

  test('a gap is spread over the course: the first point stays, the last falls on it and goes', () => {
    const open = [at(0, 0), at(10, 0), at(10, 10), at(0, 10), at(1, 2)];
    const { points, gap } = gapSpread(open);
    expect(gap).toBeCloseTo(Math.hypot(1, 2), 12);
    expect(points).toHaveLength(4);
    expect(points[0]).toEqual(at(0, 0));
    // The way to the second corner is 20 of about 38 m: it takes that share of the gap.
    const whole = 30 + Math.hypot(1, 8);
    expect(points[2]!.x).toBeCloseTo(10 - 20 / whole, 9);
  });

  test('a typed radius is the radius of the drawn curve there', () => {
    const project = demoWith();
    const spec = project.tracks['tansy-hollow']!;
    const points = spec.points!.map(({ x, y }) => at(x, y));
    const radiusOf = (tried: readonly DrawnPoint[], i: number): number => {
      const { track } = compileTrack({ ...spec, points: tried.map(({ x, y }) => ({ x, y })) }, 't', 5);
      return radiiAt(track!, [tried[i]!])[0]!;
    };
    let found = 0;
    for (const i of points.keys()) {
      for (const factor of [0.8, 1.25]) {
        const wanted = radiusOf(points, i) * factor;
        if (wanted > 200) continue;
        const next = bentToRadius(points, i, wanted, true, (tried) => radiusOf(tried, i));
        if (next === undefined) continue;
        found += 1;
        // Forty halvings of a step of 8 % leave 1e-13 of it; the file keeps centimetres, the search does not.
        expect(radiusOf(next, i)).toBeCloseTo(wanted, 5);
      }
    }
    expect(found).toBeGreaterThan(30);
  });
});

describe('strokes', () => {
  const stroke = fc.array(
    fc.record({
      x: fc.double({ min: -50, max: 50, noNaN: true }),
      y: fc.double({ min: -50, max: 50, noNaN: true }),
    }),
    { minLength: 2, maxLength: 80 },
  );

  test('what is left out strays no farther than allowed, the ends stay', () => {
    fc.assert(
      fc.property(stroke, fc.double({ min: 0.1, max: 5, noNaN: true }), (places, tolerance) => {
        const kept = thinned(places, tolerance);
        expect(kept[0]).toBe(places[0]);
        expect(kept.at(-1)).toBe(places.at(-1));
        let from = 0;
        for (const place of places) {
          if (from + 1 < kept.length && place === kept[from + 1]) from += 1;
          const [a, b] = [kept[Math.min(from, kept.length - 2)]!, kept[Math.min(from + 1, kept.length - 1)]!];
          const square = (b.x - a.x) ** 2 + (b.y - a.y) ** 2;
          const t =
            square === 0
              ? 0
              : Math.min(
                  1,
                  Math.max(0, ((place.x - a.x) * (b.x - a.x) + (place.y - a.y) * (b.y - a.y)) / square),
                );
          const stray = Math.hypot(place.x - a.x - t * (b.x - a.x), place.y - a.y - t * (b.y - a.y));
          expect(stray).toBeLessThanOrEqual(tolerance + 1e-9);
        }
      }),
      { seed: 3 },
    );
  });

  test('a still hand draws one point, the end is kept', () => {
    const still = Array.from({ length: 20 }, () => ({ x: 1, y: 1 }));
    expect(spaced(still, 0.5)).toHaveLength(1);
    expect(
      spaced(
        [
          { x: 0, y: 0 },
          { x: 2, y: 0 },
          { x: 2.1, y: 0 },
        ],
        0.5,
      ).at(-1),
    ).toEqual({ x: 2.1, y: 0 });
  });
});

describe('window', () => {
  const board = { width: 800, height: 500 };
  test('there and back is the same place, and zooming keeps the ground under the finger', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -500, max: 500, noNaN: true }),
        fc.double({ min: -500, max: 500, noNaN: true }),
        fc.double({ min: 0.2, max: 5, noNaN: true }),
        (x, y, factor) => {
          const view = fitted(
            [
              { x: -100, y: -50 },
              { x: 140, y: 90 },
            ],
            board,
          );
          const pixel = toScreen(view, board, { x, y });
          expect(toGround(view, board, pixel).x).toBeCloseTo(x, 8);
          const closer = zoomedAt(view, board, pixel, factor);
          expect(toScreen(closer, board, { x, y }).x).toBeCloseTo(pixel.x, 6);
          expect(toScreen(closer, board, { x, y }).y).toBeCloseTo(pixel.y, 6);
        },
      ),
    );
  });
});

describe('courses in words and in points', () => {
  test('the oval is two straights and two bends of 180 degrees', () => {
    const { track } = compileTrack(demoWith().tracks['oval']!, 't', 0.5);
    const said = saidStretches(track!);
    expect(said.map((s) => s.turn)).toEqual(['straight', 'left', 'straight', 'left']);
    expect(said[1]!.radius).toBeCloseTo(15, 6);
    // Trapezoids over stations half a metre apart, whole on arcs of constant curvature.
    expect((said[1]!.angle * 180) / Math.PI).toBeCloseTo(180, 6);
  });

  test('a course of stretches sampled into points keeps its length and its line', () => {
    for (const id of ['oval', 'circle', 'cinder-yard', 'fettlebrow', 'figure-eight']) {
      const spec = demoWith().tracks[id]!;
      const { track } = compileTrack(spec, 't', 0.5);
      const project = demoWith((raw) => {
        Object.assign(raw, stretchesToPoints(id, track!, spec).apply(raw));
      });
      const drawn = compileTrack(project.tracks[id]!, 't', 0.5).track!;
      // Cubics through points 0.28 R apart follow arcs within 1e-4; centimetres and jumps of grade cost the rest.
      expect(Math.abs(drawn.length / track!.length - 1)).toBeLessThan(0.001);
      expect(drawn.surfaces).toEqual(track!.surfaces);
    }
  });
});
