/**
 * A road all but straight, banked to help: the speed at which the bank alone carries the bend lies far beyond any that
 * the tyres' grip can push through the air. It was taken as the only speed worth trying, and the road as impossible.
 */
import { expect, it } from 'vitest';
import { perform } from '../../sim/index.ts';
import { inputOf, type Knobs, projectOf } from '../properties/random-karts.ts';

const kart: Knobs = {
  mass: 280,
  frontShare: 0.45,
  cgHeight: 0.35,
  torque: 60,
  peak: 0.35,
  sensitivity: 0,
  referenceLoad: 700,
  dragArea: 1.5,
  rolling: 0.02,
  rollShare: 0.5,
  brakeShare: 0.6,
  gears: [2.4, 0.6],
  engineInertia: 0.005,
  wheelInertia: 0.1,
  shiftTime: 0,
  grip: 1,
  gravity: 9.80665,
  size: 1,
  revs: 1,
  points: [],
};

const timeOf = (stretch: object) => {
  const project = projectOf({
    ...inputOf(kart),
    tracks: { road: { name: 'Road', closed: false, surface: 'pad', startSpeed: 15, stretches: [stretch] } },
  });
  const lap = perform(project, {
    verb: 'lap',
    kart: 'kart',
    day: 'day',
    track: 'road',
    options: { start: 'rolling' },
  });
  return { status: lap.status, time: lap.result?.time ?? Number.NaN };
};

it.each(['left', 'right'] as const)(
  'a turn to the %s of 20 km radius takes as long as a straight',
  (turn) => {
    const bank = turn === 'left' ? -0.02 : 0.02;
    const straight = timeOf({ straight: 300, bank });
    const bend = timeOf({ turn, angle: 300 / 20_000, radius: 20_000, bank });
    expect(straight.status).toBe('done');
    expect(bend.status).toBe('done');
    // The bend takes a seventh of the bank's side force away, which costs or saves grip for the drive: little.
    expect(Math.abs(bend.time / straight.time - 1)).toBeLessThan(1e-3);
  },
);
