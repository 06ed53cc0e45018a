/** From places in a file to control points: laps cut, ends brought together, nothing moved farther than stated. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { guessEnds, withEnds } from '../../../../../ui/web/exchange/track-files/course-ends.ts';
import type { FilePlace } from '../../../../../ui/web/exchange/track-files/course-file.ts';
import { fitCourse, MOST_WORKED } from '../../../../../ui/web/exchange/track-files/fit-course.ts';
import { lapsIn, likeliestLap } from '../../../../../ui/web/exchange/track-files/laps.ts';
import { placeInNote, placeNote } from '../../../../../ui/web/exchange/track-files/place-note.ts';

/** A bean of about 500 m, as a share of the way round. */
const bean = (share: number): { x: number; y: number } => {
  const angle = 2 * Math.PI * share;
  const r = 70 + 18 * Math.cos(2 * angle) + 8 * Math.sin(3 * angle);
  return { x: r * Math.cos(angle), y: r * Math.sin(angle) };
};

/** Jitter that neighbours share, as a receiver's errors do; seeded. */
function recording(laps: number, perLap: number, error: number): FilePlace[] {
  let seed = 7;
  const random = (): number => {
    seed = (seed * 48271) % 2147483647;
    return seed / 2147483647 - 0.5;
  };
  let [ex, ey] = [0, 0];
  return Array.from({ length: Math.round(laps * perLap) + 1 }, (_, i) => {
    ex = 0.95 * ex + error * random();
    ey = 0.95 * ey + error * random();
    const { x, y } = bean(i / perLap);
    return { x: x + ex, y: y + ey, height: 100 + 4 * random(), time: i / 2 };
  });
}

describe('laps', () => {
  it('a recording of four laps and a bit is cut at one line; the lengths are those of the course', () => {
    const one = recording(1, 2000, 0);
    const length = one.slice(1).reduce((sum, p, i) => sum + Math.hypot(p.x - one[i]!.x, p.y - one[i]!.y), 0);
    const approach = Array.from({ length: 20 }, (_, i) => ({ x: 200 - 5 * i, y: -60 + 3 * i }));
    const laps = lapsIn([...approach, ...recording(4.3, 97, 0.6)]);
    expect(laps).toHaveLength(4);
    // 97 places a lap cut corners by less than 1 %; the jitter of 0.6 m every 5 m adds about as much.
    for (const lap of laps) expect(Math.abs(lap.length / length - 1)).toBeLessThan(0.03);
    for (const lap of laps) expect(lap.time).toBeCloseTo(97 / 2, -0.5);
    const best = laps[likeliestLap(laps)]!;
    const { gap } = guessEnds(best.places, 5, false);
    // Both ends lie on the line: what is between them is error, not way.
    expect(gap).toBeLessThan(6);
  });

  it('one lap, a figure eight, a hillclimb are not cut', () => {
    expect(lapsIn(recording(1, 100, 0))).toEqual([]);
    expect(lapsIn(Array.from({ length: 300 }, (_, i) => ({ x: i, y: 20 * Math.sin(i / 15) })))).toEqual([]);
    const eight = Array.from({ length: 201 }, (_, i) => {
      const a = (2 * Math.PI * i) / 200;
      return { x: 80 * Math.sin(a), y: 40 * Math.sin(2 * a) };
    });
    expect(lapsIn(eight)).toEqual([]);
  });
});

describe('ends', () => {
  const ring = (from: number, to: number, n = 100): FilePlace[] =>
    Array.from({ length: n }, (_, i) => bean(from + ((to - from) * i) / (n - 1)));
  it('are guessed by the gap and where it points', () => {
    expect(guessEnds(ring(0, 1), 5, false)).toMatchObject({ guess: 'joined' });
    expect(guessEnds(ring(0, 0.99), 5, false)).toMatchObject({ guess: 'joined' });
    expect(guessEnds(ring(0, 1.015), 5, false)).toMatchObject({ guess: 'spread' });
    expect(guessEnds(ring(0, 0.7), 5, false)).toMatchObject({ guess: 'open' });
    // Three places do not close, but their ends are apart as they are.
    const bend = [
      { x: 0, y: 0 },
      { x: 100, y: 0 },
      { x: 100, y: 50 },
    ];
    expect(guessEnds(bend, 50, false)).toEqual({ gap: Math.hypot(100, 50), guess: 'open' });
    expect(guessEnds(ring(0, 0.7), 5, true)).toMatchObject({ guess: 'joined' });
  });

  it('spreading closes the gap and moves nothing farther than the gap', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.9, max: 1.05, noNaN: true }), (to) => {
        const places = ring(0, to);
        const { gap } = guessEnds(places, 5, false);
        const closed = withEnds(places, 'spread');
        for (const [i, { x, y }] of closed.entries())
          expect(Math.hypot(x - places[i]!.x, y - places[i]!.y)).toBeLessThanOrEqual(gap + 1e-9);
      }),
    );
  });
});

