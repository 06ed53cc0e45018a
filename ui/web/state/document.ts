/**
 * The project document as the builder wrote it, and ways to read and replace one value in it.
 *
 * In: parsed JSON and a path of keys. Out: what is written there, or a copy of the document with it replaced;
 * nothing is changed in place. Knows nothing of quantities, views or workers.
 */

export type ProjectDocument = Readonly<Record<string, unknown>>;
export type Place = readonly (string | number)[];

/** What is written at a place; undefined where nothing is. */
export function written(document: ProjectDocument, place: Place): unknown {
  let here: unknown = document;
  for (const key of place) {
    if (!isHolder(here) || !Object.hasOwn(here, key)) return undefined;
    here = here[key];
  }
  return here;
}

/** The bare value at a place: `{value, spread, origin}` counts as its value. */
export function bareValue(document: ProjectDocument, place: Place): string | number | undefined {
  const found = written(document, place);
  const bare = isHolder(found) ? found['value'] : found;
  return typeof bare === 'string' || typeof bare === 'number' ? bare : undefined;
}

/** A copy with `value` at a place; groups on the way are made where they are missing. */
export function withValue(document: ProjectDocument, place: Place, value: unknown): ProjectDocument {
  return replaced(document, place, value) as ProjectDocument;
}

/**
 * A copy with a new bare value at a place. A stated spread stays; origin and note go, for they spoke of the old value.
 */
export function withBareValue(
  document: ProjectDocument,
  place: Place,
  value: string | number,
): ProjectDocument {
  const found = written(document, place);
  const spread = isHolder(found) ? found['spread'] : undefined;
  return withValue(document, place, spread === undefined ? value : { value, spread });
}

/** A copy with nothing at a place: a key of a group goes, an entry of a list is taken out. */
export function withoutValue(document: ProjectDocument, place: Place): ProjectDocument {
  const key = place.at(-1);
  if (key === undefined) return document;
  const holder = place.slice(0, -1);
  const found = written(document, holder);
  if (Array.isArray(found))
    return withValue(
      document,
      holder,
      found.filter((_, i) => i !== Number(key)),
    );
  if (!isHolder(found) || !Object.hasOwn(found, key)) return document;
  const { [key]: _, ...rest } = found;
  return withValue(document, holder, rest);
}

/** A group or a list: what a place may lead through. */
function isHolder(value: unknown): value is Record<string | number, unknown> {
  return typeof value === 'object' && value !== null;
}

function replaced(here: unknown, place: Place, value: unknown): unknown {
  const [key, ...rest] = place;
  if (key === undefined) return value;
  if (Array.isArray(here)) {
    const copy: unknown[] = [...here];
    copy[Number(key)] = replaced(copy[Number(key)], rest, value);
    return copy;
  }
  const group = isHolder(here) ? here : {};
  const old = Object.hasOwn(group, key) ? group[key] : undefined;
  return { ...group, [key]: replaced(old, rest, value) };
}
