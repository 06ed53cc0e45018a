/**
 * The project schema as a plain tree that can be walked beside a file.
 *
 * In: the valibot schema. Out: groups, lists, choices and quantities by name. The reader (unknown keys),
 * the origins, and the reference page walk this tree instead of knowing fields of their own.
 */
import type * as v from 'valibot';
import type { QuantityName } from '../quantities/table.ts';
import { isGroup } from './paths.ts';
import { projectSchema } from './schema.ts';

export type Shape =
  | { readonly kind: 'quantity'; readonly name: QuantityName; readonly schema: v.GenericSchema }
  | {
      readonly kind: 'group';
      readonly fields: Readonly<Record<string, Field>>;
      readonly schema: v.GenericSchema;
    }
  | { readonly kind: 'ids'; readonly entry: Shape; readonly schema: v.GenericSchema }
  | { readonly kind: 'list'; readonly item: Shape; readonly schema: v.GenericSchema }
  | { readonly kind: 'row'; readonly items: readonly Shape[]; readonly schema: v.GenericSchema }
  | { readonly kind: 'choice'; readonly options: readonly Shape[]; readonly schema: v.GenericSchema }
  | { readonly kind: 'words'; readonly words: readonly (string | number)[]; readonly schema: v.GenericSchema }
  | { readonly kind: 'text' | 'number' | 'yes-or-no'; readonly schema: v.GenericSchema };

export interface Field {
  readonly shape: Shape;
  readonly required: boolean;
  /** What the reader takes where the field is absent, as it would be written. */
  readonly fallback?: unknown;
}

/** What this file needs to know of valibot's schema objects. */
interface Node {
  readonly type: string;
  readonly entries?: Readonly<Record<string, Node>>;
  readonly wrapped?: Node;
  readonly default?: unknown;
  readonly item?: Node;
  readonly items?: readonly Node[];
  readonly value?: Node;
  readonly literal?: string | number;
  readonly options?: readonly unknown[];
  readonly pipe?: readonly {
    readonly type: string;
    readonly metadata?: { readonly quantity?: QuantityName };
  }[];
}

export const PROJECT_SHAPE: Shape = shapeOf(projectSchema as unknown as Node);

/** The option of a choice that `raw` was meant for: the one sharing most keys, else the one of its kind. */
export function chosenOption(options: readonly Shape[], raw: unknown): Shape {
  let best = options[0]!;
  let most = Number.NEGATIVE_INFINITY;
  for (const option of options) {
    const score = likeness(option, raw);
    if (score > most) [best, most] = [option, score];
  }
  return best;
}

function likeness(option: Shape, raw: unknown): number {
  if (isGroup(raw)) {
    if (option.kind !== 'group') return option.kind === 'quantity' && 'value' in raw ? 0 : -1000;
    const keys = Object.keys(raw);
    const shared = keys.filter((key) => Object.hasOwn(option.fields, key)).length;
    const missing = Object.entries(option.fields).filter(
      ([key, f]) => f.required && !Object.hasOwn(raw, key),
    ).length;
    return 2 * shared - keys.length - missing;
  }
  const kinds = {
    string: ['words', 'text', 'quantity'],
    number: ['number', 'quantity', 'words'],
    boolean: ['yes-or-no'],
  };
  const fitting: readonly string[] = kinds[typeof raw as keyof typeof kinds] ?? [];
  const place = fitting.indexOf(option.kind);
  return place < 0 ? -1000 : -place;
}

function shapeOf(node: Node): Shape {
  const schema = node as unknown as v.GenericSchema;
  const name = node.pipe?.find((step) => step.type === 'metadata')?.metadata?.quantity;
  if (name !== undefined) return { kind: 'quantity', name, schema };
  switch (node.type) {
    case 'strict_object':
      return { kind: 'group', fields: fieldsOf(node.entries ?? {}), schema };
    case 'record':
      return { kind: 'ids', entry: shapeOf(node.value!), schema };
    case 'array':
      return { kind: 'list', item: shapeOf(node.item!), schema };
    case 'strict_tuple':
      return { kind: 'row', items: (node.items ?? []).map(shapeOf), schema };
    case 'union':
      return { kind: 'choice', options: (node.options as readonly Node[]).map(shapeOf), schema };
    case 'picklist':
      return { kind: 'words', words: node.options as readonly (string | number)[], schema };
    case 'literal':
      return { kind: 'words', words: [node.literal!], schema };
    case 'string':
      return { kind: 'text', schema };
    case 'number':
      return { kind: 'number', schema };
    case 'boolean':
      return { kind: 'yes-or-no', schema };
    default:
      throw new Error(`shapeOf: the project schema uses '${node.type}', which is not known here`);
  }
}

function fieldsOf(entries: Readonly<Record<string, Node>>): Record<string, Field> {
  const fields: Record<string, Field> = {};
  for (const [key, node] of Object.entries(entries)) {
    const optional = node.type === 'optional' || node.type === 'exact_optional';
    const shape = shapeOf(optional ? node.wrapped! : node);
    fields[key] = {
      shape,
      required: !optional,
      ...(node.default === undefined ? {} : { fallback: node.default }),
    };
  }
  return fields;
}
