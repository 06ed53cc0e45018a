/** What a worksheet puts into the document: values with their spread and origin, in one step. Pure. */
import type { Origin, QuantityName } from '../../../../sim/index.ts';
import { fromSI, quantity, unitsOf } from '../../../../sim/index.ts';
import { inShown } from '../../forms/quantity-text.ts';
import { withValue } from '../../state/document.ts';
import type { Command } from '../../state/history.ts';
import { placeOf } from '../../state/input-commands.ts';

export interface WorkedOut {
  readonly value: string;
  readonly spread?: string;
  readonly origin: Origin;
  readonly note?: string;
}

export function putValues(
  label: string,
  values: readonly (readonly [path: string, value: unknown])[],
): Command {
  return {
    label,
    apply: (document) =>
      values.reduce((now, [path, value]) => withValue(now, placeOf(path), value), document),
  };
}

/** A value with as many digits as its spread is worth: 431.7 give or take 25 is 430. */
export function rounded(value: number, spread: number, name: QuantityName, shown: string): string {
  const unit = unitsOf(quantity(name).dimension).find(({ label }) => label === shown);
  if (unit === undefined) throw new Error(`rounded: '${shown}' is no unit of ${name}`);
  const inUnits = fromSI(value, unit);
  const spreadInUnits = Math.abs(fromSI(spread, unit) - fromSI(0, unit));
  if (!(spreadInUnits > 0)) return inShown(value, name, shown, 4);
  // A tenth to a whole of the spread.
  const step = 10 ** Math.floor(Math.log10(spreadInUnits));
  const number = Number((Math.round(inUnits / step) * step).toPrecision(10));
  return `${number} ${shown}`.trim();
}
