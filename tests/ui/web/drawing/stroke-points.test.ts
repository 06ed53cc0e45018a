/** Freehand strokes: the course that comes of one runs where the hand ran, as round as it was drawn, in few points. */
import { describe, expect, test } from 'vitest';
import type { CompiledTrack } from '../../../../sim/index.ts';
import { compileTrack } from '../../../../sim/index.ts';
import { writtenPoint } from '../../../../ui/web/drawing/drawn-points.ts';
import type { Place } from '../../../../ui/web/drawing/point-edits.ts';
import { comesBack, ringPoints, strokePoints } from '../../../../ui/web/drawing/stroke-points.ts';
import { demoWith } from '../../../sim/demo-project.ts';

/** Length, m, and curvature, 1/m: exact straights and arcs end to end. */
type Piece = readonly [number, number];

const straight = (length: number): Piece => [length, 0];
const arc = (radius: number, degrees: number): Piece => [
  (Math.abs(radius) * degrees * Math.PI) / 180,
  1 / radius,
];

/** Between 0 and 1: Mulberry32, so that a failing case can be run again by its number. */
function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Places of a hand that follows the pieces, a reading every `step` metres, each off by up to `tremble` either way. */
function drawnBy(pieces: readonly Piece[], step: number, tremble = 0, seed = 1): Place[] {
  const random = seeded(seed);
  const off = (): number => tremble * (2 * random() - 1);
  const places: Place[] = [];
  let [x, y, heading, since] = [0, 0, 0, step];
  for (const [length, curvature] of pieces) {
    const count = Math.ceil(length / 0.05);
    for (let i = 0; i < count; i++) {
      if (since >= step) {
        places.push({ x: x + off(), y: y + off() });
        since -= step;
      }
      const way = length / count;
      const middle = heading + (curvature * way) / 2;
      [x, y, heading, since] = [
        x + way * Math.cos(middle),
        y + way * Math.sin(middle),
        heading + curvature * way,
        since + way,
      ];
    }
  }
  return places;
}

function specOf(points: readonly Place[], closed: boolean) {
  const { surface } = demoWith().tracks['tansy-hollow']!;
  const written = points.map((p) => writtenPoint({ ...p, laid: {} }) as Record<'x' | 'y', number>);
  return { name: 't', closed, surface, width: 6, points: written, sections: [], startSpeed: 0 };
}

function courseOf(points: readonly Place[], closed: boolean): CompiledTrack {
  return compileTrack(specOf(points, closed), 't', 0.5).track!;
}

/** Greatest distance of places from a line. */
function farthest(places: readonly Place[], line: readonly Place[]): number {
  return Math.max(
    ...places.map((p) => {
      let least = Number.POSITIVE_INFINITY;
      for (let i = 0; i + 1 < line.length; i++) {
        const [a, b] = [line[i]!, line[i + 1]!];
        const [dx, dy] = [b.x - a.x, b.y - a.y];
        const square = dx * dx + dy * dy;
        const t = square === 0 ? 0 : Math.max(0, Math.min(1, ((p.x - a.x) * dx + (p.y - a.y) * dy) / square));
        least = Math.min(least, (p.x - a.x - t * dx) ** 2 + (p.y - a.y - t * dy) ** 2);
      }
      return Math.sqrt(least);
    }),
  );
}

const columns = ({ x, y, closed }: CompiledTrack): Place[] => {
  const places = Array.from(x, (east, i) => ({ x: east, y: y[i]! }));
  return closed ? [...places, places[0]!] : places;
};

const rounded = (long: number, short: number, radius: number): Piece[] => [
  straight(long / 2),
  arc(radius, 90),
  straight(short),
  arc(radius, 90),
  straight(long),
  arc(radius, 90),
  straight(short),
  arc(radius, 90),
  straight(long / 2),
];

/** What is drawn, its tightest radius, and how many metres a pixel of the board is: smaller things are drawn from nearer. */
const DRAWN = [
  ['a rounded rectangle', rounded(120, 40, 12), true, 12, 0.4],
  ['a long rounded rectangle', rounded(240, 100, 12), true, 12, 0.4],
  ['an oval', [straight(40), arc(20, 180), straight(80), arc(20, 180), straight(40)], true, 20, 0.4],
  [
    'an hourglass',
    [straight(20), arc(15, 225), straight(60), arc(-15, 270), straight(60), arc(15, 45)],
    false,
    15,
    0.4,
  ],
  ['a hairpin, straights 5 m apart', [straight(60), arc(2.5, 180), straight(60)], false, 2.5, 0.1],
] as const;

