/**
 * More torque, more grip, less drag, less mass: never slower - and the exceptions physics makes, each shown by a case.
 *
 * Exceptions found while looking for counterexamples (all real, none of the solver):
 * - less drag lengthens the braking of a kart that cannot use its tyres' grip on the brakes: a rear-only balance, or the
 *   engine held in gear while the rear tyres are at their limit; and it may bring an upshift just before a bend;
 * - less mass where the tyres set the pace: air drag and spinning wheels do not shrink with it, and the engine's drag
 *   on closed throttle takes more of the rear tyres' grip.
 * The same random laps every time: the seeds are fixed.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Knobs, knobs, lapOf, sprintOf } from './random-karts.ts';

/** A lap at a half-metre spacing repeats to about 1e-9 under a change that should do nothing; 1e-7 leaves room. */
const LAP = 1e-7;
/** Integrated at a tolerance of 1e-9 over some hundred steps. */
const SPRINT = 1e-7;
const RUNS = 40;

const more = fc.double({ min: 1.001, max: 1.25, noNaN: true });

function neverSlower(
  change: (kart: Knobs, by: number) => Knobs,
  before: (kart: Knobs) => Knobs = (kart) => kart,
  engineBraking: 'always' | 'never' | 'as it pays' = 'never',
): void {
  fc.assert(
    fc.property(knobs, more, (drawn, by) => {
      const kart = before(drawn);
      const changed = change(kart, by);
      const lap = lapOf(kart, 0.5, engineBraking).time;
      expect(lapOf(changed, 0.5, engineBraking).time).toBeLessThanOrEqual(lap * (1 + LAP));
      expect(sprintOf(changed).time).toBeLessThanOrEqual(sprintOf(kart).time * (1 + SPRINT));
    }),
    { seed: 31, numRuns: RUNS, endOnFailure: true },
  );
}

describe('never slower', () => {
  it('with more torque', () => neverSlower((k, by) => ({ ...k, torque: k.torque * by })));

  it('with more torque and shifts that cost time', () =>
    neverSlower(
      (k, by) => ({ ...k, torque: k.torque * by }),
      (k) => ({ ...k, shiftTime: 0.2 }),
    ));

  it('with more grip', () => neverSlower((k, by) => ({ ...k, grip: by })));

  it('with more grip and the engine braking', () =>
    neverSlower(
      (k, by) => ({ ...k, grip: by }),
      (k) => k,
      'always',
    ));

  it('with more grip on a kart that tips before it slides', () =>
    neverSlower(
      (k, by) => ({ ...k, grip: by }),
      (k) => ({ ...k, cgHeight: 1.6 * k.cgHeight, peak: 1.3 * k.peak }),
    ));

  it('with less drag', () => neverSlower((k, by) => ({ ...k, dragArea: k.dragArea / by })));

  it('with less mass, without air and with wheels of no inertia', () =>
    neverSlower(
      (k, by) => ({ ...k, mass: k.mass / by }),
      (k) => ({ ...k, dragArea: 0, wheelInertia: 0 }),
    ));
});

const plain: Knobs = {
  mass: 280,
  frontShare: 0.45,
  cgHeight: 0.35,
  torque: 60,
  peak: 0.6,
  sensitivity: 0,
  referenceLoad: 700,
  dragArea: 0.8,
  rolling: 0.02,
  rollShare: 0.5,
  brakeShare: 0.6,
  gears: [2.4, 1.6],
  engineInertia: 0.005,
  wheelInertia: 0.1,
  shiftTime: 0,
  grip: 1,
  gravity: 9.80665,
  size: 1,
  revs: 1,
  points: [
    { x: 45, y: 0 },
    { x: 20, y: 36 },
    { x: -21, y: 33 },
    { x: -38, y: 2 },
    { x: -20, y: -36 },
    { x: 22, y: -30 },
  ],
};
/** What must show beyond any numerical error to count as an effect. */
const EFFECT = 1e-5;

describe('the exceptions', () => {
  it('less mass is slower where the tyres set the pace: drag and spinning wheels weigh more', () => {
    const light = { ...plain, mass: 0.8 * plain.mass };
    expect(sprintOf(light, 40).tractionLimited.distance).toBeGreaterThan(20);
    expect(sprintOf(light, 40).time).toBeGreaterThan(sprintOf(plain, 40).time * (1 + EFFECT));
  });

  it('less drag is slower with brakes that leave the front tyres idle', () => {
    const corners = [
      [32, 0],
      [22, 22],
      [0, 49],
      [-30, 30],
      [-50, 0],
      [-27, -27],
      [0, -47],
      [22, -22],
    ] as const;
    const weak: Knobs = {
      ...plain,
      brakeShare: 0.05,
      peak: 1.1,
      cgHeight: 0.45,
      gears: [1.7],
      rolling: 0.06,
      rollShare: 0.42,
      frontShare: 0.47,
      points: corners.map(([x, y]) => ({ x, y })),
    };
    const slick = lapOf({ ...weak, dragArea: 0.2 }, 0.25, 'never').time;
    expect(slick).toBeGreaterThan(lapOf(weak, 0.25, 'never').time * (1 + EFFECT));
  });
});

describe('the choice of engine braking', () => {
  // At half a metre the joins of braking and bend move by a fraction of a step: 1e-4 of a lap, falling with the spacing.
  const JOIN = 1e-4;
  it('as it pays is never slower than always or never', () => {
    fc.assert(
      fc.property(knobs, fc.double({ min: 1, max: 6, noNaN: true }), (drawn, heavier) => {
        const kart = { ...drawn, engineInertia: drawn.engineInertia * heavier };
        const pays = lapOf(kart, 0.5, 'as it pays').time;
        expect(pays).toBeLessThanOrEqual(lapOf(kart, 0.5, 'never').time * (1 + JOIN));
        expect(pays).toBeLessThanOrEqual(lapOf(kart, 0.5, 'always').time * (1 + JOIN));
      }),
      { seed: 32, numRuns: RUNS, endOnFailure: true },
    );
  });
});
