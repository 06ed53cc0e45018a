/**
 * Numbers as the page says them: rounded to what is known, with their unit.
 *
 * A lap to 0.1 s, a speed to 1 km/h, engine speed to 50 rpm: finer digits would be the model's, not the kart's.
 */
import { inUnit } from '../../../sim/index.ts';
import { chanceWords } from '../../words/doubt-words.ts';

/** Keeps a number and its unit on one line. */
export const NB = '\u00a0';
const MINUTE = 60;
/** rpm */
const RPM_STEP = 50;
const RPM_PER_RAD = 30 / Math.PI;

/** m/s2 */
const STANDARD_GRAVITY = 9.80665;

const grouped = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 0 });

export function seconds(time: number): string {
  const tenths = Math.round(time * 10);
  if (tenths < 10 * 2 * MINUTE) return `${(tenths / 10).toFixed(1)}${NB}s`;
  const minutes = Math.floor(tenths / (10 * MINUTE));
  return `${minutes}${NB}min ${((tenths - minutes * 10 * MINUTE) / 10).toFixed(1)}${NB}s`;
}

/** One standard deviation of hundredths of a second, behind the number itself; nothing where it is not known. */
export function giveOrTake(spread: number | null): string {
  return spread === null ? '' : `${NB}±${NB}${spread.toFixed(2)}`;
}

export function speed(value: number, unit: string): string {
  return `${inUnit(value, 'speed', unit).toFixed(unit === 'm/s' ? 1 : 0)}${NB}${unit}`;
}

/** Units per m/s, for whole columns: looking the unit up for every station would cost more than the lap. */
export function speedFactor(unit: string): number {
  return inUnit(1, 'speed', unit);
}

export function metres(value: number): string {
  return `${value.toFixed(0)}${NB}m`;
}

/** A length to so many decimals: those it is compared with have the same. */
export function lengthOf(value: number, decimals: number): string {
  return `${value.toFixed(decimals)}${NB}m`;
}

/** An acceleration in multiples of standard gravity. */
export function gees(value: number): string {
  return `${(value / STANDARD_GRAVITY).toFixed(2)}${NB}g`;
}

/** A stopping distance: half metres would pretend, whole ones hide a difference worth having. */
export function stopMetres(value: number): string {
  return `${value.toFixed(value < 10 ? 1 : 0)}${NB}m`;
}

export function engineSpeed(value: number): string {
  return `${grouped.format(Math.round((value * RPM_PER_RAD) / RPM_STEP) * RPM_STEP)}${NB}rpm`;
}

export function inRpm(value: number): number {
  return value * RPM_PER_RAD;
}

export function percent(share: number): string {
  const rounded = Math.round(share * 100);
  if (rounded === 0 && share > 0) return 'under 1 %';
  return `${rounded}${NB}%`;
}

/** As `chanceWords`, the number kept on one line with its sign. */
export function chance(probability: number): string {
  return chanceWords(probability).replace(' %', `${NB}%`);
}

export function times(count: number, one: string, many: string): string {
  return count === 0 ? `no ${many}` : count === 1 ? `one ${one}` : `${grouped.format(count)} ${many}`;
}

/** Time of day of an answer. */
export function clockTime(at: number): string {
  return new Date(at).toLocaleTimeString('en-GB');
}
