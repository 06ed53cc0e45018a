import { describe, expect, test } from 'vitest';
import { compileTrack } from '../../../sim/compile/track.ts';
import { readProjectValue } from '../../../sim/project/read.ts';

const compile = (track: object, spacing = 0.5) => {
  const { project, problems } = readProjectValue({
    kartwright: 1,
    surfaces: { road: { name: 'Road', kind: 'hard' } },
    tracks: { t: { name: 'T', surface: 'road', ...track } },
  });
  if (project === undefined) throw new Error(problems.map((p) => p.path + p.message).join());
  return compileTrack(project.tracks['t']!, 'tracks.t', spacing);
};
const codes = (track: object) => compile(track).problems.map((p) => p.code);
const ring = (n: number, r: number, cx = 0, cy = 0) =>
  Array.from({ length: n }, (_, i) => ({
    x: cx + r * Math.cos((2 * Math.PI * i) / n),
    y: cy + r * Math.sin((2 * Math.PI * i) / n),
  }));
const row = (...xy: readonly (readonly [number, number])[]) => xy.map(([x, y]) => ({ x, y }));

describe('widths', () => {
  test('a width lies evenly about the line; an edge by itself leaves the rest to the other', () => {
    const even = compile({ closed: true, width: 8, points: ring(12, 30) }).track!;
    expect([even.left[5], even.right[5], even.width[5]]).toEqual([4, 4, 8]);
    const one = compile({ closed: true, width: 8, widthLeft: 3, points: ring(12, 30) }).track!;
    expect([one.left[5], one.right[5]]).toEqual([3, 5]);
    const both = compile({ closed: true, widthLeft: 3, widthRight: 2, points: ring(12, 30) }).track!;
    expect([both.left[5], both.right[5], both.width[5]]).toEqual([3, 2, 5]);
  });

  test('edges vary from point to point and by section', () => {
    const points = row([0, 0], [50, 0], [100, 0]).map((p, i) => ({ ...p, widthLeft: 2 + i, widthRight: 4 }));
    const { track } = compile({
      closed: false,
      points,
      sections: [{ from: 80, to: 100, widthLeft: 1, widthRight: 1 }],
    });
    const at = (s: number) => track!.distance.findIndex((d) => d >= s);
    expect(track!.left[at(25)]).toBeCloseTo(2.5, 2);
    expect(track!.right[at(25)]).toBe(4);
    expect(track!.left[at(90)]).toBe(1);
    expect(track!.narrowest.width).toBe(2);
  });
});

describe('what to look at', () => {
  test('a plain loop draws no warning', () =>
    expect(codes({ closed: true, points: ring(12, 30) })).toEqual([]));

  test('a figure of eight may cross itself', () => {
    const points = Array.from({ length: 40 }, (_, i) => {
      const t = (2 * Math.PI * i) / 40;
      return { x: 60 * Math.sin(t), y: 30 * Math.sin(2 * t) };
    });
    expect(codes({ closed: true, width: 6, points })).toEqual([]);
  });

  test('two straights side by side on the same ground are told with both places', () => {
    const hairpin = row([0, 0], [30, 0], [60, 0], [90, 2], [96, 8], [90, 12], [60, 5], [30, 5], [0, 5]);
    const { problems } = compile({ closed: false, width: 6, points: hairpin });
    const overlap = problems.find((p) => p.code === 'overlap')!;
    expect(overlap.severity).toBe('warning');
    expect(overlap.message).toMatch(/m from the start \(x .*, y .*\) and \d+ m from the start/);
    expect(codes({ closed: false, width: 3, points: hairpin })).not.toContain('overlap');
    // Round a wide loop the legs part at its neck, at more than the angle of a crossing: on the same ground all the same.
    const turn = Math.PI - Math.asin(2 / 6);
    const loop = Array.from({ length: 11 }, (_, k) => -turn + (2 * turn * (k + 1)) / 12).map(
      (angle) => [86 + 6 * Math.cos(angle), 2 + 6 * Math.sin(angle)] as const,
    );
    const legs = Array.from({ length: 9 }, (_, k) => 10 * k - 10);
    const bulb = row(
      ...legs.map((x) => [x, 0] as const),
      ...loop,
      ...legs.toReversed().map((x) => [x, 4] as const),
    );
    expect(codes({ closed: false, width: 6, points: bulb })).toContain('overlap');
    expect(codes({ closed: false, width: 3, points: bulb })).not.toContain('overlap');
  });

  test('one above the other is a bridge', () => {
    const hairpin = row([0, 0], [30, 0], [60, 0], [90, 2], [96, 8], [90, 12], [60, 5], [30, 5], [0, 5]).map(
      (p, i) => ({
        ...p,
        height: i,
      }),
    );
    const { problems } = compile({ closed: false, width: 6, points: hairpin });
    expect(problems.filter((p) => p.code === 'overlap').length).toBe(0);
  });

  test('a kink is told with its place', () => {
    const { problems } = compile({
      closed: false,
      points: row([0, 0], [20, 0], [20.6, 0.3], [20, 0.8], [0, 10]),
    });
    const kink = problems.find((p) => p.code === 'kink')!;
    expect(kink.message).toMatch(/a kink 2\d m from the start \(x 2\d/);
  });

  test('a bend tighter than its inner edge is told', () => {
    expect(codes({ closed: true, width: 14, points: ring(12, 6) })).toContain('inner-edge-folds');
    expect(codes({ closed: true, width: 11, points: ring(12, 6) })).not.toContain('inner-edge-folds');
  });
});

describe('smoothing', () => {
  // Noise of a fixed seed (Park and Miller's generator), up to 0.4 m each way.
  let seed = 7;
  const noise = () => {
    seed = (seed * 16_807) % 2_147_483_647;
    return 0.8 * (seed / 2_147_483_647 - 0.5);
  };
  const noisy = ring(120, 50).map((p) => ({ x: p.x + noise(), y: p.y + noise() }));

  test('moves no point farther than it says, says so, and finds the circle again', () => {
    const { track, problems } = compile({ closed: true, points: noisy, smooth: 0.5 });
    const report = problems.find((p) => p.code === 'smoothed')!;
    expect(report.value).toMatch(/point \d+ most: 0\.[345]\d m/);
    const rough = compile({ closed: true, points: noisy }).track!;
    const spread = (t: typeof rough) =>
      Math.sqrt(t.curvature.reduce((sum, k) => sum + (k * 50 - 1) ** 2, 0) / t.count);
    // Noise of 0.23 m (one standard deviation) on chords of 2.6 m bends a raw curve by several times the circle's own.
    expect(spread(rough)).toBeGreaterThan(2);
    expect(spread(track!)).toBeLessThan(0.15);
    expect(Math.abs(track!.length / (2 * Math.PI * 50) - 1)).toBeLessThan(0.005);
  });

  test('a smooth circle keeps its radius within the tolerance', () => {
    const { track } = compile({ closed: true, points: ring(60, 50), smooth: 0.05 });
    expect(Math.abs(track!.length / (2 * Math.PI * 50) - 1)).toBeLessThan(0.0501 / 50);
  });
});
