/**
 * Cautions that the answers themselves give cause for, and the ones that always stand.
 *
 * In: results as shown. Out: sentences. Pure.
 */
import type { BrakeResult, LapResult } from '../../../sim/index.ts';
import { metres, percent, seconds } from './numbers.ts';

/** Tip margin under which a rut or kerb could take the rest (common practice: 10-20 %, no source). */
const THIN_MARGIN = 0.2;

export function lapCautions(lap: LapResult): string[] {
  const tipping = lap.timeAtLimit[lap.limits.indexOf('tip')] ?? 0;
  if (tipping > 0)
    return [
      `It tips before it slides: for ${seconds(tipping)} of the lap only the lifting inner wheels hold the speed down. Ruts and kerbs tip it sooner still.`,
    ];
  if (lap.tipMargin < THIN_MARGIN)
    return [
      `Only ${percent(Math.max(0, lap.tipMargin))} in hand before the inner wheels lift, ${metres(lap.tipMarginAt)} from the start; ruts and kerbs are not in that.`,
    ];
  return [];
}

export function stopCautions(stops: readonly { stop: BrakeResult; ground: string }[]): string[] {
  return stops
    .filter(({ stop }) => stop.firstToLock === 'rear')
    .map(({ stop, ground }) => {
      const how = stop.engine === 'clutch in' ? 'clutch in' : 'left in gear';
      return `On ${ground}, ${how}, the rear wheels lock first: it wants to swap ends.`;
    });
}

export const STANDING_CAUTION =
  'Estimates for a closed course with leave to use it. Class rules and the inspector’s word stand over any number here. Flat ground unless heights were given; one line, driven alike every lap; no ruts, traffic or tyre warm-up.';

export const ENGINE_CAUTION =
  'Engine braking is not a brake, and no limiter saves an engine from a downshift made too fast.';
