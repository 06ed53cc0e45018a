/**
 * Where the parts of a project document name one another, and how to give a part another id.
 *
 * In: a document as written, of any content. Out: a copy in which an entry, and everything that names it, has the new
 * id. The reader (sim/project) says whether references lead anywhere; the tests hold this table against it.
 */
import type { ProjectDocument } from '../state/document.ts';

/** Collections whose entries have ids, in the order they are listed to people. */
export const COLLECTIONS = [
  'karts',
  'tracks',
  'donors',
  'tyres',
  'chassis',
  'brakes',
  'surfaces',
  'days',
] as const;
export type Collection = (typeof COLLECTIONS)[number];

type Group = Readonly<Record<string, unknown>>;
type Where = readonly string[];

/** `*`: every entry or item. A trailing `{}`: the keys of the group name the entries. */
const NAMED_AT: Readonly<Record<Collection, readonly Where[]>> = {
  karts: [],
  tracks: [],
  days: [],
  donors: [['karts', '*', 'donor']],
  chassis: [['karts', '*', 'chassis']],
  brakes: [['karts', '*', 'brakes']],
  tyres: [
    ['karts', '*', 'tyres', 'front'],
    ['karts', '*', 'tyres', 'rear'],
  ],
  surfaces: [
    ['tracks', '*', 'surface'],
    ['tracks', '*', 'points', '*', 'surface'],
    ['tracks', '*', 'stretches', '*', 'surface'],
    ['tracks', '*', 'sections', '*', 'surface'],
    ['tyres', '*', 'grip', '{}'],
    ['days', '*', 'grip', '{}'],
  ],
};

export function withNewId(
  document: ProjectDocument,
  collection: Collection,
  old: string,
  id: string,
): ProjectDocument {
  const swap = (key: string): string => (key === old ? id : key);
  const places: readonly Where[] = [[collection, '{}'], ...NAMED_AT[collection]];
  return places.reduce<unknown>((here, where) => swapped(here, where, swap), document) as ProjectDocument;
}

/** The entries of a collection; none where there is something else. */
export function entriesOf(document: ProjectDocument, collection: string): Group {
  const found = Object.hasOwn(document, collection) ? document[collection] : undefined;
  return isGroup(found) ? found : {};
}

/** An id made of the old one that neither document has. */
export function freeId(old: string, taken: readonly Group[]): string {
  for (let n = 2; ; n++) {
    const end = `-${n}`;
    // Ids have at most 48 letters.
    const id = `${old.slice(0, 48 - end.length)}${end}`;
    if (!taken.some((entries) => Object.hasOwn(entries, id))) return id;
  }
}

function swapped(here: unknown, where: Where, swap: (id: string) => string): unknown {
  const [key, ...rest] = where;
  if (key === undefined) return typeof here === 'string' ? swap(here) : here;
  if (Array.isArray(here)) return key === '*' ? here.map((item) => swapped(item, rest, swap)) : here;
  if (!isGroup(here)) return here;
  if (key === '{}') return Object.fromEntries(Object.entries(here).map(([k, item]) => [swap(k), item]));
  return Object.fromEntries(
    Object.entries(here).map(([k, item]) => [k, key === '*' || key === k ? swapped(item, rest, swap) : item]),
  );
}

function isGroup(value: unknown): value is Group {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
