/**
 * Into a bend on clay with the engine braking, the demo's single was slowed with a third more force on the rear axle
 * than its tyres have, for six metres, then with what they have. No axle uses more than its grip.
 */
import { expect, it } from 'vitest';
import { perform } from '../../sim/index.ts';
import { demoWith } from '../sim/demo-project.ts';

// Accelerations are reported between stations 0.05 m apart; with the clutch in the same laps exceed 1 by 3e-4.
const COARSENESS = 0.01;

const cases = [
  ['clodlet-single-asphalt', 'tansy-hollow', 'as it pays'],
  ['clodlet-single-knobbly', 'brindlequag-works', 'as it pays'],
  ['clodlet-single-plain', 'brindlequag-works', 'always'],
] as const;

it.each(cases)('%s on %s, engine %s: no axle beyond its grip', (kart, track, engineBraking) => {
  const { result } = perform(demoWith(), {
    verb: 'lap',
    kart,
    day: 'mild',
    track,
    spacing: 0.05,
    options: { engineBraking },
  });
  const { useFront, useRear } = result!.columns;
  const most = (column: Float64Array) => column.reduce((a, b) => Math.max(a, b), 0);
  expect(most(useFront)).toBeLessThan(1 + COARSENESS);
  expect(most(useRear)).toBeLessThan(1 + COARSENESS);
});
