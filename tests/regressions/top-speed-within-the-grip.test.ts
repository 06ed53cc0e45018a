/** On loose ground the air asks more than the driven tyres carry before the engine gives out: the grip ends the top speed. */
import { expect, test } from 'vitest';
import { perform } from '../../sim/index.ts';
import { demoWith } from '../sim/demo-project.ts';

const who = { kart: 'clodlet-four-knobbly', day: 'mild', surface: 'loose-clay' } as const;
const project = demoWith();

test('the top speed is where the tyres carry just what it takes, and a start gets to it and not beyond', () => {
  const top = perform(project, { ...who, verb: 'topspeed' }).result!;
  const best = top.gears.find(({ name }) => name === top.topGear)!;
  expect(best.topSpeedBecause).toBe('grip');
  const near = (share: number) =>
    perform(project, { ...who, verb: 'topspeed', options: { speeds: [share * top.topSpeed] } }).result!;
  expect(near(0.999).gripCap[0]!).toBeGreaterThan(near(0.999).resistance[0]!);
  expect(near(1.001).gripCap[0]!).toBeLessThan(near(1.001).resistance[0]!);
  const reached = (share: number) =>
    perform(project, { ...who, verb: 'accelerate', options: { toSpeed: share * top.topSpeed } }).status;
  expect([reached(0.98), reached(1.01)]).toEqual(['done', 'partial']);
});

test('the steepest grade is found at the speed that allows it, not only where the thrust has most to spare', () => {
  const top = perform(project, { ...who, verb: 'topspeed' }).result!;
  for (const gear of top.gears) {
    if (gear.steepestBecause !== 'grip') continue;
    // No other speed of the gear holds a steeper one.
    const steeper = perform(project, {
      ...who,
      verb: 'topspeed',
      options: { grade: 1.01 * gear.steepestGrade },
    }).result!;
    expect(steeper.gears.find(({ name }) => name === gear.name)!.topSpeedBecause, gear.name).toBe(
      'cannot hold',
    );
    const gentler = perform(project, {
      ...who,
      verb: 'topspeed',
      options: { grade: 0.99 * gear.steepestGrade },
    }).result!;
    expect(gentler.gears.find(({ name }) => name === gear.name)!.topSpeed, gear.name).toBeGreaterThan(0);
  }
  expect(top.gears.some(({ steepestBecause }) => steepestBecause === 'grip')).toBe(true);
});