describe('a course drawn freehand', () => {
  // Readings as a slow and as a quick hand leaves them, px apart.
  for (const [name, pieces, closed, radius, pixel] of DRAWN)
    for (const [tremble, apart] of [
      [0, 2.5],
      [0, 8],
      [1, 2.5],
      [1, 6],
    ] as const)
      test(`${name}, ±${tremble} px, read every ${apart} px: as drawn, as round, in few points`, () => {
        const hand = drawnBy(pieces, 0.2);
        const line = closed ? [...hand, hand[0]!] : hand;
        for (const seed of tremble === 0 ? [1] : [1, 2, 3, 4]) {
          const stroke = drawnBy(pieces, apart * pixel, tremble * pixel, seed);
          const points = closed ? ringPoints(stroke, pixel) : strokePoints(stroke, pixel);
          const course = courseOf(points, closed);
          const allowed = Math.max(0.3, 1.5 * pixel) + tremble * pixel;
          expect(farthest(columns(course), line)).toBeLessThan(allowed);
          // The hand's last reading lies up to one step before the end, and the course begins and ends by a tremble.
          expect(farthest(drawnBy(pieces, apart * pixel), columns(course))).toBeLessThan(allowed);
          const tightest = 1 / Math.max(...course.curvature.map(Math.abs));
          expect(tightest).toBeGreaterThan(0.6 * radius);
          // Handy: one per 6 m, where the bends are not so tight that a point every 0.6 radii is more.
          expect(course.length / points.length).toBeGreaterThan(Math.min(6, 1.6 * radius));
          const problems = compileTrack({ ...specOf(points, closed), width: 4 }, 't', 0.5).problems;
          expect(problems.filter(({ code }) => code === 'overlap')).toEqual([]);
        }
      });

  test('a stroke that goes on over its beginning, or comes back beside it, keeps its sides where they were drawn', () => {
    const pixel = 0.4;
    const pieces = rounded(120, 40, 12);
    const hand = drawnBy(pieces, 0.2);
    for (const over of [-8, 6]) {
      // 8 m short of where it began, or 6 m on past it.
      const drawn = over < 0 ? drawnBy(pieces, 1).slice(0, over) : drawnBy([...pieces, straight(over)], 1);
      for (const beside of [0, 3]) {
        // Beside its beginning by degrees: over the last 60 m.
        const stroke = drawn.map(({ x, y }, i) => {
          const t = Math.max(0, 1 - (drawn.length - 1 - i) / 60);
          return { x, y: y + beside * t * t * (3 - 2 * t) };
        });
        expect(comesBack(stroke, 24 * pixel)).toBe(true);
        const course = courseOf(ringPoints(stroke, pixel), true);
        const far = columns(course).filter(({ y }) => y > 5);
        expect(farthest(far, [...hand, hand[0]!])).toBeLessThan(0.6);
        expect(farthest(columns(course), [...hand, hand[0]!])).toBeLessThan(0.6 + beside);
        expect(1 / Math.max(...course.curvature.map(Math.abs))).toBeGreaterThan(0.6 * 12);
      }
    }
  });

  test('a stroke drawn on from the end of a course goes on from its last point, and back to its first', () => {
    const [pixel, radius] = [0.4, 20];
    const ring = [straight(80), arc(radius, 180), straight(80), arc(radius, 180)];
    const now = [0, 20, 40].map((x) => ({ x, y: 0 }));
    const rest = drawnBy(ring, 1).filter((_, i) => i > 42);
    const more = strokePoints(rest, pixel, now.at(-1), { first: now[0]!, next: now[1]! });
    const course = courseOf([...now, ...more], true);
    expect(farthest(columns(course), drawnBy([...ring, straight(1)], 0.2))).toBeLessThan(0.6);
    expect(1 / Math.max(...course.curvature.map(Math.abs))).toBeGreaterThan(0.6 * radius);
  });

  test('a still hand and two places are what they are', () => {
    expect(strokePoints([{ x: 1, y: 1 }], 0.4)).toEqual([{ x: 1, y: 1 }]);
    const two = [
      { x: 0, y: 0 },
      { x: 9, y: 0 },
    ];
    expect(strokePoints(two, 0.4)).toEqual(two);
    expect(comesBack(two, 10)).toBe(false);
  });
});
