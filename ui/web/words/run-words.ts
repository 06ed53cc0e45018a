/** A run from standing in sentences, built from the solver's result. Pure. */
import type { AccelerationResult, ThrustResult } from '../../../sim/index.ts';
import { inGear } from '../../words/gear-words.ts';
import { metres, seconds, speed, times } from './numbers.ts';

/** Marks shown in the table, by the solver's label. */
export const SHOWN_MARKS = ['60 ft', '100 m', '1/4 mile', '0-50 km/h', '0-100 km/h'] as const;

export function runSentence(run: AccelerationResult, ground: string, unit: string): string {
  const mark = run.marks.find((m) => m.label === '100 m');
  const reached =
    mark?.time == null
      ? `${metres(run.distance)} take ${seconds(run.time)}`
      : `100 m take ${seconds(mark.time)}, leaving at ${speed(mark.speed ?? 0, unit)}`;
  return `From standing on ${ground}: ${reached}.`;
}

export function tractionSentence(run: AccelerationResult, unit: string): string {
  const { time, untilSpeed } = run.tractionLimited;
  if (time <= 0.05) return 'The engine, not the tyres, sets the pace from the start.';
  const whole = time >= 0.95 * run.time;
  const changes = run.shifts === null ? '' : ` (${times(run.shifts.length, 'gear change', 'gear changes')})`;
  return whole
    ? `The tyres, not the engine, set the pace all the way${changes}.`
    : `The tyres, not the engine, set the pace for ${seconds(time)}, up to ${speed(untilSpeed, unit)}.`;
}

/** s; a clutch that slips for longer than a start should take is worth a word (common practice, no source). */
const LONG_SLIP = 1.5;

/** Why the clutch comes home so late where the tyres set the pace; nothing to say otherwise. */
export function clutchSentence({ clutchLocksAt, tractionLimited, shifts }: AccelerationResult): string {
  // A belt takes up the drive by itself: nobody holds it.
  if (shifts === null || clutchLocksAt === null || clutchLocksAt < LONG_SLIP) return '';
  return tractionLimited.time >= clutchLocksAt
    ? `The clutch is home after ${seconds(clutchLocksAt)} only because the engine is held at its launch speed: the tyres set the pace, so a lower launch speed or letting it out sooner loses nothing here and spares the clutch.`
    : `The clutch slips for ${seconds(clutchLocksAt)}: more than most stand for long.`;
}

export function topSpeedSentence(top: ThrustResult, ground: string, unit: string): string {
  const gear = top.gears.find((g) => g.name === top.topGear);
  if (gear === undefined || gear.topSpeedBecause === 'cannot hold')
    return `On ${ground} no gear holds any speed.`;
  const why =
    gear.topSpeedBecause === 'limiter'
      ? 'the rev limiter ends it'
      : gear.topSpeedBecause === 'grip'
        ? 'the driven tyres carry no more against air and rolling resistance'
        : 'air and rolling resistance end it';
  return `Top speed on a long level straight of ${ground}: ${speed(top.topSpeed, unit)} ${inGear(top.topGear)}; ${why}.`;
}
