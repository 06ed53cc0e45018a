/** A belt at full throttle is in each part of its range at certain road speeds alone: nothing is looked for outside them. */
import { describe, expect, test } from 'vitest';
import { perform } from '../../sim/index.ts';
import { demoWith } from '../sim/demo-project.ts';

const project = demoWith();
/** Relative; speeds found by root finding and golden section to far below this. */
const CLOSE = 1e-6;

describe.each([
  ['clodlet-twin-asphalt', 'asphalt'],
  ['clodlet-twin-knobbly', 'loose-clay'],
  ['clodlet-twin-knobbly', 'grass'],
])('%s on %s', (kart, surface) => {
  const ask = (options: { grade?: number; speeds?: readonly number[] } = {}) =>
    perform(project, { verb: 'topspeed', kart, day: 'mild', surface, options }).result!;
  const top = ask();
  const [low, held, high] = top.gears;
  const ranges = [
    [0, low!.upshiftSpeed!],
    [low!.upshiftSpeed!, held!.upshiftSpeed!],
    [held!.upshiftSpeed!, high!.limitSpeed],
  ] as const;

  test('the steepest grade and the top speed of a part lie among its own speeds', () => {
    for (const [i, { name, steepestAt, topSpeed }] of top.gears.entries()) {
      const [from, to] = ranges[i]!;
      expect(steepestAt, name).toBeGreaterThanOrEqual(from * (1 - CLOSE));
      expect(steepestAt, name).toBeLessThanOrEqual(to * (1 + CLOSE));
      expect(topSpeed === 0 || topSpeed >= from * (1 - CLOSE), name).toBe(true);
      expect(topSpeed, name).toBeLessThanOrEqual(to * (1 + CLOSE));
    }
  });

  test('in the high ratio that grade is where thrust meets resistance, and on a steeper one no speed of it holds', () => {
    if (high!.steepestGrade > 0 && high!.steepestBecause === 'thrust') {
      const there = ask({ grade: high!.steepestGrade, speeds: [high!.steepestAt * (1 + 1e-9)] });
      expect(there.thrust[2]![0]! / there.resistance[0]!).toBeCloseTo(1, 6);
    }
    const steeper = ask({ grade: 1.01 * high!.steepestGrade + 1e-3 }).gears[2]!;
    expect([steeper.topSpeed, steeper.topSpeedBecause]).toEqual([0, 'cannot hold']);
  });

  test('where the belt goes on to a higher ratio no limiter is blamed', () => {
    for (const part of [low, held])
      if (part!.topSpeed === part!.upshiftSpeed) expect(part!.topSpeedBecause, part!.name).toBe('belt');
    expect([low!.topSpeedBecause, held!.topSpeedBecause]).not.toContain('limiter');
  });

  test('a part pulls at its own speeds alone, and together they leave none out', () => {
    for (const [k, v] of top.speed.entries()) {
      if (v >= high!.limitSpeed) continue;
      const pulling = top.thrust.filter((row) => row[k]! > 0).length;
      expect(pulling, `${v} m/s`).toBe(1);
    }
  });
});
