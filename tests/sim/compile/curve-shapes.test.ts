/** The drawn curve against shapes whose length, heading and curvature are known in closed form. */
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
  return compileTrack(project.tracks['t']!, 'tracks.t', spacing).track!;
};
type At = (t: number) => { x: number; y: number };
const sampled = (n: number, at: At) => Array.from({ length: n }, (_, i) => at((2 * Math.PI * i) / n));

/** Perimeter by the arithmetic-geometric mean (Abramowitz and Stegun 17.6): 2 pi (a^2 - sum 2^(n-1) c_n^2)/AGM. */
function ellipsePerimeter(a: number, b: number): number {
  let [p, q] = [a, b];
  let sum = (a * a + b * b) / 2;
  let power = 1;
  for (let n = 0; n < 30 && p !== q; n++) {
    const c = (p - q) / 2;
    [p, q] = [(p + q) / 2, Math.sqrt(p * q)];
    sum -= power * c * c;
    power *= 2;
  }
  return (2 * Math.PI * sum) / p;
}

describe('closed forms', () => {
  test('circle: length to 1e-6, curvature within h^2/12 of it, heading back to 1e-9', () => {
    const track = compile({
      closed: true,
      points: sampled(90, (t) => ({ x: 40 * Math.cos(t), y: 40 * Math.sin(t) })),
    });
    expect(Math.abs(track.length / (2 * Math.PI * 40) - 1)).toBeLessThan(1e-6);
    // A cubic spline's second derivative errs by h^2/12 of it, h = 2 pi/90.
    for (const k of track.curvature)
      expect(Math.abs(k * 40 - 1)).toBeLessThan((2 * Math.PI) ** 2 / 90 ** 2 / 11);
    expect(Math.abs(track.closure.turn)).toBeLessThan(1e-9);
  });

  test('ellipse: length to 1e-6 against the arithmetic-geometric mean, curvature at the four ends of its axes', () => {
    const [a, b] = [80, 30];
    const track = compile({
      closed: true,
      points: sampled(320, (t) => ({ x: a * Math.cos(t), y: b * Math.sin(t) })),
    });
    expect(Math.abs(track.length / ellipsePerimeter(a, b) - 1)).toBeLessThan(1e-6);
    const at = (x: number, y: number) => {
      let best = 0;
      for (let i = 0; i < track.count; i++)
        if (Math.hypot(track.x[i]! - x, track.y[i]! - y) < Math.hypot(track.x[best]! - x, track.y[best]! - y))
          best = i;
      return track.curvature[best]!;
    };
    // kappa = a/b^2 and b/a^2; a station half a spacing away from the sharp end is 0.06 % off, the spline's bend 0.1 %.
    for (const side of [1, -1]) {
      expect(Math.abs((at(side * a, 0) * b * b) / a - 1)).toBeLessThan(3e-3);
      expect(Math.abs((at(0, side * b) * a * a) / b - 1)).toBeLessThan(3e-3);
    }
    expect(Math.abs(track.closure.turn)).toBeLessThan(1e-9);
    expect(track.closure.gap).toBeLessThan(1e-9);
  });

  test('clothoid: length to 1e-6, and curvature grows evenly along it', () => {
    // x' = cos(s^2/(2 A^2)), y' = sin(...): kappa = s/A^2. Positions by Simpson's rule on 2,000 parts a point.
    const A = 40;
    const points = [{ x: 0, y: 0 }];
    const step = 1;
    for (let i = 0; i < 80; i++) {
      const f = (s: number) => [Math.cos((s * s) / (2 * A * A)), Math.sin((s * s) / (2 * A * A))] as const;
      let [dx, dy] = [0, 0];
      const parts = 2000;
      for (let k = 0; k <= parts; k++) {
        const w = k === 0 || k === parts ? 1 : k % 2 === 1 ? 4 : 2;
        const [c, s] = f((i + k / parts) * step);
        dx += (w * c * step) / (3 * parts);
        dy += (w * s * step) / (3 * parts);
      }
      const last = points.at(-1)!;
      points.push({ x: last.x + dx, y: last.y + dy });
    }
    const track = compile({ closed: false, points }, 0.25);
    expect(Math.abs(track.length / 80 - 1)).toBeLessThan(1e-6);
    for (let i = 0; i < track.count; i++) {
      const s = track.distance[i]!;
      // The far end is drawn with no curvature ("natural"): its effect falls by 3.7 a point, gone within 8.
      if (s < 70) expect(Math.abs(track.curvature[i]! - s / (A * A))).toBeLessThan(1e-4);
    }
  });

  test('a 10 km track is handled', () => {
    const points = sampled(800, (t) => {
      const r = 1500 + 90 * Math.sin(9 * t);
      return { x: r * Math.cos(t), y: r * Math.sin(t) };
    });
    const track = compile({ closed: true, points }, 0.5);
    expect(track.length).toBeGreaterThan(10_000);
    let polygon = 0;
    for (let i = 1; i < track.count; i++)
      polygon += Math.hypot(track.x[i]! - track.x[i - 1]!, track.y[i]! - track.y[i - 1]!);
    // A polygon of steps h on curvature k is short by (k h)^2/24: below 1e-7 here.
    expect(Math.abs(polygon / track.length - 1)).toBeLessThan(1e-6);
  });
});
