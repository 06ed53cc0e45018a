/** The quick ways through the grip envelope that laps take, against the full search they stand in for. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { brakeHard, tooHard } from '../../../sim/physics/grip/brake.ts';
import { driveHard } from '../../../sim/physics/grip/drive.ts';
import type { AxleGrip, EnvelopeKart } from '../../../sim/physics/grip/grip-inputs.ts';
import { CONSTRAINT } from '../../../sim/physics/grip/grip-inputs.ts';
import { passingForce, passWithoutEngine } from '../../../sim/physics/grip/hold.ts';
import { GROUND_STRIDE, holdForce, placeOn } from '../../../sim/physics/grip/place.ts';
import { type Envelope, gripEnvelope } from '../../../sim/physics/grip-envelope.ts';

const G = 9.80665;
const MASS = 380;
/** The quick searches leave 3e-5 N, the full one 1e-4 N where a kart corners: see the constants in grip/search.ts. */
const EDGE = 2e-4;

/** Evenly spread: most doubles of a range lie next to zero. */
const between = (min: number, max: number) =>
  fc.integer({ min: 0, max: 1_000_000 }).map((i) => min + ((max - min) * i) / 1_000_000);

const scene = fc.record({
  v: between(1, 30),
  use: between(0, 0.95),
  grade: between(-0.15, 0.15),
  driven: fc.constantFrom('rear' as const, 'front' as const, 'all' as const),
  coupling: fc.constantFrom('spool' as const, 'open' as const),
  mu: between(0.4, 1.2),
  muRear: between(0.4, 1.2),
  sensitivity: between(0, 0.15),
  height: between(0.2, 0.55),
  brakeShare: between(0.05, 0.95),
  engine: between(0, 900),
  engineMass: between(0, 60),
  force: between(0, 12000),
  guess: between(-4000, 4000),
});
type Scene = typeof scene extends fc.Arbitrary<infer T> ? T : never;

function placed(s: Scene): Envelope {
  const kart: EnvelopeKart = {
    mass: MASS,
    gravity: G,
    wheelbase: 1.75,
    toFront: 1,
    toRear: 0.75,
    cgHeight: s.height,
    trackFront: 1.2,
    trackRear: 1.3,
    transferFront: 0.45 * s.height,
    transferRear: 0.55 * s.height,
    spinFront: 8,
    spinRear: 12,
    drag: 0.48,
    downFront: 0.05,
    downRear: 0.1,
    dragHeight: 0.6,
    headwind: 0,
    driven: s.driven,
    coupling: s.coupling,
    biasRatio: 1,
    shaftTransfer: 0,
    brakeShare: s.brakeShare,
  };
  const env = gripEnvelope(kart, tyre(s.mu, s.sensitivity, 0.02), tyre(s.muRear, s.sensitivity, 0.03));
  const cos = 1 / Math.hypot(1, s.grade);
  const lateral = (s.use * 0.85 * Math.min(s.mu, s.muRear) * G) / (s.v * s.v);
  env.place(s.v, lateral, 0, 0, cos, s.grade * cos);
  return env;
}

function tyre(mu: number, s: number, rolling: number): AxleGrip {
  const fall = (mu * s) / 900;
  return {
    slope: mu * (1 + s),
    fall,
    topLoad: s > 0 ? (mu * (1 + s)) / (2 * fall) : Number.POSITIVE_INFINITY,
    lateralRatio: 1.05,
    rolling,
    rollingPerSpeed: 0,
    rollingPerSpeedSquared: 0,
  };
}

const RUNS = { numRuns: 1500, seed: 71 };

