/**
 * What a number field understands and says: text with a unit in, SI value and echo out.
 *
 * A bare number is in the unit the field shows. Pure: no DOM, no document.
 */
import type { QuantityName } from '../../../sim/index.ts';
import { findUnit, fromSI, quantity, readQuantity, readRatio, readSpread } from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';

export interface Refusal {
  readonly message: string;
  readonly limit?: string;
  readonly remedy?: string;
}

export type Understood =
  | { readonly ok: true; readonly value: number; readonly text: string }
  | ({ readonly ok: false } & Refusal);

const BARE_NUMBER = /^[+-]?[\d.,'’\s]*\d[.,]?$/;

/** Reads what was typed; `text` is how the document should hold it. */
export function understand(typed: string, name: QuantityName, shown: string): Understood {
  const trimmed = typed.trim();
  const text = BARE_NUMBER.test(trimmed) && shown !== '' ? `${trimmed} ${shown}` : trimmed;
  if (trimmed === '') return { ok: false, message: `${quantity(name).label} is missing` };
  const read = name === 'ratio' ? readRatio(text) : readQuantity(text, name);
  if (typeof read === 'number') return { ok: true, value: read, text };
  return {
    ok: false,
    message: read.message,
    ...(read.limit === undefined ? {} : { limit: read.limit }),
    ...(read.remedy === undefined ? {} : { remedy: read.remedy }),
  };
}

/** Narrows what a quantity allows to what makes sense in this place. */
export function within(
  understood: Understood,
  range: { readonly min: number; readonly max: number; readonly why: string; readonly limit: string },
): Understood {
  if (!understood.ok || (understood.value >= range.min && understood.value <= range.max)) return understood;
  return { ok: false, message: range.why, limit: range.limit };
}

/** An SI value in a unit, rounded to what a builder could have meant. */
export function inShown(value: number, name: QuantityName, shown: string, digits = 4): string {
  const unit = findUnit(quantity(name).dimension, shown);
  if (unit === undefined) throw new Error(`inShown: '${shown}' is no unit of ${name}`);
  const number = String(Number(fromSI(value, unit).toPrecision(digits)));
  return shown === '' ? number : `${number} ${shown}`;
}

/** The same value in the other units a builder thinks in: `86 kg = 190 lb`. */
export function echo(value: number, name: QuantityName, units: readonly string[]): string {
  return units.map((unit) => inShown(value, name, unit, 3)).join(' = ');
}

/** A refusal in one sentence: what, the limit, what to do. */
export function refusalSentence(refusal: Refusal): string {
  const limit = refusal.limit === undefined ? '' : ` It may be ${refusal.limit}.`;
  const remedy = refusal.remedy === undefined ? '' : ` ${capital(refusal.remedy)}.`;
  return `${capital(refusal.message)}.${limit}${remedy}`;
}

/** Reads one standard deviation: a percentage of the value, or a quantity of its kind. */
export function understandSpread(typed: string, name: QuantityName, value: number): Understood {
  const read = readSpread(typed.trim(), name, value);
  if (typeof read === 'number') return { ok: true, value: read, text: typed.trim() };
  return {
    ok: false,
    message: read.message,
    ...(read.limit === undefined ? {} : { limit: read.limit }),
    ...(read.remedy === undefined ? {} : { remedy: read.remedy }),
  };
}

/** A spread in a unit: a difference of temperatures has no offset. */
export function spreadText(spread: number, name: QuantityName, shown: string): string {
  const unit = findUnit(quantity(name).dimension, shown);
  if (unit === undefined) throw new Error(`spreadText: '${shown}' is no unit of ${name}`);
  const number = String(Number((fromSI(spread, unit) - fromSI(0, unit)).toPrecision(3)));
  return shown === '' ? number : `${number} ${shown}`;
}
