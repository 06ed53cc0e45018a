/** The day a kart runs on: air and gravity in SI, from the day of a project file. */
import type { AirState } from '../physics/air.ts';
import { airDensity, standardPressure } from '../physics/air.ts';
import type { DaySpec } from '../project/schema.ts';

export interface CompiledDay {
  readonly name: string;
  readonly air: AirState;
  /** rho, kg/m3 */
  readonly density: number;
  readonly gravity: number;
  /** Wind against the direction of travel, m/s; negative with it. */
  readonly headwind: number;
  /** Grip factor per surface id; 1 where absent. */
  readonly grip: Readonly<Record<string, number>>;
}

export function compileDay(spec: DaySpec): CompiledDay {
  const pressure = spec.pressure ?? standardPressure(spec.altitude);
  const air = { temperature: spec.temperature, pressure, humidity: spec.humidity };
  const sign = spec.wind.along === 'against' ? 1 : spec.wind.along === 'with' ? -1 : 0;
  return {
    name: spec.name,
    air,
    density: spec.density ?? airDensity(air),
    gravity: spec.gravity,
    headwind: sign === 0 ? 0 : sign * spec.wind.speed,
    grip: spec.grip,
  };
}