describe('quick searches', () => {
  it('brake to the edge of the grip and no further', () => {
    let edges = 0;
    fc.assert(
      fc.property(scene, (s) => {
        const env = placed(s);
        if (env.holdExcess(0, 0) > -1) return; // a speed that hardly holds has no braking to look for
        const state = env.instant.s;
        state.engine = 0;
        state.engineMass = 0;
        state.guess = s.guess;
        state.likely = CONSTRAINT.none;
        brakeHard(env.instant);
        const x = state.x;
        const { acceleration } = state;
        expect(env.brakeExcess(x, 0, 0)).toBeLessThan(EDGE);
        expect(env.brakeExcess(x - 1, 0, 0)).toBeGreaterThan(0);
        expect(Math.abs(x - env.lowerForce(0, 0, s.guess))).toBeLessThan(0.05);
        expect(acceleration).toBeCloseTo(env.accelerationAt(x), 12);
        edges++;
      }),
      RUNS,
    );
    expect(edges).toBeGreaterThan(1000);
  });

  it('drive no harder than the engine and no further than the grip', () => {
    let edges = 0;
    fc.assert(
      fc.property(scene, (s) => {
        const env = placed(s);
        if (env.holdExcess(0, 0) > -1) return;
        const wanted = env.driveForce(s.force, MASS + 30);
        if (wanted < env.holdForce()) return;
        const state = env.instant.s;
        state.force = s.force;
        state.inertia = MASS + 30;
        state.guess = s.guess;
        driveHard(env.instant);
        const { x, which } = state;
        expect(x).toBeLessThanOrEqual(wanted);
        expect(env.driveExcess(x)).toBeLessThan(EDGE);
        if (which === CONSTRAINT.none) expect(x).toBe(wanted);
        else {
          if (x + 1 < wanted) expect(env.driveExcess(x + 1)).toBeGreaterThan(0);
          edges++;
        }
      }),
      RUNS,
    );
    expect(edges).toBeGreaterThan(300);
  });

  it('say too hard only of forces beyond the grip', () => {
    let beyond = 0;
    fc.assert(
      fc.property(scene, (s) => {
        const env = placed(s);
        const state = env.instant.s;
        state.engine = s.engine;
        state.engineMass = s.engineMass;
        const x = s.guess - 2000;
        if (!tooHard(env.instant, x)) return;
        expect(env.brakeExcess(x, s.engine, s.engineMass)).toBeGreaterThan(0);
        beyond++;
      }),
      RUNS,
    );
    expect(beyond).toBeGreaterThan(200);
  });

  it('pass a place, holding the speed or on momentum, with the same excess', () => {
    fc.assert(
      fc.property(scene, (s) => {
        const env = placed(s);
        const passing = passingForce(env.instant);
        // What the tyres are asked for where holding the speed asks for too much of them.
        const isHeld = passing === holdForce(env.instant);
        expect(passing).toBeLessThanOrEqual(holdForce(env.instant));
        const full = isHeld ? env.holdExcess(0, 0) : env.driveExcess(passing);
        const which = env.constraint();
        passWithoutEngine(env.instant);
        // The same sums in another order: rounding of some thousand newtons.
        expect(Math.abs(env.instant.s.excess - full)).toBeLessThan(1e-9);
        expect(env.constraint()).toBe(which);
      }),
      RUNS,
    );
  });

  it('place a kart on a station as on the ground it stands for', () => {
    fc.assert(
      fc.property(scene, (s) => {
        const env = placed(s);
        const { fixed, loadFront, side, transfer } = env.instant.s;
        const cos = 1 / Math.hypot(1, s.grade);
        const lateralV = (s.use * 0.85 * Math.min(s.mu, s.muRear) * G) / (s.v * s.v);
        const ground = Float64Array.of(0, 0, 0, 0, 0, lateralV, 0, 0, cos, s.grade * cos);
        env.instant.s.speed = s.v;
        env.instant.s.squared = s.v * s.v;
        placeOn(env.instant, ground, GROUND_STRIDE);
        const { s: now } = env.instant;
        for (const [a, b] of [
          [now.fixed, fixed],
          [now.loadFront, loadFront],
          [now.side, side],
          [now.transfer, transfer],
        ] as const)
          expect(Math.abs(a - b)).toBeLessThan(1e-9);
      }),
      RUNS,
    );
  });
});
