/** The unit a value of the document is written in. Pure. */
import type { Dimension } from '../../../sim/index.ts';
import { findUnit } from '../../../sim/index.ts';

/** The label of the unit at the end of a written value; undefined for a bare number or words that are no unit. */
export function writtenUnit(text: unknown, dimension: Dimension): string | undefined {
  if (typeof text !== 'string') return undefined;
  const tail = /[^\d.,+\-\s'’].*$/.exec(text.trim())?.[0];
  return tail === undefined ? undefined : findUnit(dimension, tail)?.label;
}
