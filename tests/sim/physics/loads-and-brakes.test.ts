import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { adhesionUsed, idealFrontShare, lockRate } from '../../../sim/physics/brake-distribution.ts';
import { combineMasses, staticStabilityFactor, transferHeights } from '../../../sim/physics/load-transfer.ts';

const NO_UNSPRUNG = { front: { mass: 0, height: 0 }, rear: { mass: 0, height: 0 } };
const setup = (more: object = {}) => ({
  mass: 380,
  wheelbase: 1.75,
  cg: { mass: 380, behindFrontAxle: 1, height: 0.45 },
  frontShare: 0.4,
  rollCentres: { front: 0, rear: 0 },
  unsprung: NO_UNSPRUNG,
  gravity: 9.81,
  ...more,
});

describe('masses', () => {
  test('the centre of two masses lies between them, by weight', () => {
    const c = combineMasses([
      { mass: 100, behindFrontAxle: 0, height: 0.2 },
      { mass: 300, behindFrontAxle: 1, height: 0.6 },
    ]);
    expect(c).toEqual({ mass: 400, behindFrontAxle: 0.75, height: expect.closeTo(0.5, 12) as number });
    expect(combineMasses([])).toEqual({ mass: 0, behindFrontAxle: 0, height: 0 });
  });
});

describe('lateral transfer', () => {
  test('springless: H is the roll-stiffness share of the height', () => {
    const h = transferHeights(setup());
    expect([h.front, h.rear, h.lean]).toEqual([expect.closeTo(0.18, 12), expect.closeTo(0.27, 12), 0]);
  });
  test('stiff springs come to the springless kart, soft ones transfer more', () => {
    const stiff = transferHeights(setup({ stiffness: 1e12 }));
    const soft = transferHeights(setup({ stiffness: 20_000 }));
    expect(stiff.front + stiff.rear).toBeCloseTo(0.45, 6);
    expect(soft.front + soft.rear).toBeGreaterThan(0.45);
    expect(soft.lean).toBeGreaterThan(0);
  });
  test('with roll centres at the height of the centre of gravity nothing leans', () => {
    const h = transferHeights(setup({ stiffness: 20_000, rollCentres: { front: 0.45, rear: 0.45 } }));
    expect(h.lean).toBeCloseTo(0, 12);
    expect(h.front + h.rear).toBeCloseTo(0.45, 12);
  });
  test('a flat kart never tips', () => {
    expect(staticStabilityFactor(1.2, 0)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('brake distribution', () => {
  const loads = fc.record({
    rearShare: fc.double({ min: 0.3, max: 0.7, noNaN: true }),
    heightOverWheelbase: fc.double({ min: 0.05, max: 0.4, noNaN: true }),
  });
  test('at the ideal share both axles use adhesion z', () => {
    fc.assert(
      fc.property(loads, fc.double({ min: 0.05, max: 0.7, noNaN: true }), (l, z) => {
        const used = adhesionUsed(l, idealFrontShare(l, z), z);
        expect(used.front).toBeCloseTo(z, 9);
        expect(used.rear).toBeCloseTo(z, 9);
      }),
    );
  });
  test('at the lock rate an axle uses just its friction', () => {
    fc.assert(
      fc.property(
        loads,
        fc.double({ min: 0.4, max: 0.9, noNaN: true }),
        fc.double({ min: 0.2, max: 1, noNaN: true }),
        (l, share, mu) => {
          const z = lockRate(l, share, mu);
          if (Number.isFinite(z.front) && l.rearShare > z.front * l.heightOverWheelbase)
            expect(adhesionUsed(l, share, z.front).front).toBeCloseTo(mu, 8);
          if (Number.isFinite(z.rear)) expect(adhesionUsed(l, share, z.rear).rear).toBeCloseTo(mu, 8);
        },
      ),
    );
  });
  test('the engine moves adhesion used from front to rear', () => {
    const l = { rearShare: 0.58, heightOverWheelbase: 0.26 };
    const off = adhesionUsed(l, 0.6, 0.5);
    const on = adhesionUsed(l, 0.6, 0.5, 0.1);
    expect(on.front).toBeLessThan(off.front);
    expect(on.rear).toBeGreaterThan(off.rear);
  });
});
