/**
 * A tall, short kart on good tyres pitches forward before its tyres give out. Nothing on two axles brakes harder than
 * the deceleration that lifts the rear axle, d = g a/h (moments about the front contact), in any mode.
 */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { answerOf, inputOf, knobs, projectOf } from '../properties/random-karts.ts';

const height = 0.62;
const [drawn] = fc.sample(knobs, { numRuns: 1, seed: 1 });
const input = inputOf({
  ...drawn!,
  mass: 280,
  frontShare: 0.45,
  cgHeight: height,
  peak: 1.6,
  brakeShare: 0.7,
  dragArea: 0,
  rolling: 0,
  sensitivity: 0,
});
const frame = input.chassis!['frame']!;
const project = projectOf({ ...input, chassis: { frame: { ...frame, wheelbase: 1.2 } } });
const pitchOver = (9.80665 * 0.55 * 1.2) / height;

it.each(['threshold', 'held', 'locked', 'ideal'] as const)('%s braking stops there', (brakes) => {
  const { columns } = answerOf(project, {
    verb: 'brake',
    kart: 'kart',
    day: 'day',
    surface: 'pad',
    options: { fromSpeed: 20, brakes, brakeForce: 8000 },
  });
  // The force balance is solved to some 1e-6 N of thousands.
  expect(Math.max(...columns.deceleration)).toBeLessThan(pitchOver * (1 + 1e-6));
  expect(Math.max(...columns.deceleration)).toBeGreaterThan(0.5 * pitchOver);
});
