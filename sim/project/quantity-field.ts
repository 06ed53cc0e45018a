/**
 * One quantity field of the project file, made from its row in the table of quantities.
 *
 * In: an SI number, text with a unit, or `{value, spread, origin, note}`. Out: the SI number. Every
 * refusal names the value, the limit and the remedy. How uncertain the builder is of the value is
 * read separately (origins.ts), so that physics sees plain numbers.
 */
import * as v from 'valibot';
import type { Parsed } from '../quantities/parse.ts';
import { howToWrite, parseQuantity } from '../quantities/parse.ts';
import type { Quantity, QuantityName } from '../quantities/table.ts';
import { quantity } from '../quantities/table.ts';
import { findUnit, fromSI, siLabel, unitsOf } from '../quantities/units.ts';

export const ORIGINS = ['measured', 'from papers', 'borrowed', 'worked out', 'assumed'] as const;
export type Origin = (typeof ORIGINS)[number];

const bare = v.union([v.number(), v.string()], 'must be a number (SI) or text with a unit');
const annotated = v.strictObject({
  value: bare,
  /** One standard deviation: same units as the value, or a percentage of it. */
  spread: v.exactOptional(bare),
  origin: v.exactOptional(v.picklist(ORIGINS)),
  note: v.exactOptional(v.pipe(v.string(), v.maxLength(1000))),
});

/** What a rejected quantity tells the reader; travels as JSON in a valibot message. */
export interface QuantityIssue {
  readonly code: string;
  readonly message: string;
  readonly value: string;
  readonly limit?: string;
  readonly remedy?: string;
}

/** The schema of a field holding `name`. */
export function quantitySchema(name: QuantityName) {
  return quantityPipe(name, (raw) => readQuantity(raw, name));
}

/** The schema of a ratio: a number, or driven/driving teeth such as "39/14". */
export function ratioSchema() {
  return quantityPipe('ratio', readRatio);
}

function quantityPipe(name: QuantityName, read: (raw: number | string) => number | QuantityIssue) {
  const row = quantity(name);
  return v.pipe(
    v.union(
      [v.number(), v.string(), annotated],
      `must be ${article(row.label)}: a number (SI) or text with a unit`,
    ),
    v.metadata({ quantity: name }),
    v.rawTransform<number | string | v.InferOutput<typeof annotated>, number>(
      ({ dataset, addIssue, NEVER }) => {
        const written = typeof dataset.value === 'object' ? dataset.value : { value: dataset.value };
        const result = read(written.value);
        if (typeof result !== 'number') {
          addIssue({ message: encodeIssue(result) });
          return NEVER;
        }
        const spread = written.spread === undefined ? 0 : readSpread(written.spread, name, result);
        if (typeof spread === 'number') return result;
        addIssue({ message: encodeIssue(spread) });
        return NEVER;
      },
    ),
  );
}

const TOOTH_PAIR = /^\s*(\d{1,3})\s*[/:]\s*(\d{1,3})\s*$/;

/** Reads a ratio: a number, or driven/driving teeth. */
export function readRatio(raw: number | string): number | QuantityIssue {
  const teeth = typeof raw === 'string' ? TOOTH_PAIR.exec(raw) : null;
  if (teeth === null) return readQuantity(raw, 'ratio');
  const [driven, driving] = [Number(teeth[1]), Number(teeth[2])];
  if (driven > 0 && driving > 0) return readQuantity(driven / driving, 'ratio');
  return {
    code: 'out-of-range',
    message: 'a wheel of the ratio has no teeth',
    value: `'${raw}'`,
    remedy: 'write driven over driving teeth, such as 39/14',
  };
}

