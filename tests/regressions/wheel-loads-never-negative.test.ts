/** A wheel lifts and then carries nothing; its load is never below zero, whatever the springs and roll centres. */
import { expect, it } from 'vitest';
import { perform } from '../../sim/index.ts';
import { demoWith } from '../sim/demo-project.ts';

it('a rear roll centre so high that the front axle would load its inner wheel is refused', () => {
  const project = demoWith((raw) => {
    raw.chassis.clodlet.rollCentres = { front: 0, rear: 5 };
    raw.chassis.clodlet.roll = { frontStiffness: 1e9, rearStiffness: 8e8 };
  });
  const request = {
    verb: 'lap',
    kart: 'clodlet-four-asphalt',
    day: 'mild',
    track: 'brindlequag-works',
  } as const;
  expect(perform(project, request)).toMatchObject({
    status: 'problems',
    problems: [{ code: 'roll-centres' }],
  });
});

it('with roll centres a chassis may have no load is below zero', () => {
  const project = demoWith((raw) => {
    raw.chassis.clodlet.rollCentres = { front: 0.02, rear: 0.3 };
    raw.chassis.clodlet.roll = { frontStiffness: 30_000, rearStiffness: 20_000 };
  });
  const request = {
    verb: 'lap',
    kart: 'clodlet-four-asphalt',
    day: 'mild',
    track: 'brindlequag-works',
  } as const;
  const { frontLeft, frontRight, rearLeft, rearRight } = perform(project, request).result!.columns;
  const least = [frontLeft, frontRight, rearLeft, rearRight].flatMap((loads) => [...loads]);
  expect(least.reduce((a, b) => Math.min(a, b), 0)).toBe(0);
});
