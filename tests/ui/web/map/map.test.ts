/** The map's arithmetic: fit, strands, places, labels. */
import { describe, expect, test } from 'vitest';
import type { LapResult } from '../../../../sim/index.ts';
import { compileTrack, perform } from '../../../../sim/index.ts';
import { readDemo } from '../../../../ui/demo/demo-project.ts';
import { fitTrack, nearestPoint } from '../../../../ui/web/map/fit.ts';
import { layLabels } from '../../../../ui/web/map/label-layout.ts';
import { groundOutline, linePath, stationsShown } from '../../../../ui/web/map/outline.ts';
import { placeLabels, turningPoints } from '../../../../ui/web/map/places.ts';
import { strandPaths, strandsOf } from '../../../../ui/web/map/strands.ts';

const project = readDemo().project!;
const lapOn = (track: string) =>
  perform(project, { verb: 'lap', kart: 'clodlet-four-knobbly', day: 'mild', track }).result as LapResult;
const lap = lapOn('tansy-hollow');
const size = { width: 480, height: 400 };
const fitted = fitTrack(lap.columns.x, lap.columns.y, size, 36);

test('the track fits the picture, keeps its shape, north up', () => {
  for (const [values, most] of [
    [fitted.x, size.width],
    [fitted.y, size.height],
  ] as const) {
    expect(Math.min(...values)).toBeGreaterThanOrEqual(36 - 1e-9);
    expect(Math.max(...values)).toBeLessThanOrEqual(most - 36 + 1e-9);
  }
  const metres = Math.hypot(lap.columns.x[40]! - lap.columns.x[0]!, lap.columns.y[40]! - lap.columns.y[0]!);
  const pixels = Math.hypot(fitted.x[40]! - fitted.x[0]!, fitted.y[40]! - fitted.y[0]!);
  expect(pixels).toBeCloseTo(metres * fitted.scale, 9);
  const north = fitTrack([0, 0], [0, 10], size, 36);
  expect(north.y[1]!).toBeLessThan(north.y[0]!);
  expect(nearestPoint(fitted, fitted.x[123]! + 0.01, fitted.y[123]!)).toBeGreaterThanOrEqual(122);
});

test('the ground reaches as far to each side as its edges lie, left of the way up the left edge', () => {
  // Due east, north up: left is up the picture, where y is smaller.
  const east = { x: Float64Array.of(0, 100, 200), y: Float64Array.of(50, 50, 50), scale: 10 };
  const edges = { left: [1, 2, 1], right: [3, 3, 5] };
  expect(groundOutline(east, edges, [0, 1, 2])).toBe(
    'M0.0 40.0L100.0 30.0L200.0 40.0L200.0 100.0L100.0 80.0L0.0 80.0Z',
  );
  // Too thin to be seen it is drawn 12 px wide, with the line where it lies between the edges.
  const far = { ...east, scale: 1 };
  expect(groundOutline(far, { left: [1, 1, 1], right: [3, 3, 3] }, [0, 2])).toBe(
    'M0.0 47.0L200.0 47.0L200.0 59.0L0.0 59.0Z',
  );
});

describe('the course in fewer points', () => {
  const road = compileTrack(project.tracks['tansy-hollow']!, 'tansy-hollow', 0.5).track!;
  const every = Array.from({ length: road.count }, (_, i) => i);
  const pointsOf = (path: string): number[][] =>
    path
      .slice(1, -1)
      .split('L')
      .map((xy) => xy.split(' ').map(Number));
  const farthest = (points: number[][], line: number[][]): number =>
    Math.max(
      ...points.map(([x, y]) =>
        Math.min(
          ...line.slice(1).map(([bx, by], i) => {
            const [ax, ay] = line[i]!;
            const [dx, dy] = [bx! - ax!, by! - ay!];
            const t = Math.min(
              1,
              Math.max(0, ((x! - ax!) * dx + (y! - ay!) * dy) / (dx * dx + dy * dy || 1)),
            );
            return Math.hypot(x! - ax! - t * dx, y! - ay! - t * dy);
          }),
        ),
      ),
    );

  // Small, as large as a screen, and looked at closely.
  test.each([200, 1000, 4000])('at %i px no point of it moves by more than is seen', (wide) => {
    const drawn = fitTrack(road.x, road.y, { width: wide, height: wide }, 10);
    const few = stationsShown(drawn, road, 0, road.count - 1);
    expect(few.length).toBeLessThan(wide < 2000 ? road.count / 2 : road.count + 1);
    expect(few[0]).toBe(0);
    expect(few.at(-1)).toBe(road.count - 1);
    // 0.1 px for the chord, and for the tenths of either path 0.05 px each way.
    for (const path of [
      (stations: readonly number[]) => linePath(drawn, stations, true),
      (stations: readonly number[]) => groundOutline(drawn, road, stations),
    ])
      expect(farthest(pointsOf(path(every)), pointsOf(path(few)))).toBeLessThan(0.1 + 2 * 0.05 * Math.SQRT2);
  });

  test('both stations are kept where the ground changes at one place', () => {
    const x = Float64Array.of(0, 1, 2, 2, 3, 4);
    const drawn = { x, y: new Float64Array(6), scale: 1 };
    const edges = { left: [1, 1, 1, 9, 9, 9], right: [1, 1, 1, 9, 9, 9] };
    expect(stationsShown(drawn, edges, 0, 5)).toEqual([0, 2, 3, 5]);
    expect(stationsShown(drawn, edges, 1, 1)).toEqual([1]);
  });

  test('tenths of a pixel, left of and above the picture too', () => {
    const drawn = {
      x: Float64Array.of(-0.04, -0.26, 12.96, 1e12),
      y: Float64Array.of(-3.14, 0, 7, 2),
      scale: 1,
    };
    expect(linePath(drawn, [0, 1, 2, 3], false)).toBe('M0.0 -3.1L-0.3 0.0L13.0 7.0L1000000000000.0 2.0');
  });
});

