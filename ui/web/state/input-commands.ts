/**
 * Edits of one quantity anywhere in the document, by the reader's path: its value, where it comes from, how sure it is.
 *
 * In: a path (`tyres.x.grip.clay.peak`) and what was typed. Out: a named command.
 */
import type { Origin } from '../../../sim/index.ts';
import type { Place } from './document.ts';
import { withBareValue, withValue, written } from './document.ts';
import type { Command } from './history.ts';

/** The keys of a path. */
export function placeOf(path: string): Place {
  return [...path.matchAll(/\["((?:[^"\\]|\\.)*)"\]|\[(\d+)\]|([^.[\]]+)/g)].map(
    ([, quoted, index, plain]) => (index === undefined ? (quoted ?? plain ?? '') : Number(index)),
  );
}

export function setInput(path: string, words: string, text: string): Command {
  return {
    label: `${words} ${text}`,
    apply: (document) => withBareValue(document, placeOf(path), text),
  };
}

/** `value` is what the reader took, for a field the document leaves out. */
export function setOrigin(path: string, words: string, origin: Origin, value: string | number): Command {
  return {
    label: `${words}: ${origin}`,
    apply(document) {
      const place = placeOf(path);
      return withValue(document, place, { ...annotated(written(document, place), value), origin });
    },
  };
}

export function setSpread(path: string, words: string, spread: string, value: string | number): Command {
  return {
    label: `${words}, give or take ${spread}`,
    apply(document) {
      const place = placeOf(path);
      return withValue(document, place, { ...annotated(written(document, place), value), spread });
    },
  };
}

function annotated(found: unknown, value: string | number): Record<string, unknown> {
  if (typeof found === 'object' && found !== null) return found as Record<string, unknown>;
  return { value: found ?? value };
}
