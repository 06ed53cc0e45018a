/** A wheel lifts and then carries nothing; its load is never below zero, whatever the springs and roll centres. */
import { expect, it } from 'vitest';
import { perform } from '../../sim/index.ts';
import { demoWith } from '../sim/demo-project.ts';

it('a rear roll centre far above the centre of gravity lifts a wheel, no more', () => {
  const project = demoWith((raw) => {
    raw.chassis.heron.rollCentres = { front: 0, rear: 5 };
    raw.chassis.heron.roll = { frontStiffness: 1e9, rearStiffness: 8e8 };
  });
  const request = { verb: 'lap', kart: 'heron-four-asphalt', day: 'mild', track: 'old-lime-works' } as const;
  const { result } = perform(project, request);
  const { frontLeft, frontRight, rearLeft, rearRight } = result!.columns;
  const least = [frontLeft, frontRight, rearLeft, rearRight].flatMap((loads) => [...loads]);
  // A newton of rounding in a few hundred.
  expect(least.reduce((a, b) => Math.min(a, b), 0)).toBeGreaterThan(-1);
});
