import { describe, expect, test } from 'vitest';
import { compileTrack } from '../../../sim/compile/track.ts';
import { readProjectValue } from '../../../sim/project/read.ts';

const spec = (track: object) => {
  const { project, problems } = readProjectValue({
    kartwright: 1,
    surfaces: { road: { name: 'Road', kind: 'hard' }, dirt: { name: 'Dirt', kind: 'loose' } },
    tracks: { t: { name: 'T', surface: 'road', ...track } },
  });
  if (project === undefined) throw new Error(problems.map((p) => p.path + p.message).join());
  return project.tracks['t']!;
};
const compile = (track: object, spacing = 0.5) => compileTrack(spec(track), 'tracks.t', spacing).track!;

const ring = (n: number, r: number) =>
  Array.from({ length: n }, (_, i) => ({
    x: r * Math.cos((2 * Math.PI * i) / n),
    y: r * Math.sin((2 * Math.PI * i) / n),
  }));

describe('points', () => {
  test('points of a circle give its length, radius and curvature; the error falls with the fourth power', () => {
    const error = (n: number) =>
      Math.abs(compile({ closed: true, points: ring(n, 30) }).length - 2 * Math.PI * 30);
    expect(error(12) / error(24)).toBeGreaterThan(12);
    const track = compile({ closed: true, points: ring(24, 30) });
    // Spline curvature errs with h^2: (2 pi/24)^2/12 is 0.6 %.
    for (const k of track.curvature) expect(Math.abs(k * 30 - 1)).toBeLessThan(0.006);
    expect(track.tightest.radius).toBeGreaterThan(29.8);
  });

  test('arc length adds up to 1e-6 and the heading comes back to 1e-9', () => {
    const coarse = compile({ closed: true, points: ring(7, 30) }, 0.5);
    let polygon = 0;
    const fine = compile({ closed: true, points: ring(7, 30) }, 0.01);
    for (let i = 1; i < fine.count; i++)
      polygon += Math.hypot(fine.x[i]! - fine.x[i - 1]!, fine.y[i]! - fine.y[i - 1]!);
    // A polygon of steps h on curvature k is short by (k h)^2/24: 5e-9.
    expect(polygon / coarse.length).toBeCloseTo(1, 7);
    expect(Math.abs(coarse.closure.turn)).toBeLessThan(1e-9);
    expect(coarse.closure.gap).toBeLessThan(1e-9);
  });

  test('stations lie evenly and curvature is continuous', () => {
    const track = compile(
      {
        closed: false,
        points: [
          { x: 0, y: 0 },
          { x: 30, y: 5 },
          { x: 50, y: 30 },
          { x: 90, y: 30 },
        ],
      },
      0.25,
    );
    for (let i = 1; i < track.count; i++) {
      expect(track.distance[i]! - track.distance[i - 1]!).toBeLessThanOrEqual(0.25 + 1e-9);
      expect(Math.abs(track.curvature[i]! - track.curvature[i - 1]!)).toBeLessThan(0.002);
    }
  });

  test('heights give grade and vertical curvature: a parabola in closed form', () => {
    const points = Array.from({ length: 41 }, (_, i) => ({
      x: 5 * i,
      y: 0,
      height: 0.0005 * (5 * i - 100) ** 2,
    }));
    const track = compile({ closed: false, points });
    const middle = track.distance.findIndex((s) => s > track.length / 2);
    const x = track.x[middle]!;
    expect(Math.tan(Math.asin(track.sinGrade[middle]!))).toBeCloseTo(0.001 * (x - 100), 5);
    // d(slope)/ds = z''/(1 + z'^2)^1.5 = 0.001 at the bottom; natural ends disturb it by 1e-6 there.
    expect(track.normalV[middle]!).toBeCloseTo(0.001, 5);
    expect(track.length).toBeGreaterThan(200);
  });

  test('a surface change inside the lap makes two stations at one place', () => {
    const points = ring(12, 30).map((p, i) =>
      i === 3 ? { ...p, surface: 'dirt' } : i === 8 ? { ...p, surface: 'road' } : p,
    );
    const track = compile({ closed: true, points });
    const doubled = Array.from({ length: track.count - 1 }, (_, i) => i).filter(
      (i) => track.distance[i + 1] === track.distance[i],
    );
    expect(doubled.length).toBe(2);
    expect(track.surfaces[track.surface[doubled[0]!]!]).toBe('road');
    expect(track.surfaces[track.surface[doubled[0]! + 1]!]).toBe('dirt');
  });
});

describe('stretches', () => {
  const oval = {
    closed: true,
    stretches: [
      { straight: 60 },
      { turn: 'left', angle: '180 deg', radius: 15 },
      { straight: 60 },
      { turn: 'left', angle: '180 deg', radius: 15 },
    ],
  };
  test('an oval closes and has its length and radius exactly', () => {
    const track = compile(oval);
    expect(track.length).toBeCloseTo(120 + 2 * Math.PI * 15, 9);
    expect(track.closure.gap).toBeLessThan(1e-9);
    expect(track.tightest.radius).toBeCloseTo(15, 12);
  });
  test('a right turn curves the other way', () => {
    expect(
      Math.min(
        ...compile({
          closed: false,
          stretches: [{ straight: 5 }, { turn: 'right', angle: '90 deg', radius: 10 }],
        }).curvature,
      ),
    ).toBeCloseTo(-0.1, 12);
  });
  test('sections lay surface, grade, bank and limits over part of the lap', () => {
    const track = compile({
      ...oval,
      sections: [
        { from: 10, to: 50, surface: 'dirt', grade: '10 %', bank: '5 deg', speedLimit: '30 km/h', width: 4 },
      ],
    });
    const at = (s: number) => track.distance.findIndex((d) => d >= s);
    expect(track.surfaces[track.surface[at(30)]!]).toBe('dirt');
    expect(track.surfaces[track.surface[at(55)]!]).toBe('road');
    expect(track.sinGrade[at(30)]).toBeCloseTo(0.1 / Math.hypot(1, 0.1), 12);
    expect(track.speedLimit[at(30)]).toBeCloseTo(30 / 3.6, 12);
    expect(track.narrowest.width).toBe(4);
  });
  test('one that does not close is refused with its gap', () => {
    const { track, problems } = compileTrack(
      spec({ closed: true, stretches: [{ straight: 60 }, { turn: 'left', angle: '170 deg', radius: 15 }] }),
      'tracks.t',
    );
    expect(track).toBeUndefined();
    expect(problems[0]).toMatchObject({ code: 'not-closed', path: 'tracks.t' });
  });
  test('a track with too many stations is refused', () => {
    const { problems } = compileTrack(
      spec({ closed: false, stretches: [{ straight: '100 km' }] }),
      'tracks.t',
      0.1,
    );
    expect(problems[0]).toMatchObject({ code: 'too-long' });
  });
});
