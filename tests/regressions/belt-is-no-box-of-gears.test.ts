/** A belt is shifted by nobody: no count of shifts, no gears to stop in but one, its engine turned by the high ratio. */
import { describe, expect, test } from 'vitest';
import type { BalanceResult } from '../../sim/index.ts';
import { perform, performStudy, planBalance, planTeeth } from '../../sim/index.ts';
import { demoWith } from '../sim/demo-project.ts';

const project = demoWith();
const who = { kart: 'clodlet-twin-asphalt', day: 'mild' } as const;
const box = { ...who, kart: 'clodlet-four-asphalt' } as const;

describe('a count of shifts', () => {
  test('is null on a belt and a number on a box, for a lap as for its figures', () => {
    const of = (kart: typeof who | typeof box) => {
      const lap = { ...kart, verb: 'lap', track: 'oval' } as const;
      const sweep = perform(project, { verb: 'sweep', of: lap, variants: [[]] }).result!;
      return [perform(project, lap).result!.shifts, sweep.figures[0]!['shifts']];
    };
    expect(of(who)).toEqual([null, null]);
    const [shifts, figure] = of(box);
    expect(shifts).toBeGreaterThan(0);
    expect(figure).toBe(shifts);
  });

  test('and so in the laps of the study of teeth', () => {
    const { study } = planTeeth(project, { ...who, tracks: ['oval'], stock: 'owned' });
    const { tracks } = performStudy(study!, (request) => perform(project, request))!;
    const laps = tracks[0]!.laps.flatMap((lap) => lap ?? []);
    expect(laps.length).toBeGreaterThan(3);
    expect(new Set(laps.map(({ shifts }) => shifts))).toEqual(new Set([null]));
  });

  test('a start lists no shifts and names its gears, however short it is', () => {
    for (const toDistance of [1, 400]) {
      const start = { verb: 'accelerate', surface: 'asphalt', options: { toDistance } } as const;
      const run = perform(project, { ...who, ...start }).result!;
      expect([run.shifts, run.gearNames]).toEqual([null, ['low', 'belt', 'high']]);
      const boxed = perform(project, { ...box, ...start }).result!;
      expect(boxed.gearNames).toEqual(['1', '2', '3', '4', '5', '6']);
      expect(boxed.shifts!.length).toBe(new Set(boxed.columns.gear).size - 1);
    }
  });
});

describe('a stop on a closed throttle', () => {
  const stop = (options: { engine?: 'in gear' | 'shifting down'; gear?: number } = {}) =>
    perform(project, {
      ...who,
      verb: 'brake',
      surface: 'asphalt',
      options: { fromSpeed: 60 / 3.6, engine: 'in gear', ...options },
    }).result!;

  test('is in the high ratio, whichever part a driver would name, and turns the engine so', () => {
    const { columns, gearNames } = stop();
    const high = perform(project, { ...who, verb: 'topspeed', surface: 'asphalt' }).result!.gears.at(-1)!;
    const radius = perform(project, { ...who, verb: 'sheet' }).result!.radiusRear;
    const inGear = Array.from(columns.gear.keys()).filter((i) => columns.gear[i]! > 0);
    expect(inGear.length).toBeGreaterThan(10);
    for (const i of inGear) {
      expect(gearNames[columns.gear[i]! - 1]).toBe('high');
      expect(columns.engineSpeed[i]! / ((columns.speed[i]! * high.overall) / radius)).toBeCloseTo(1, 9);
    }
    for (const gear of [1, 2, 3]) expect(stop({ gear })).toEqual(stop());
  });

  test('shifts down nowhere', () => {
    expect(stop({ engine: 'shifting down' })).toEqual(stop());
  });
});

test('the study of the balance brakes a belt in one way with the engine, and counts it among those a driver uses', () => {
  const balance = (fromSpeed: number): BalanceResult => {
    const grounds = { loose: 'packed-earth', hard: 'asphalt' };
    const { study } = planBalance(project, { ...who, ...grounds, fromSpeed, tracks: [] });
    return performStudy(study!, (request) => perform(project, request))!;
  };
  const found = balance(60 / 3.6);
  expect(found.on.map(({ surface, gear }) => [surface, gear])).toEqual([
    ['packed-earth', null],
    ['packed-earth', 3],
    ['asphalt', null],
    ['asphalt', 3],
  ]);
  expect([found.driverGear, found.gearNames]).toEqual([3, ['low', 'belt', 'high']]);
  expect(found.either!.losses.map(({ gear }) => gear)).toEqual([null, 3, null, 3]);
});
