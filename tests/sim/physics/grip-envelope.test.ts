import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { AxleGrip, EnvelopeKart } from '../../../sim/physics/grip/grip-inputs.ts';
import { CONSTRAINT } from '../../../sim/physics/grip/grip-inputs.ts';
import { gripEnvelope } from '../../../sim/physics/grip-envelope.ts';

const G = 9.80665;
const base: EnvelopeKart = {
  mass: 380,
  gravity: G,
  wheelbase: 1.75,
  toFront: 1,
  toRear: 0.75,
  cgHeight: 0.45,
  trackFront: 1.2,
  trackRear: 1.3,
  transferFront: 0.2,
  transferRear: 0.25,
  spinFront: 8,
  spinRear: 12,
  drag: 0.48,
  downFront: 0.05,
  downRear: 0.1,
  dragHeight: 0.6,
  headwind: 0,
  driven: 'rear',
  coupling: 'spool',
  biasRatio: 1,
  shaftTransfer: 0,
  brakeShare: 0.62,
};
const tyre = (mu: number, s = 0.06, rolling = 0.02): AxleGrip => {
  const fall = (mu * s) / 900;
  return {
    slope: mu * (1 + s),
    fall,
    topLoad: s > 0 ? (mu * (1 + s)) / (2 * fall) : Number.POSITIVE_INFINITY,
    lateralRatio: 1,
    rolling,
    rollingPerSpeed: 0,
    rollingPerSpeedSquared: 0,
  };
};
/** Curvature and speed from slow and straight to near the limit, grades and cross slopes. */
const scene = fc.record({
  v: fc.double({ min: 1, max: 30, noNaN: true }),
  use: fc.double({ min: 0, max: 0.97, noNaN: true }),
  grade: fc.double({ min: -0.2, max: 0.2, noNaN: true }),
  driven: fc.constantFrom('rear' as const, 'front' as const, 'all' as const),
  coupling: fc.constantFrom('spool' as const, 'open' as const, 'limited' as const),
  mu: fc.double({ min: 0.3, max: 1.3, noNaN: true }),
  muRear: fc.double({ min: 0.3, max: 1.3, noNaN: true }),
});
const place = (s: {
  v: number;
  use: number;
  grade: number;
  driven: EnvelopeKart['driven'];
  coupling: EnvelopeKart['coupling'];
  mu: number;
  muRear: number;
}) => {
  const kart = { ...base, driven: s.driven, coupling: s.coupling, biasRatio: 2 };
  const e = gripEnvelope(kart, tyre(s.mu), tyre(s.muRear, 0.06, 0.03));
  const cos = 1 / Math.hypot(1, s.grade);
  e.place(s.v, (s.use * Math.min(s.mu, s.muRear) * 0.9 * G) / (s.v * s.v), 0, 0, cos, s.grade * cos);
  return e;
};

describe('loads', () => {
  test('add up to the weight and the downforce, whatever the forces', () => {
    fc.assert(
      fc.property(scene, fc.double({ min: -1500, max: 1500, noNaN: true }), (s, x) => {
        const e = place(s);
        const out = new Float64Array(4);
        e.loads(x, out);
        const weight = (380 * G) / Math.hypot(1, s.grade) + 0.15 * s.v * s.v;
        expect(out[0]! + out[1]!).toBeCloseTo(weight, 6);
        expect(Math.min(...out)).toBeGreaterThanOrEqual(0);
      }),
    );
  });
  test('m (ax + g sin) h/L moves rearward: the textbook equation at standstill', () => {
    const e = gripEnvelope({ ...base, drag: 0, downFront: 0, downRear: 0 }, tyre(1, 0, 0), tyre(1, 0, 0));
    const out = new Float64Array(4);
    e.place(0, 0, 0, 0, 1, 0);
    e.loads(380 * 3, out);
    expect(out[0]).toBeCloseTo((380 * G * 0.75 - 380 * 3 * 0.45) / 1.75, 9);
  });
  test('a lifted inner wheel carries nothing and the other axle takes over', () => {
    const e = gripEnvelope({ ...base, transferFront: 0.44, transferRear: 0.01 }, tyre(4, 0), tyre(4, 0));
    const out = new Float64Array(4);
    e.place(10, 0.1, 0, 0, 1, 0);
    e.loads(0, out);
    expect(out[2]).toBe(0);
    expect(out[3]!).toBeLessThan(out[1]! / 2);
  });
});

