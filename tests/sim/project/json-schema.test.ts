/** The generated JSON Schema against the reader it comes from, by a small evaluator of the keywords it uses. */
import { describe, expect, it } from 'vitest';
import { projectJsonSchema } from '../../../sim/project/json-schema.ts';
import { readProjectValue } from '../../../sim/project/read.ts';
import type { QuantityName } from '../../../sim/quantities/table.ts';
import { QUANTITIES } from '../../../sim/quantities/table.ts';
import { DEMO_FILES, demo, put } from './demo-files.ts';

type Node = Record<string, unknown>;
const SCHEMA = projectJsonSchema() as Node;
const KNOWN = new Set(
  'type properties required additionalProperties propertyNames items prefixItems minItems maxItems anyOf enum const minimum maximum minLength maxLength pattern maxProperties $ref $defs $schema default title description'.split(
    ' ',
  ),
);

/** JSON Schema 2020-12, only the keywords in KNOWN; any other fails the test. */
function allows(schema: Node | boolean, value: unknown): boolean {
  if (typeof schema === 'boolean') return schema;
  for (const key of Object.keys(schema))
    if (!KNOWN.has(key)) throw new Error(`keyword '${key}' is not evaluated`);
  const ref = schema['$ref'] as string | undefined;
  if (ref !== undefined)
    return allows((SCHEMA['$defs'] as Record<string, Node>)[ref.replace('#/$defs/', '')]!, value);
  const group =
    value !== null && typeof value === 'object' && !Array.isArray(value) ? (value as Node) : undefined;
  const types: Record<string, boolean> = {
    object: group !== undefined,
    array: Array.isArray(value),
    string: typeof value === 'string',
    number: typeof value === 'number',
    integer: Number.isInteger(value),
    boolean: typeof value === 'boolean',
  };
  const limit = (key: string) => schema[key] as number | undefined;
  const type = schema['type'] as string | undefined;
  if (type !== undefined && types[type] !== true) return false;
  if ('const' in schema && schema['const'] !== value) return false;
  if ('enum' in schema && !(schema['enum'] as unknown[]).includes(value)) return false;
  if ('anyOf' in schema && !(schema['anyOf'] as Node[]).some((s) => allows(s, value))) return false;
  if (
    typeof value === 'number' &&
    (value < (limit('minimum') ?? -Infinity) || value > (limit('maximum') ?? Infinity))
  )
    return false;
  if (typeof value === 'string') {
    if (value.length < (limit('minLength') ?? 0) || value.length > (limit('maxLength') ?? Infinity))
      return false;
    if ('pattern' in schema && !new RegExp(schema['pattern'] as string, 'u').test(value)) return false;
  }
  if (Array.isArray(value)) {
    const first = (schema['prefixItems'] as Node[] | undefined) ?? [];
    if (value.length < (limit('minItems') ?? 0) || value.length > (limit('maxItems') ?? Infinity))
      return false;
    return value.every((item, i) =>
      allows(first[i] ?? (schema['items'] as Node | boolean | undefined) ?? true, item),
    );
  }
  if (group === undefined) return true;
  const properties = (schema['properties'] as Record<string, Node> | undefined) ?? {};
  if (((schema['required'] as string[] | undefined) ?? []).some((key) => !Object.hasOwn(group, key)))
    return false;
  if (Object.keys(group).length > (limit('maxProperties') ?? Infinity)) return false;
  return Object.entries(group).every(([key, item]) => {
    if ('propertyNames' in schema && !allows(schema['propertyNames'] as Node, key)) return false;
    const own = Object.hasOwn(properties, key)
      ? properties[key]!
      : (schema['additionalProperties'] as Node | boolean | undefined);
    return allows(own ?? true, item);
  });
}

describe('the JSON Schema', () => {
  it('allows the demo and every demo track', () => {
    expect(allows(SCHEMA, demo())).toBe(true);
    for (const { name, raw } of DEMO_FILES) expect(allows(SCHEMA, raw), name).toBe(true);
  });

  it.each([
    ['kartwright', 2],
    ['chassis.clodlet.wheelbase', 1750],
    ['chassis.clodlet.wheelbase', null],
    ['chassis.clodlet.wheelbase', undefined],
    ['chassis.clodlet.wheelbse', 1.75],
    ['chassis.clodlet.mass', { value: 203, origin: 'guess' }],
    ['donors.four.strokes', 3],
    ['donors.four.gears[1]', 0],
    ['karts.clodlet-four-knobbly.sprockets.front', 14.5],
    ['tracks.oval.closed', 'yes'],
    ['tracks.oval.stretches[0]', { turn: 'left' }],
    ['days.My day', { name: 'x' }],
    ['donors.four.torque.points.rows[0]', [3000]],
  ])('refuses %s = %j, as the reader does', (path, value) => {
    const raw = put(demo(), path, value);
    expect(allows(SCHEMA, raw)).toBe(false);
    expect(readProjectValue(raw).project).toBeUndefined();
  });

  it('describes every quantity with label, range and how to measure it', () => {
    const definitions = SCHEMA['$defs'] as Record<QuantityName, { description: string; anyOf: Node[] }>;
    expect(Object.keys(definitions).length).toBeGreaterThan(50);
    for (const [name, definition] of Object.entries(definitions)) {
      const row = QUANTITIES[name as QuantityName];
      expect(definition.description).toContain(row.label);
      expect(definition.description).toContain(row.measure);
      expect(definition.anyOf[0]).toMatchObject({ minimum: row.min, maximum: row.max });
    }
  });

  it('is plain JSON', () => {
    expect(JSON.parse(JSON.stringify(SCHEMA))).toEqual(SCHEMA);
  });
});
