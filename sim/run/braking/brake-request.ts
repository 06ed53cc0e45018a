/**
 * What a braking run was asked for, checked against the kart.
 *
 * In: options. Out: mode, speeds, first gear and the force of a held pedal, or the problems that stand in the way.
 */
import { draggingGearFor } from '../../compile/drivetrain.ts';
import type { CompiledKart } from '../../compile/kart.ts';
import type { Problem } from '../../project/problem.ts';
import { problem } from '../../project/problem.ts';
import type { BrakeMode, BrakeOptions, EngineMode } from './brake-options.ts';

export interface BrakeRequest {
  readonly mode: BrakeMode;
  readonly engineMode: EngineMode;
  readonly fromSpeed: number;
  readonly toSpeed: number;
  readonly grade: number;
  /** Index of the gear at the start, -1 with the clutch in */
  readonly gear: number;
  /** Force of the brakes with the pedal held, N */
  readonly held: number;
}

export function brakeRequest(
  kart: CompiledKart,
  options: BrakeOptions,
): { request: BrakeRequest } | { problem: Problem } {
  const { drivetrain } = kart;
  const { gears, isBelt } = drivetrain;
  const mode = options.brakes ?? 'threshold';
  const asked = options.engine ?? 'clutch in';
  const engineMode = isBelt && asked === 'shifting down' ? 'in gear' : asked;
  const { fromSpeed, toSpeed = 0, grade = 0 } = options;
  if (!(fromSpeed > toSpeed)) {
    return {
      problem: problem('speeds', 'options', 'the first speed must be above the last', {
        value: `${(fromSpeed * 3.6).toFixed(1)} to ${(toSpeed * 3.6).toFixed(1)} km/h`,
      }),
    };
  }
  if (!isBelt && options.gear !== undefined && gears[options.gear - 1] === undefined) {
    return {
      problem: problem('no-gear', 'options', 'there is no such gear', {
        value: String(options.gear),
        limit: `1 to ${gears.length}`,
      }),
    };
  }
  const held = heldForce(kart, options, mode);
  if (typeof held !== 'number') return { problem: held };
  const gear =
    engineMode === 'clutch in'
      ? -1
      : draggingGearFor(drivetrain, fromSpeed, options.gear === undefined ? undefined : options.gear - 1);
  if (gear >= 0 && fromSpeed > gears[gear]!.safeSpeed * (1 + 1e-9)) {
    return {
      problem: problem(
        'over-rev',
        'options',
        isBelt
          ? 'the belt, in its high ratio on a closed throttle, would drive the engine beyond its safe speed'
          : `gear ${gears[gear]!.name} would drive the engine beyond its safe speed`,
        {
          value: `${(fromSpeed * 3.6).toFixed(0)} km/h`,
          limit: `${(gears[gear]!.safeSpeed * 3.6).toFixed(0)} km/h`,
          remedy: isBelt
            ? 'begin the stop slower, or gear the final drive taller: a limiter cannot prevent it'
            : 'start in a higher gear: a limiter cannot prevent over-rev on a downshift',
        },
      ),
    };
  }
  return { request: { mode, engineMode, fromSpeed, toSpeed, grade, gear, held } };
}

/** The braking force of a held pedal, N, or the problem that it cannot be known. */
function heldForce(kart: CompiledKart, options: BrakeOptions, mode: BrakeMode): number | Problem {
  if (mode !== 'held') return 0;
  if (options.brakeForce !== undefined) return options.brakeForce;
  if (options.pedalForce !== undefined && kart.brakes.gain !== undefined)
    return options.pedalForce * kart.brakes.gain;
  return options.pedalForce === undefined
    ? problem('no-pedal-force', 'options', 'a held pedal needs its force', {
        remedy: 'give a pedal force, or a braking force',
      })
    : problem(
        'no-hydraulics',
        `karts.${kart.id}.brakes`,
        'a pedal force says nothing without the hydraulics',
        { remedy: 'enter bores, pads and pedal ratio, or give a braking force' },
      );
}
