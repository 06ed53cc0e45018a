/**
 * Reads a quantity as a mixed-unit trade writes it: `18.5 in`, `50 lbf*ft`, `6'2"`, `11,500 rpm`, `0,8 bar`.
 *
 * In: what was typed, the dimension expected and the range that is physically possible. Out: the SI
 * value, or why it cannot be read. A bare number is SI. A comma is a decimal comma, or separates
 * thousands, whichever the text or the possible range decides; where both readings remain possible
 * the text is refused as ambiguous rather than guessed at.
 */
import type { Dimension, Unit } from './units.ts';
import { findUnit, toSI, unitsOf } from './units.ts';

export interface Range {
  readonly min: number;
  readonly max: number;
}

export type Parsed =
  | { readonly ok: true; readonly value: number; readonly unit: string }
  | {
      readonly ok: false;
      readonly reason: 'not-a-number' | 'unknown-unit' | 'ambiguous';
      readonly message: string;
    };

const MAX_LENGTH = 64;
/** Digits grouped by spaces in threes, or digits with points and commas; '3000 1/min' ends at the space. */
const NUMBER_THEN_UNIT =
  /^([+-]?(?:\d{1,3}(?:[ \u00a0\u2009\u202f]\d{3})+(?!\d)(?:[.,]\d+)?|\d[\d.,’']*|[.,]\d+)(?:e[+-]?\d+)?)\s*(.*)$/i;
const FEET_AND_INCHES = /^(\d+(?:[.,]\d+)?)\s*(?:'|′|ft)\s*(\d+(?:[.,]\d+)?)\s*(?:"|″|in)$/i;

/** Reads `text` as a value of `dimension`, a bare number in `bareUnit` (SI unless given); never throws. */
export function parseQuantity(text: string, dimension: Dimension, possible: Range, bareUnit?: Unit): Parsed {
  const typed = text.trim();
  if (typed === '' || typed.length > MAX_LENGTH) return fail('not-a-number', 'is not a number with a unit');
  if (dimension === 'length') {
    const feet = FEET_AND_INCHES.exec(typed);
    if (feet) {
      const total = plain(feet[1] ?? '') * 12 + plain(feet[2] ?? '');
      return { ok: true, value: total * 0.0254, unit: 'in' };
    }
  }
  const match = NUMBER_THEN_UNIT.exec(typed.replace(/−/g, '-'));
  if (!match) return fail('not-a-number', 'does not begin with a number');
  let digits = (match[1] ?? '').trim();
  let unitText = (match[2] ?? '').trim();
  if (/['’]$/.test(digits)) {
    unitText = `'${unitText}`;
    digits = digits.slice(0, -1);
  }
  const unit = unitText === '' ? (bareUnit ?? unitsOf(dimension)[0]) : findUnit(dimension, unitText);
  if (unit === undefined)
    return fail('unknown-unit', `has the unit '${unitText}', ${whatInstead(dimension)}`);
  const readings = readNumber(digits).filter(Number.isFinite);
  if (readings.length === 0) return fail('not-a-number', `has a number that cannot be read ('${digits}')`);
  const values = readings.map((n) => toSI(n, unit));
  const within = values.filter((v) => v >= possible.min && v <= possible.max);
  if (values.length > 1 && within.length > 1) {
    return fail('ambiguous', `could mean ${readings.join(' or ')}: write it without the comma`);
  }
  return { ok: true, value: within[0] ?? values[0]!, unit: unit.label };
}

/** How a value of the dimension is written, for messages: `write a number with one of the units mm, cm or in`. */
export function howToWrite(dimension: Dimension): string {
  const units = unitList(dimension);
  return units === '' ? 'write a plain number' : `write a number with one of the units ${units}`;
}

function whatInstead(dimension: Dimension): string {
  const units = unitList(dimension);
  return units === '' ? 'but is a plain number' : `which is not one of ${units}`;
}

/** `mm, cm or in`; empty where the dimension has no unit. */
export function unitList(dimension: Dimension): string {
  const labels = unitsOf(dimension)
    .map((u) => u.label)
    .filter((label) => label !== '');
  return labels.length > 1 ? `${labels.slice(0, -1).join(', ')} or ${labels.at(-1)}` : (labels[0] ?? '');
}

/** All readings a written number allows: one, or two where a comma could be either mark. */
function readNumber(digits: string): number[] {
  const asWritten = Number(digits);
  if (!Number.isNaN(asWritten)) return [asWritten];
  const [mantissa = '', exponent] = digits.toLowerCase().split('e');
  const power = exponent === undefined ? 1 : 10 ** Number(exponent);
  const compact = mantissa.replace(/[ \u00a0\u2009\u202f’']/g, '');
  const commas = compact.split(',').length - 1;
  const points = compact.split('.').length - 1;
  if (commas === 0) return points <= 1 ? [Number(compact) * power] : thousands(compact, '.', power);
  if (points > 1 && commas > 1) return [];
  if (points >= 1) {
    return compact.lastIndexOf(',') > compact.lastIndexOf('.')
      ? grouped(compact, '.', ',', power)
      : grouped(compact, ',', '.', power);
  }
  if (commas > 1) return thousands(compact, ',', power);
  const decimal = Number(compact.replace(',', '.')) * power;
  return /^[+-]?[1-9]\d{0,2},\d{3}$/.test(compact)
    ? [Number(compact.replace(',', '')) * power, decimal]
    : [decimal];
}

function thousands(text: string, mark: string, power: number): number[] {
  const pattern = mark === ',' ? /^[+-]?\d{1,3}(,\d{3})+$/ : /^[+-]?\d{1,3}(\.\d{3})+$/;
  return pattern.test(text) ? [Number(text.replaceAll(mark, '')) * power] : [];
}

function grouped(text: string, group: string, decimal: string, power: number): number[] {
  const [whole = '', fraction = ''] = text.split(decimal);
  if (text.split(decimal).length !== 2 || fraction.includes(group)) return [];
  return thousands(whole, group, 1).map(
    (n) => (n + (whole.startsWith('-') ? -1 : 1) * Number(`0.${fraction || '0'}`)) * power,
  );
}

function plain(text: string): number {
  return Number(text.replace(',', '.'));
}

function fail(reason: 'not-a-number' | 'unknown-unit' | 'ambiguous', message: string): Parsed {
  return { ok: false, reason, message };
}
