/**
 * Engine drag with the throttle shut, estimated from friction and pumping mean effective pressure.
 *
 * In: displacement, strokes, engine speed, pumping pressure (SI). Out: drag torque at the crank. An
 * estimate always: measured closed-throttle points replace it.
 */

/** Stroke of the engines the correlation stands on, m (fours of 845 to 2000 cm3; assumed, from memory). */
const CORRELATION_STROKE = 0.08;

/**
 * Engine speed at which an engine of the correlation's stroke has the same mean piston speed, rad/s:
 * n s/0.08 m. Friction follows piston speed rather than turns (Heywood, section 13.5), so this carries
 * the correlation to short-stroke engines that turn far beyond its range.
 * @param stroke s, m; without it the engine speed itself is used
 */
export function equivalentSpeed(engineSpeed: number, stroke: number | undefined): number {
  return stroke === undefined ? engineSpeed : (engineSpeed * stroke) / CORRELATION_STROKE;
}

/**
 * Friction mean effective pressure at full-throttle motoring, Pa:
 * tfmep[bar] = 0.97 + 0.15 (N/1000) + 0.05 (N/1000)^2, N in rpm.
 * @param engineSpeed omega, rad/s; found on 845 to 2000 cm3 fours below 6,000 rpm, beyond that extrapolated
 * Source: Barnes-Moss correlation in J. B. Heywood, Internal Combustion Engine Fundamentals, eq. 13.6.
 * Pinned by the `motoring-friction` evidence.
 */
export function frictionPressure(engineSpeed: number): number {
  const thousands = (engineSpeed * 30) / Math.PI / 1000;
  return 1e5 * (0.97 + 0.15 * thousands + 0.05 * thousands * thousands);
}

/**
 * Drag torque of a closed throttle, N m, positive: T = (fmep + pmep) V_d/(4 pi) for four strokes,
 * V_d/(2 pi) for two.
 * @param displacement V_d, m3
 * @param stroke s, m; optional, see equivalentSpeed
 * @param pumping pmep, Pa, about 0.5 to 0.8 bar on overrun
 * Source: definition of mean effective pressure, Heywood section 2.7.
 */
export function closedThrottleTorque(
  engineSpeed: number,
  displacement: number,
  strokes: 2 | 4,
  pumping: number,
  stroke?: number,
): number {
  const perRadian = strokes === 4 ? 4 * Math.PI : 2 * Math.PI;
  return ((frictionPressure(equivalentSpeed(engineSpeed, stroke)) + pumping) * displacement) / perRadian;
}
