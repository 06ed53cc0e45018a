/**
 * Edits of one quantity anywhere in the document, by the reader's path: its value, where it comes from, how sure it is.
 *
 * In: a path (`tyres.x.grip.clay.peak`) and what was typed. Out: a named command.
 */
import type { Origin } from '../../../sim/index.ts';
import type { Place } from './document.ts';
import { withBareValue, withoutValue, withValue, written } from './document.ts';
import type { Command } from './history.ts';

/** The keys of a path. */
export function placeOf(path: string): Place {
  return [...path.matchAll(/\["((?:[^"\\]|\\.)*)"\]|\[(\d+)\]|([^.[\]]+)/g)].map(
    ([, quoted, index, plain]) => (index === undefined ? (quoted ?? plain ?? '') : Number(index)),
  );
}

/** 'keep': origin and note stay, for a value that is only written another way. */
export function setInput(path: string, words: string, text: string, origin?: 'keep'): Command {
  return {
    label: `${words} ${text}`,
    apply(document) {
      const place = placeOf(path);
      const found = written(document, place);
      if (origin === 'keep' && isAnnotated(found))
        return withValue(document, place, { ...found, value: text });
      return withBareValue(document, place, text);
    },
  };
}

export function clearInput(path: string, words: string): Command {
  return { label: `${words} left out`, apply: (document) => withoutValue(document, placeOf(path)) };
}

/** Any other value of the document: a word chosen, a name, a group put in place of another. */
export function setValue(path: string, label: string, value: unknown): Command {
  return { label, apply: (document) => withValue(document, placeOf(path), value) };
}

export function removeValue(path: string, label: string): Command {
  return { label, apply: (document) => withoutValue(document, placeOf(path)) };
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
  return isAnnotated(found) ? found : { value: found ?? value };
}

function isAnnotated(found: unknown): found is Record<string, unknown> {
  return typeof found === 'object' && found !== null;
}