describe('fewer points within a stated tolerance', () => {
  it('no place of the file lies farther from the course than stated, recording or not', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(0.01, 0.05, 0.2, 1, 3),
        fc.boolean(),
        fc.boolean(),
        fc.double({ min: 0, max: 0.6, noNaN: true }),
        (tolerance, calm, closed, error) => {
          const places = recording(closed ? 0.99 : 0.8, 150, error);
          const { points, line, moved } = fitCourse(places, { closed, tolerance, calm, heights: false })!;
          expect(moved).toBeLessThanOrEqual(tolerance);
          expect(points.length).toBeLessThanOrEqual(places.length);
          for (const place of places) {
            let least = Number.POSITIVE_INFINITY;
            for (let j = 0; j < line.x.length; j++)
              least = Math.min(least, Math.hypot(line.x[j]! - place.x, line.y[j]! - place.y));
            // Half a step of 0.2 m beside the nearest station, at worst: sqrt(t² + 0.1²).
            expect(least).toBeLessThanOrEqual(Math.hypot(tolerance, 0.1) + 1e-9);
          }
        },
      ),
      { numRuns: 25 },
    );
  });

  it('calming takes the jitter out: shorter, rounder, heights within the averages', () => {
    const places = recording(0.99, 150, 0.8);
    const flat = { closed: true, tolerance: 1, heights: false };
    const raw = fitCourse(places, { ...flat, tolerance: 0, calm: false })!;
    const smooth = fitCourse(places, { ...flat, calm: true })!;
    const exact = fitCourse(recording(0.99, 150, 0), { ...flat, tolerance: 0, calm: false })!;
    expect(Math.abs(smooth.length - exact.length)).toBeLessThan(0.5 * Math.abs(raw.length - exact.length));
    const calm = fitCourse(places, { ...flat, heights: true, calm: true })!;
    const heights = calm.points.map(({ height = 0 }) => height);
    // Means of some ten values spread over 4 m: a standard deviation of 0.4 m, three of them.
    expect(Math.max(...heights) - Math.min(...heights)).toBeLessThan(2.4);
  });

  it('a tolerance of nothing keeps every place; too many are thinned first, and it is said', () => {
    const few = recording(0.99, 60, 0);
    expect(fitCourse(few, { closed: true, tolerance: 0, calm: false, heights: false })!.points).toEqual(few);
    const many = recording(0.99, 30_000, 0);
    const started = performance.now();
    const fitted = fitCourse(many, { closed: true, tolerance: 0.05, calm: false, heights: false })!;
    expect(fitted.crowded).toBeGreaterThan(many.length - MOST_WORKED - 1);
    expect(fitted.points.length).toBeLessThan(200);
    // Bounded work: seconds would be a page that hangs.
    expect(performance.now() - started).toBeLessThan(5000);
  });
});

it('the place in a note is the one written there', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -90, max: 90, noNaN: true }),
      fc.double({ min: -180, max: 180, noNaN: true }),
      (latitude, longitude) => {
        const found = placeInNote(`From somewhere. ${placeNote({ latitude, longitude })} And on.`)!;
        // Six decimals are written.
        expect(Math.abs(found.latitude - latitude)).toBeLessThan(5.1e-7);
        expect(Math.abs(found.longitude - longitude)).toBeLessThan(5.1e-7);
      },
    ),
  );
  expect(placeInNote('Starts at 95.0° N, 1.0° E.')).toBeUndefined();
  expect(placeInNote(undefined)).toBeUndefined();
});
