/**
 * Laws of similarity: dimensional analysis says how times scale, whatever the kart.
 * Source: Buckingham's theorem, applied here; a lap with gravity, inertia and air scales after Froude.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Knobs, knobs, lapOf, sprintOf } from './random-karts.ts';

const RUNS = 40;
const factor = fc.double({ min: 0.7, max: 1.6, noNaN: true });
const scaled = (kart: Knobs, by: number): Knobs['points'] =>
  kart.points.map(({ x, y }) => ({ x: by * x, y: by * y }));
const same = (a: number, b: number, tolerance: number) => expect(Math.abs(a / b - 1)).toBeLessThan(tolerance);

/** Nothing but friction: no air, no rolling, no spinning parts, tyres that do not mind load, thrust to spare. */
const frictionOnly = (kart: Knobs): Knobs => ({
  ...kart,
  dragArea: 0,
  rolling: 0,
  sensitivity: 0,
  engineInertia: 0,
  wheelInertia: 0,
  torque: 900,
  gears: [0.7],
});
/** Forces are found to some 1e-6 N of thousands, wherever the scaling has put them. */
const FORCES = 1e-7;

describe('laps limited by friction alone', () => {
  it('take the square root of the length', () => {
    fc.assert(
      fc.property(knobs, factor, (drawn, by) => {
        const kart = frictionOnly(drawn);
        const larger = { ...kart, points: scaled(kart, by) };
        same(lapOf(larger, 0.5 * by, 'never').time, Math.sqrt(by) * lapOf(kart, 0.5, 'never').time, FORCES);
      }),
      { seed: 51, numRuns: RUNS, endOnFailure: true },
    );
  });

  it('do not know the mass', () => {
    fc.assert(
      fc.property(knobs, factor, (drawn, by) => {
        const kart = frictionOnly(drawn);
        same(
          lapOf({ ...kart, mass: kart.mass * by }, 0.5, 'never').time,
          lapOf(kart, 0.5, 'never').time,
          FORCES,
        );
      }),
      { seed: 52, numRuns: RUNS, endOnFailure: true },
    );
  });

  it('take the inverse square root of gravity', () => {
    fc.assert(
      fc.property(knobs, factor, (drawn, by) => {
        const kart = frictionOnly(drawn);
        const heavier = { ...kart, gravity: kart.gravity * by };
        same(lapOf(heavier, 0.5, 'never').time, lapOf(kart, 0.5, 'never').time / Math.sqrt(by), FORCES);
      }),
      { seed: 53, numRuns: RUNS, endOnFailure: true },
    );
  });
});

describe('a model kart on a model track', () => {
  /** Lengths by l at the same gravity and density: masses and forces by l^3, speeds and times by the root of l. */
  const froude = (k: Knobs, l: number): Knobs => ({
    ...k,
    size: k.size * l,
    points: scaled(k, l),
    mass: k.mass * l ** 3,
    referenceLoad: k.referenceLoad * l ** 3,
    dragArea: k.dragArea * l ** 2,
    torque: k.torque * l ** 4,
    revs: k.revs / Math.sqrt(l),
    engineInertia: k.engineInertia * l ** 5,
    wheelInertia: k.wheelInertia * l ** 5,
    shiftTime: k.shiftTime * Math.sqrt(l),
  });

  it('takes the square root of the scale, with air, load-sensitive tyres, gears and shifts', () => {
    fc.assert(
      fc.property(knobs, factor, fc.constantFrom(0, 0.2), (drawn, by, shiftTime) => {
        const kart = { ...drawn, shiftTime };
        const model = froude(kart, by);
        same(lapOf(model, 0.5 * by, 'never').time, Math.sqrt(by) * lapOf(kart, 0.5, 'never').time, FORCES);
        // Integrated with an absolute tolerance that does not scale.
        same(sprintOf(model, 100 * by).time, Math.sqrt(by) * sprintOf(kart, 100).time, 1e-6);
      }),
      { seed: 54, numRuns: RUNS, endOnFailure: true },
    );
  });
});
