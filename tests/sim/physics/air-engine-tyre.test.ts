import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  airDensity,
  correctionFactor,
  REFERENCE_AIR,
  saturationPressure,
  standardPressure,
  torqueFactor,
} from '../../../sim/physics/air.ts';
import {
  closedThrottleTorque,
  equivalentSpeed,
  frictionPressure,
} from '../../../sim/physics/engine-friction.ts';
import { loadCurve, peakForce, peakSlipOf, slipCurveThrough, slipForce } from '../../../sim/physics/tyre.ts';

const share = fc.double({ min: 0, max: 1, noNaN: true });

describe('air', () => {
  test('dry air at the standard sea level: 1.225 kg/m3 (ISO 2533)', () => {
    expect(airDensity({ temperature: 288.15, pressure: 101_325, humidity: 0 })).toBeCloseTo(1.225, 4);
  });
  test('moist air is lighter, hot air too, higher places thinner', () => {
    fc.assert(
      fc.property(fc.double({ min: 250, max: 320, noNaN: true }), share, (temperature, humidity) => {
        const at = (t: number, h: number) => airDensity({ temperature: t, pressure: 101_325, humidity: h });
        expect(at(temperature, humidity)).toBeLessThanOrEqual(at(temperature, 0));
        expect(at(temperature + 1, humidity)).toBeLessThan(at(temperature, humidity));
      }),
    );
    expect(standardPressure(1000)).toBeLessThan(standardPressure(0));
  });
  test('water boils at 100 °C: e_s is about one atmosphere (Buck is stated below 50 °C, so to 1 %)', () => {
    expect(saturationPressure(373.15) / 101_325).toBeCloseTo(1, 1);
  });
  test('every correction is 1 in its own reference air and carries there and back', () => {
    for (const method of ['ISO 1585', 'SAE J1349', 'SAE J607'] as const) {
      // The standards write 25 °C as 298 K and 60 °F as 519.7 °R: 5e-6.
      expect(correctionFactor(method, REFERENCE_AIR[method])).toBeCloseTo(1, 5);
      const hot = { temperature: 310, pressure: 92_000, humidity: 0.4 };
      expect(torqueFactor(method, hot, hot)).toBe(1);
      expect(torqueFactor(method, REFERENCE_AIR[method], hot)).toBeLessThan(1);
    }
  });
});

describe('engine drag', () => {
  test('two strokes brake twice as hard per turn as four at the same mean pressure', () => {
    expect(closedThrottleTorque(400, 5e-4, 2, 6e4) / closedThrottleTorque(400, 5e-4, 4, 6e4)).toBeCloseTo(
      2,
      14,
    );
  });
  test('a stroke of 80 mm leaves the correlation as it is, a shorter one lowers it', () => {
    expect(equivalentSpeed(700, 0.08)).toBe(700);
    expect(frictionPressure(equivalentSpeed(1200, 0.042))).toBeLessThan(frictionPressure(1200));
    expect(equivalentSpeed(700, undefined)).toBe(700);
  });
});

describe('tyre', () => {
  test('capacity never falls with load, and friction at the reference load is as given', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.05, max: 2, noNaN: true }),
        fc.double({ min: 0, max: 0.6, noNaN: true }),
        fc.double({ min: 0, max: 8000, noNaN: true }),
        fc.double({ min: 0, max: 500, noNaN: true }),
        (mu, s, load, more) => {
          const curve = loadCurve(mu, s, 900);
          expect(peakForce(curve, load + more)).toBeGreaterThanOrEqual(peakForce(curve, load) - 1e-9);
          expect(peakForce(curve, 900)).toBeCloseTo(mu * 900, 9);
          if (s < 0.3) expect(peakForce(curve, 1800)).toBeCloseTo(mu * 1800 * (1 - s), 8);
        },
      ),
    );
    expect(peakForce(loadCurve(1, 0.1, 900), -5)).toBe(0);
  });
  test('a slip curve goes through its peak and its locked value', () => {
    for (const [peak, sliding] of [
      [0.1, 0.7],
      [0.2, 0.85],
      [0.12, 0.95],
    ] as const) {
      const curve = slipCurveThrough(peak, sliding);
      expect(slipForce(curve, 1)).toBeCloseTo(sliding, 6);
      expect(slipForce(curve, peak)).toBeCloseTo(1, 9);
      expect(peakSlipOf(curve)).toBeCloseTo(peak, 4);
    }
  });
  test('on ground that piles up before a locked wheel the curve does not fall', () => {
    const curve = slipCurveThrough(0.4, 1.2);
    for (let s = 0.05; s < 1; s += 0.05)
      expect(slipForce(curve, s + 0.05)).toBeGreaterThanOrEqual(slipForce(curve, s) - 1e-6);
  });
});