describe('limits', () => {
  test('the largest drive force lies on the edge: feasible below, not above (against a scan)', () => {
    fc.assert(
      fc.property(scene, (s) => {
        const e = place(s);
        if (e.holdExcess(0, 0) > -1) return;
        const x = e.upperForce(50_000, 0);
        // 1 N either side of an edge found to 1e-5 N.
        expect(e.driveExcess(x)).toBeLessThan(1e-3);
        expect(e.driveExcess(x + 1)).toBeGreaterThan(0);
        const hold = Math.max(0, e.holdForce());
        for (let k = 0; k <= 20; k++) expect(e.driveExcess(hold + ((x - hold) * k) / 20)).toBeLessThan(1e-3);
      }),
      { numRuns: 400 },
    );
  });
  test('the largest braking force lies on the edge, with and without the engine', () => {
    fc.assert(
      fc.property(
        scene,
        fc.double({ min: 0, max: 900, noNaN: true }),
        fc.double({ min: 0, max: 60, noNaN: true }),
        (s, engine, engineMass) => {
          const e = place(s);
          if (
            e.holdExcess(engine, engineMass) > -1 ||
            e.brakeExcess(Math.min(e.holdForce(), 0), engine, engineMass) > -1
          )
            return;
          const x = e.lowerForce(engine, engineMass, -2000);
          expect(e.brakeExcess(x, engine, engineMass)).toBeLessThan(1e-3);
          expect(e.brakeExcess(x - 1, engine, engineMass)).toBeGreaterThan(0);
        },
      ),
      { numRuns: 400 },
    );
  });
  test('the edge does not depend on where the search starts', () => {
    fc.assert(
      fc.property(scene, fc.double({ min: -6000, max: 6000, noNaN: true }), (s, guess) => {
        const e = place(s);
        if (e.holdExcess(0, 0) > -1) return;
        // Edges are found to 1e-5 N.
        expect(e.upperForce(50_000, guess)).toBeCloseTo(e.upperForce(50_000, 0), 3);
        if (e.brakeExcess(Math.min(e.holdForce(), 0), 0, 0) < -1)
          expect(e.lowerForce(0, 0, guess)).toBeCloseTo(e.lowerForce(0, 0, -2000), 3);
      }),
      { numRuns: 300 },
    );
  });
  test('at the edge the limiting axle uses all its grip', () => {
    const e = place({ v: 12, use: 0.5, grade: 0, driven: 'rear', coupling: 'spool', mu: 0.8, muRear: 0.8 });
    const use = new Float64Array(2);
    const x = e.upperForce(50_000, 0);
    e.use(x, false, 0, 0, use);
    expect(use[1]).toBeCloseTo(1, 6);
    expect(e.constraint()).toBe(CONSTRAINT.rear);
  });
  test('an open axle drives with twice its lesser wheel, a spool with both', () => {
    const drive = (coupling: EnvelopeKart['coupling']) => {
      const e = gripEnvelope(
        { ...base, coupling, biasRatio: 1.5, spinFront: 0, spinRear: 0 },
        tyre(0.9, 0),
        tyre(0.9, 0),
      );
      e.place(12, 0.03, 0, 0, 1, 0);
      return e.upperForce(50_000, 0);
    };
    expect(drive('open')).toBeLessThan(drive('limited'));
    expect(drive('limited')).toBeLessThanOrEqual(drive('spool'));
  });
  test('front lift ends a drive with endless grip: ax = g b/h', () => {
    const e = gripEnvelope(
      { ...base, drag: 0, downFront: 0, downRear: 0, spinFront: 0, spinRear: 0 },
      tyre(9, 0, 0),
      tyre(9, 0, 0),
    );
    e.place(1, 0, 0, 0, 1, 0);
    const x = e.upperForce(50_000, 0);
    expect(x / 380).toBeCloseTo((G * 0.75) / 0.45, 6);
    expect(e.constraint()).toBe(CONSTRAINT.frontLift);
  });
});

test('a headwind adds to the speed through the air, a tailwind takes from it', () => {
  const drag = (headwind: number) => {
    const e = gripEnvelope({ ...base, headwind }, tyre(1), tyre(1));
    e.place(20, 0, 0, 0, 1, 0);
    return e.dragForce();
  };
  expect(drag(2)).toBeCloseTo(0.48 * 22 * 22, 9);
  expect(drag(-2)).toBeCloseTo(0.48 * 18 * 18, 9);
  expect(drag(-25)).toBeCloseTo(-0.48 * 25, 9);
});
