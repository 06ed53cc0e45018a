/** Metres on the ground against the ellipsoid's own formulas and a published test line. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { toDegrees, toMetres } from '../../../../../ui/web/exchange/track-files/local-metres.ts';

/** WGS 84: NIMA TR8350.2, World Geodetic System 1984, 3rd edition, 1997, table 3.1. */
const A = 6_378_137;
const F = 1 / 298.257223563;
const E2 = F * (2 - F);
const RADIANS = Math.PI / 180;

describe('from degrees to metres', () => {
  it('a step north is the meridian radius of curvature times the angle, a step east the prime vertical one times cos', () => {
    // Radii of curvature of an ellipsoid of revolution, any geodesy textbook: M = a(1-e²)/W³, N = a/W, W² = 1 - e² sin².
    for (const latitude of [-80, -52.3, -10, 0, 23.4, 45, 51.7, 60, 75, 89]) {
      const w = Math.sqrt(1 - E2 * Math.sin(latitude * RADIANS) ** 2);
      const [m, n] = [(A * (1 - E2)) / w ** 3, A / w];
      const step = 0.001;
      const from = { latitude: latitude - step / 2, longitude: 12 };
      const north = toMetres(from, latitude + step / 2, 12);
      // M changes by a share of (step)²/24 over the step: 1e-11. A nanometre in 111 m is what is left to rounding.
      expect(north.y).toBeCloseTo(m * step * RADIANS, 6);
      expect(north.x).toBeCloseTo(0, 6);
      const east = toMetres({ latitude, longitude: 12 }, latitude, 12 + step);
      // The parallel bends away from the geodesic: its chord is shorter by (dλ sin φ)²/24, 1e-11 of 111 m, and the
      // place lies dλ² sin φ cos φ N/2 north of the tangent.
      const turn = step * RADIANS;
      expect(east.x).toBeCloseTo(n * Math.cos(latitude * RADIANS) * turn, 5);
      expect(east.y).toBeCloseTo(
        (n * turn ** 2 * Math.sin(latitude * RADIANS) * Math.cos(latitude * RADIANS)) / 2,
        6,
      );
    }
  });

  it('a quarter of the meridian is as long as the series says', () => {
    // Meridian arc from equator to pole, in the third flattening n (F. R. Helmert, Die mathematischen und physikalischen
    // Theorieen der höheren Geodäsie, 1880): a/(1+n) (1 + n²/4 + n⁴/64 + ...) π/2.
    const n = F / (2 - F);
    const quarter = (A / (1 + n)) * (1 + n ** 2 / 4 + n ** 4 / 64) * (Math.PI / 2);
    // Next term n⁶/256 is 1e-19; the rest is rounding over 10,000 km.
    expect(toMetres({ latitude: 0, longitude: 3 }, 90, 3).y).toBeCloseTo(quarter, 5);
  });

  it('the ends of a long line on the ellipsoid come out as published', () => {
    // Geoscience Australia, Geocentric Datum of Australia Technical Manual: Flinders Peak to Buninyong, computed with
    // Vincenty's formulas on GRS 80 - distance 54 972.271 m, azimuth 306°52'05.37". The figures are from memory. GRS 80
    // and WGS 84 differ in flattening by 1e-11: nothing here.
    const dms = (d: number, m: number, s: number): number => Math.sign(d) * (Math.abs(d) + m / 60 + s / 3600);
    const from = { latitude: dms(-37, 57, 3.7203), longitude: dms(144, 25, 29.5244) };
    const to = { latitude: dms(-37, 39, 10.1561), longitude: dms(143, 55, 35.3839) };
    const { x, y } = toMetres(from, to.latitude, to.longitude);
    // Angles are printed to 0.0001", 3 mm; azimuth to 0.01", 2.7 mm at this distance.
    expect(Math.hypot(x, y)).toBeCloseTo(54_972.271, 2);
    const azimuth = (Math.atan2(x, y) / RADIANS + 360) % 360;
    expect(Math.abs(azimuth - dms(306, 52, 5.37))).toBeLessThan(0.02 / 3600);
  });

  it('back again, anywhere, across 180° too', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -89.9, max: 89.9, noNaN: true }),
        fc.double({ min: -180, max: 180, noNaN: true }),
        fc.double({ min: -5000, max: 5000, noNaN: true }),
        fc.double({ min: -5000, max: 5000, noNaN: true }),
        (latitude, longitude, x, y) => {
          const at = toDegrees({ latitude, longitude }, x, y);
          const back = toMetres({ latitude, longitude }, at.latitude, at.longitude);
          // Degrees in double precision near 180 step by 3e-14: nanometres.
          expect(Math.hypot(back.x - x, back.y - y)).toBeLessThan(1e-6);
        },
      ),
    );
  });

  it('keeps lengths across the line of sight within the share its file states', () => {
    const origin = { latitude: 50, longitude: 8 };
    const at = (x: number, y: number) => toDegrees(origin, x, y);
    const [a, b] = [at(10_000, -500), at(10_000, 500)];
    const true_ = toMetres(a, b.latitude, b.longitude);
    // r²/(6R²) at 10 km is 4.1e-7: 0.41 mm in the kilometre.
    expect(Math.abs(Math.hypot(true_.x, true_.y) - 1000)).toBeLessThan(0.0006);
  });
});