describe('strands', () => {
  test('every station lies in the band that names its speed', () => {
    const { strands, of } = strandsOf(lap, 'speed', 'km/h');
    for (const [i, v] of lap.columns.speed.entries()) {
      const word = strands[of[i]!]!.word;
      const [from, to] = /^(\d+) to (\d+)/.exec(word)?.slice(1).map(Number) ?? [
        Number.parseFloat(word),
        1000,
      ];
      expect(v * 3.6).toBeGreaterThanOrEqual(from! - 1e-6);
      expect(v * 3.6).toBeLessThanOrEqual(to! + 1e-6);
    }
    // Not by colour alone: each band has a weight of its own.
    expect(new Set(strands.map((s) => s.weight)).size).toBe(strands.length);
  });

  test('limits differ by colour and dash together', () => {
    const { strands } = strandsOf(lap, 'limit', 'km/h');
    expect(new Set(strands.map((s) => `${s.colour}|${s.dash}`)).size).toBe(strands.length);
  });

  test('the pieces put together are the whole closed line, thinned and without a gap', () => {
    const strands = strandsOf(lap, 'gear', 'km/h');
    const pieces = strandPaths(strands, fitted, true).flatMap((path) =>
      path.split('M').filter((p) => p !== ''),
    );
    const ends = pieces.map((piece) => ({ from: piece.split('L')[0], to: piece.split('L').at(-1) }));
    // Each piece begins where another ends: round a closed line every end is a beginning.
    expect(new Set(ends.map((e) => e.from))).toEqual(new Set(ends.map((e) => e.to)));
    const length = (points: number[][]): number =>
      points
        .slice(1)
        .reduce((sum, [x, y], i) => sum + Math.hypot(x! - points[i]![0]!, y! - points[i]![1]!), 0);
    const drawn = pieces.reduce(
      (sum, p) => sum + length(p.split('L').map((xy) => xy.split(' ').map(Number))),
      0,
    );
    const whole = length([...fitted.x].map((x, i) => [x, fitted.y[i]!]));
    // Chords of about 1 m in bends of 5 m and more are short by under 0.2 % (1 - sin a / a with a = 0.1).
    expect(Math.abs(drawn / whole - 1)).toBeLessThan(0.005);
  });
});

describe('places', () => {
  test('turning points alternate and stand out', () => {
    const found = turningPoints([5, 9, 8.9, 9.1, 2, 2.1, 1.9, 7, 3], 1.5);
    expect(found.map((p) => [p.at, p.kind])).toEqual([
      [3, 'high'],
      [6, 'low'],
      [7, 'high'],
    ]);
    expect(turningPoints([1, 1, 1], 0.5)).toEqual([]);
  });

  test('the slowest place is labelled with its speed', () => {
    const labels = placeLabels(lap, 'speed', 'km/h', true);
    expect(labels.map((l) => l.text)).toContain((lap.lowestSpeed * 3.6).toFixed(0));
    expect(placeLabels(lapOn('fettlebrow'), 'speed', 'km/h', false).map((l) => l.text)).toContain('finish');
  });

  test.each(['tansy-hollow', 'brindlequag-works', 'figure-eight', 'fettlebrow'])(
    'labels on %s cover neither the line nor one another and stay in the picture',
    (track) => {
      const here = lapOn(track);
      const line = fitTrack(here.columns.x, here.columns.y, size, 36);
      const laid = layLabels(placeLabels(here, 'speed', 'km/h', true), line, size);
      expect(laid.length).toBeGreaterThan(3);
      for (const [i, a] of laid.entries()) {
        expect(a.x > 0 && a.x < size.width && a.y > 0 && a.y < size.height).toBe(true);
        for (const b of laid.slice(i + 1))
          expect(Math.abs(a.x - b.x) > 10 || Math.abs(a.y - b.y) > 12).toBe(true);
        // 6 px: the line is at most 7 px thick, so that half of it and a little air stay free.
        const nearest = nearestPoint(line, a.x, a.y);
        expect(Math.hypot(line.x[nearest]! - a.x, line.y[nearest]! - a.y)).toBeGreaterThan(6);
      }
    },
  );
});
