/**
 * Every place was asked to be held at a steady speed: a ramp too steep for that was refused however short, and a crest was
 * crept over with the brakes on, uphill.
 */
import { describe, expect, test } from 'vitest';
import type { LapResult } from '../../sim/index.ts';
import { perform } from '../../sim/index.ts';
import { demoWith } from '../sim/demo-project.ts';

const G = 9.80665;
const KART = 'clodlet-single-knobbly';
const straight = (length: number, grade = 0) => ({ straight: `${length} m`, grade: `${100 * grade} %` });

/** A run-up, a ramp of this grade along the road, and level ground after it. */
const ramped = (grade: number, length: number) =>
  demoWith((raw) => {
    raw.tracks['fettlebrow'] = {
      name: 'Ramp',
      closed: false,
      surface: 'loose-clay',
      width: '5 m',
      stretches: [straight(80), straight(length, grade), straight(60)],
    } as never;
  });
const lapOf = (project: ReturnType<typeof ramped>) =>
  perform(project, { kart: KART, day: 'mild', verb: 'lap', track: 'fettlebrow' });
const at = (lap: LapResult, distance: number): number =>
  lap.columns.distance.findIndex((s) => s >= distance - 1e-9);

describe('a ramp too steep to be held at any speed', () => {
  test.each([
    [0.3, 4],
    [0.6, 3],
    [0.6, 6],
  ])('of grade %d over %d m is passed on momentum, and the brakes are left alone', (grade, length) => {
    const { result, status } = lapOf(ramped(grade, length));
    expect(status).toBe('done');
    const lap = result as LapResult;
    const [foot, top] = [at(lap, 80), at(lap, 80 + length)];
    const rise = length * Math.sin(Math.atan(grade));
    const [v0, v1] = [lap.columns.speed[foot]!, lap.columns.speed[top]!];
    // Energy: the climb takes g h; rolling and air a little more, the engine gives some of it back. Knobbly tyres on clay
    // carry at most 0.6 of the weight, so that neither is more than that over so few metres.
    expect(Math.abs(v0 ** 2 - v1 ** 2 - 2 * G * rise)).toBeLessThan(2 * 0.6 * G * length);
    expect(v1).toBeLessThan(v0);
    for (let i = 0; i <= top; i++) expect(lap.columns.brake[i]!, `${lap.columns.distance[i]} m`).toBe(0);
  });

  test('is where a kart stops that has too little of it, and that is said with the place', () => {
    const { status, problems } = lapOf(ramped(0.6, 40));
    expect(status).toBe('failed');
    expect(problems.map(({ code }) => code)).toContain('stalls');
    expect(problems.find(({ code }) => code === 'stalls')!.message).toMatch(
      /(8[0-9]|9[0-9]|1[01][0-9]) m from the start/,
    );
  });

  test('a longer one takes more of the speed', () => {
    const lost = [1, 2, 3, 4, 5].map((length) => {
      const lap = lapOf(ramped(0.5, length)).result as LapResult;
      return lap.columns.speed[at(lap, 80)]! ** 2 - lap.columns.speed[at(lap, 80 + length)]! ** 2;
    });
    for (let i = 1; i < lost.length; i++) expect(lost[i]!).toBeGreaterThan(lost[i - 1]!);
  });
});

test('heights measured to half a metre leave a course that can be driven', () => {
  const project = demoWith((raw) => {
    const track = raw.tracks['brindlequag-works']!;
    let seed = 7;
    const noise = (): number => {
      seed = (seed * 1103515245 + 12345) % 2147483648;
      return seed / 2147483648 - 0.5;
    };
    track.points = (track.points as object[]).map((point) => ({
      ...point,
      height: `${noise().toFixed(3)} m`,
    }));
  });
  const lap = perform(project, {
    kart: 'clodlet-single-asphalt',
    day: 'mild',
    verb: 'lap',
    track: 'brindlequag-works',
  });
  expect(lap.status).toBe('done');
});
