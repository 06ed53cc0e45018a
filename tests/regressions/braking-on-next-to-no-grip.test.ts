/**
 * On ice the brakes add little, but the air still slows the kart: braking must not slow it less than rolling free does.
 * With a thousandth of the usual grip the kart kept 57.6 km/h for ten minutes.
 */
import { expect, it } from 'vitest';
import { perform } from '../../sim/index.ts';
import { demoWith } from '../sim/demo-project.ts';

it.each([1e-6, 1e-3, 5e-3])('air still slows the kart where grip is %d of the usual', (grip) => {
  const project = demoWith((raw) => {
    raw.days.mild.grip = { asphalt: grip };
  });
  const { kart } = { kart: project.karts['clodlet-four-asphalt']! };
  const area = project.chassis[kart.chassis]!.aero.dragArea;
  const options = { fromSpeed: 16, brakes: 'threshold', engine: 'clutch in' } as const;
  const request = {
    verb: 'brake',
    kart: 'clodlet-four-asphalt',
    day: 'mild',
    surface: 'asphalt',
    options,
  } as const;
  const { result } = perform(project, request);
  // Half of rho A v^2/2 over 400 kg, more than the kart weighs: a bound that needs nothing else to be right.
  const bound = (0.5 * 0.5 * 1.2 * area * 16 ** 2) / 400;
  expect(result!.columns.deceleration[0]).toBeGreaterThan(bound);
});