/** Reads one standard deviation of `value`: a percentage of it, or a quantity of the same kind. */
export function readSpread(raw: number | string, name: QuantityName, value: number): number | QuantityIssue {
  const row = quantity(name);
  const percent = typeof raw === 'string' && raw.trim().endsWith('%') ? raw.trim().slice(0, -1) : undefined;
  const parsed: Parsed =
    typeof raw === 'number'
      ? { ok: true, value: raw, unit: '' }
      : percent === undefined
        ? parseQuantity(raw, row.dimension, { min: 0, max: Number.MAX_VALUE })
        : parseQuantity(percent, 'ratio', { min: 0, max: 1000 });
  const shownValue = String(raw).slice(0, 70);
  if (!parsed.ok) {
    return {
      code: parsed.reason,
      message: `spread of ${row.label} ${parsed.message}`,
      value: `'${shownValue}'`,
      remedy: `${howToWrite(row.dimension)}, or a percentage`,
    };
  }
  // A difference of temperatures has no offset.
  const offset =
    percent === undefined && typeof raw === 'string'
      ? (findUnit(row.dimension, parsed.unit)?.offset ?? 0)
      : 0;
  const spread = percent === undefined ? parsed.value - offset : (Math.abs(value) * parsed.value) / 100;
  const most = row.max - row.min;
  if (spread >= 0 && spread <= most) return spread;
  const inSi = (x: number, digits: number): string =>
    `${Number(x.toPrecision(digits))} ${unitsOf(row.dimension)[0]!.label}`.trim();
  if (spread > most) {
    const isPercentage = percent !== undefined;
    return {
      code: 'out-of-range',
      message: `spread of ${row.label} is larger than the limit`,
      value: isPercentage ? `${shownValue} of ${inSi(value, 4)}: ${inSi(spread, 4)}` : shownValue,
      limit: inSi(most, 6),
      remedy: 'write one standard deviation, smaller than the range the value itself may have',
    };
  }
  return {
    code: 'out-of-range',
    message: `spread of ${row.label} must be one standard deviation, not negative`,
    value: shownValue,
    limit: `0 to ${inSi(most, 6)}`,
  };
}

/** Reads one value of a quantity: its SI number, or what is wrong with it. */
export function readQuantity(raw: number | string, name: QuantityName): number | QuantityIssue {
  const row = quantity(name);
  const parsed: Parsed =
    typeof raw === 'number'
      ? { ok: true, value: raw, unit: siLabel(row.dimension) }
      : parseQuantity(raw, row.dimension, row);
  const shownValue = typeof raw === 'string' ? `'${raw.slice(0, 70)}'` : String(raw);
  if (!parsed.ok) {
    return {
      code: parsed.reason,
      message: `${row.label} ${parsed.message}`,
      value: shownValue,
      remedy: howToWrite(row.dimension),
    };
  }
  if (!Number.isFinite(parsed.value)) {
    return {
      code: 'not-finite',
      message: `${row.label} is not a finite number`,
      value: shownValue,
      limit: limits(row),
    };
  }
  if (parsed.value < row.min || parsed.value > row.max) {
    const remedy =
      typeof raw === 'number' && siLabel(row.dimension) !== ''
        ? `a bare number is in ${siLabel(row.dimension)}: write the unit, such as '${raw} ${row.shown}', if you meant that`
        : 'check the value and its unit';
    return {
      code: 'out-of-range',
      message: `${row.label} is out of range`,
      value: shownValue,
      limit: limits(row),
      remedy,
    };
  }
  if (row.whole && !Number.isInteger(parsed.value)) {
    return { code: 'not-whole', message: `${row.label} must be a whole number`, value: shownValue };
  }
  return parsed.value;
}

/** The physical limits of a quantity in the unit shown: `200 to 340 K`. */
export function limits(row: Quantity): string {
  const unit = findUnit(row.dimension, row.shown);
  if (unit === undefined) throw new Error(`limits: '${row.shown}' is no unit of ${row.dimension}`);
  const tidy = (x: number) => String(Number(fromSI(x, unit).toPrecision(6)));
  return `${tidy(row.min)} to ${tidy(row.max)}${unit.label === '' ? '' : ` ${unit.label}`}`;
}

const MARK = 'kartwright:';

function encodeIssue(issue: QuantityIssue): string {
  return MARK + JSON.stringify(issue);
}

/** Recovers a quantity issue from a valibot message; undefined for any other message. */
export function decodeIssue(message: string): QuantityIssue | undefined {
  return message.startsWith(MARK) ? (JSON.parse(message.slice(MARK.length)) as QuantityIssue) : undefined;
}

function article(label: string): string {
  return /^[aeiou]/.test(label) ? `an ${label}` : `a ${label}`;
}
