/**
 * With an open axle the demo's knobbly single held half circles of 15 m at 1.03 g on tyres with a friction of 0.8, and
 * used 1.5 times its grip. Whatever joins the rear wheels, v^2/R stays below mu g: equilibrium of side forces.
 */
import { expect, it } from 'vitest';
import { perform } from '../../sim/index.ts';
import { demoWith } from '../sim/demo-project.ts';

it.each(['spool', 'open', { biasRatio: 2.5 }])('coupling %j', (coupling) => {
  const project = demoWith((raw) => {
    raw.chassis.clodlet.coupling = coupling;
  });
  const { result } = perform(project, {
    verb: 'lap',
    kart: 'clodlet-single-knobbly',
    day: 'mild',
    track: 'oval',
  });
  const most = (column: Float64Array) => column.reduce((a, b) => Math.max(a, Math.abs(b)), 0);
  const grip = project.tyres['knobbly-rear']!.grip['asphalt']!;
  // Friction grows as load leaves a wheel: at most by its sensitivity, where friction falls linearly with load.
  const friction = grip.peak * (1 + grip.loadSensitivity);
  const { lateral, useFront, useRear } = result!.columns;
  expect(most(lateral)).toBeLessThan(friction * 9.80665);
  // Accelerations are reported between stations: with a spool the same lap exceeds 1 by 2e-3.
  expect(most(useFront)).toBeLessThan(1.01);
  expect(most(useRear)).toBeLessThan(1.01);
});
