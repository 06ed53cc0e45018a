/** When to shift, in sentences and tables, from the thrust run's result. Pure. */
import type { GearSummary, ThrustResult } from '../../../sim/index.ts';
import { isBeltDrive } from '../../../sim/index.ts';
import { list } from './lap-words.ts';
import { engineSpeed, percent, speed } from './numbers.ts';

/** Shifts that all come at about the limiter are said in one breath: share of the limiter's speed. */
const AT_LIMITER = 0.985;
/** From here on a shift is at the limiter to the rpm shown. */
const FULLY = 0.999;

export function shiftSentence(top: ThrustResult, unit: string): string {
  if (isBelt(top)) return beltSentence(top, unit);
  const shifts = top.gears.filter(
    (gear): gear is GearSummary & { upshiftSpeed: number; upshiftEngineSpeed: number } =>
      gear.upshiftSpeed !== null && gear.upshiftEngineSpeed !== null,
  );
  if (shifts.length === 0) return 'One gear: nothing to shift.';
  const late = shifts.filter((gear) => gear.upshiftSpeed >= AT_LIMITER * gear.limitSpeed);
  if (late.length === shifts.length)
    return `Hold every gear to the limiter: at ${engineSpeed(shifts[0]!.upshiftEngineSpeed)} the next gear still pulls less.`;
  const early = shifts.filter((gear) => !late.includes(gear));
  const words = early.map(
    (gear) => `${gear.name} at ${engineSpeed(gear.upshiftEngineSpeed)} (${speed(gear.upshiftSpeed, unit)})`,
  );
  const rest =
    late.length === 0
      ? ''
      : ` Hold ${late.length === 1 ? 'gear' : 'gears'} ${list(late.map((g) => g.name))} to the limiter${late.some((g) => g.upshiftSpeed < FULLY * g.limitSpeed) ? ' or just short of it' : ''}.`;
  return `Shift up out of ${list(words)}: there the next gear pulls as hard.${rest}`;
}

/** What the belt does in the driver's place; no speed is named that the gears do not give. */
function beltSentence({ gears }: ThrustResult, unit: string): string {
  const [low, held, high] = gears;
  if (low?.upshiftSpeed == null || low.upshiftEngineSpeed === null || held?.upshiftSpeed == null)
    return 'The belt changes the ratio by itself.';
  const limiter =
    high !== undefined && Number.isFinite(high.limitSpeed)
      ? `, on the limiter at ${speed(high.limitSpeed, unit)}`
      : '';
  return `The belt changes the ratio by itself: from ${speed(low.upshiftSpeed, unit)} to ${speed(held.upshiftSpeed, unit)} it holds the engine at ${engineSpeed(low.upshiftEngineSpeed)}; slower than that it runs in its lowest ratio, faster in its highest${limiter}.`;
}

/** Where a part of the belt's range gives over to the next, by its name: it begins to change, or has nothing left. */
export const BELT_MARKS: ReadonlyMap<string, string> = new Map([
  ['low', 'belt begins to change'],
  ['belt', 'highest ratio'],
]);

/**
 * Above which road speed a belt's engine is driven beyond what it survives, the throttle shut and the belt in its highest
 * ratio; '' for a box, whose gears differ.
 */
export function beltOverRevSentence(top: ThrustResult, unit: string): string {
  const high = top.gears.at(-1);
  return !isBelt(top) || high === undefined || !Number.isFinite(high.safeDownshiftSpeed)
    ? ''
    : `With the throttle shut the belt is taken to stand in its highest ratio: above ${speed(high.safeDownshiftSpeed, unit)}, downhill say, the wheels drive the engine past the highest speed given for it.`;
}

export function isBelt({ gears }: ThrustResult): boolean {
  return isBeltDrive(gears.map(({ name }) => name));
}

/** How far the engine drops at the shift that drops it most. */
export function dropSentence(top: ThrustResult): string {
  if (isBelt(top)) return '';
  const drops = top.gears.flatMap((gear) =>
    gear.upshiftEngineSpeed === null || gear.engineSpeedAfter === null
      ? []
      : [
          {
            gear: gear.name,
            share: 1 - gear.engineSpeedAfter / gear.upshiftEngineSpeed,
            after: gear.engineSpeedAfter,
          },
        ],
  );
  const most = drops.sort((a, b) => b.share - a.share)[0];
  return most === undefined
    ? ''
    : `The widest step is out of ${most.gear}: the engine falls by ${percent(most.share)}, to ${engineSpeed(most.after)}.`;
}
