/**
 * Air: the standard atmosphere, the density of moist air and what the weather does to engine power.
 *
 * In: altitude, temperature, pressure, humidity (SI). Out: pressure, density, correction factors.
 */

/** Constants of ISO 2533:1975, clause 2. */
const SEA_LEVEL = { temperature: 288.15, pressure: 101_325, gravity: 9.80665, lapse: -0.0065 } as const;
/** Specific gas constants, J/(kg K): dry air of ISO 2533; water vapour. */
const R_DRY = 287.05287;
const R_VAPOUR = 461.523;

/**
 * Temperature T of the standard atmosphere below 11 km, K: T = T0 + L H.
 * @param altitude geopotential altitude H, m, -1000 to 11000
 * Source: ISO 2533:1975, eq. (3). Pinned by the `standard-atmosphere` evidence.
 */
export function standardTemperature(altitude: number): number {
  return SEA_LEVEL.temperature + SEA_LEVEL.lapse * altitude;
}

/**
 * Pressure p of the standard atmosphere below 11 km, Pa: p = p0 (T/T0)^(-g0/(L R)).
 * @param altitude geopotential altitude H, m, -1000 to 11000
 * Source: ISO 2533:1975, eq. (12). Pinned by the `standard-atmosphere` evidence.
 */
export function standardPressure(altitude: number): number {
  const exponent = -SEA_LEVEL.gravity / (SEA_LEVEL.lapse * R_DRY);
  return SEA_LEVEL.pressure * (standardTemperature(altitude) / SEA_LEVEL.temperature) ** exponent;
}

/**
 * Saturation pressure of water vapour over water e_s, Pa:
 * e_s = 611.21 exp((18.678 - t/234.5) t/(257.14 + t)), t in degrees Celsius.
 * @param temperature T, K, 230 to 330
 * Source: A. L. Buck, J. Appl. Meteorol. 20 (1981) 1527, as revised 1996.
 */
export function saturationPressure(temperature: number): number {
  const t = Math.max(temperature - 273.15, -80);
  return 611.21 * Math.exp(((18.678 - t / 234.5) * t) / (257.14 + t));
}

export interface AirState {
  /** T, K */
  readonly temperature: number;
  /** p, Pa */
  readonly pressure: number;
  /** relative humidity, 0 to 1 */
  readonly humidity: number;
}

/** Partial pressure of water vapour e, Pa, never above the pressure of the air itself. */
export function vapourPressure(air: AirState): number {
  return Math.min(air.humidity * saturationPressure(air.temperature), 0.9 * air.pressure);
}

/**
 * Density of moist air rho, kg/m3: rho = (p - e)/(R_d T) + e/(R_v T).
 * Ideal-gas mixture; good to 0.1 % in weather anybody races in.
 */
export function airDensity(air: AirState): number {
  const e = vapourPressure(air);
  return ((air.pressure - e) / R_DRY + e / R_VAPOUR) / air.temperature;
}

export type CorrectionMethod = 'ISO 1585' | 'SAE J1349' | 'SAE J607';

/**
 * Factor that carries a naturally aspirated engine's observed torque to the method's standard air;
 * torque on the day is the standard torque divided by it.
 * - ISO 1585: (99 kPa/p_s)^1.2 (T/298 K)^0.6, p_s dry pressure; stated for 0.93 to 1.07.
 * - SAE J1349 (1990): 1.180 (990 hPa/p_d) sqrt(T/298 K) - 0.18, T = Celsius + 273.
 * - SAE J607: (29.92 inHg/(p - e)) sqrt((459.7 + F)/519.7), F in degrees Fahrenheit.
 * Sources beside the `power-correction` evidence.
 */
export function correctionFactor(method: CorrectionMethod, air: AirState): number {
  const dry = air.pressure - vapourPressure(air);
  switch (method) {
    case 'ISO 1585':
      return (99_000 / dry) ** 1.2 * (air.temperature / 298) ** 0.6;
    case 'SAE J1349':
      return 1.18 * (99_000 / dry) * Math.sqrt((air.temperature - 0.15) / 298) - 0.18;
    case 'SAE J607':
      return ((29.92 * 3386.388640341) / dry) * Math.sqrt((air.temperature * 1.8 + 0.03) / 519.7);
  }
}

/** Air each published standard refers its figures to. */
export const REFERENCE_AIR = {
  'ISO 1585': { temperature: 298, pressure: 99_000, humidity: 0 },
  'SAE J1349': { temperature: 298.15, pressure: 99_000, humidity: 0 },
  'SAE J607': { temperature: 288.706, pressure: 29.92 * 3386.388640341, humidity: 0 },
  'DIN 70020': { temperature: 293.15, pressure: 101_325, humidity: 0 },
} as const satisfies Record<string, AirState>;

/**
 * Torque on the day over torque as stated: the stated condition's factor over the day's.
 * 1 where the sheet is taken as it stands.
 */
export function torqueFactor(method: CorrectionMethod, stated: AirState, day: AirState): number {
  return correctionFactor(method, stated) / correctionFactor(method, day);
}
