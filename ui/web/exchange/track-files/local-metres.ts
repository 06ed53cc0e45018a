/**
 * Between places on earth and metres on the ground round a start: azimuthal equidistant on the WGS 84 ellipsoid.
 *
 * In: degrees. Out: m east and north of the origin, and back: x = s sin(azimuth), y = s cos(azimuth), s and azimuth of
 * the geodesic from the origin. Distances from the origin are exact; across, lengths come out too short by the share
 * 1 - sin(r/R)/(r/R), about r²/(6R²): 0.4 mm in a kilometre at 10 km. Works at any latitude and across 180°.
 */
import geographic from 'geographiclib-geodesic';

export interface Origin {
  /** Degrees */
  readonly latitude: number;
  readonly longitude: number;
}

const { WGS84, DISTANCE, AZIMUTH, LATITUDE, LONGITUDE } = geographic.Geodesic;
const RADIANS = Math.PI / 180;

export function toMetres(origin: Origin, latitude: number, longitude: number): { x: number; y: number } {
  const { s12 = 0, azi1 = 0 } = WGS84.Inverse(
    origin.latitude,
    origin.longitude,
    latitude,
    longitude,
    DISTANCE | AZIMUTH,
  );
  return { x: s12 * Math.sin(azi1 * RADIANS), y: s12 * Math.cos(azi1 * RADIANS) };
}

export function toDegrees(origin: Origin, x: number, y: number): Origin {
  const azimuth = Math.atan2(x, y) / RADIANS;
  const { lat2 = 0, lon2 = 0 } = WGS84.Direct(
    origin.latitude,
    origin.longitude,
    azimuth,
    Math.hypot(x, y),
    LATITUDE | LONGITUDE,
  );
  return { latitude: lat2, longitude: lon2 };
}
