/**
 * The JSON Schema of the project file, generated from the schema the reader uses, so that any editor
 * can complete and check a project as it is typed. Quantities appear with label, SI unit and range.
 */
import { toJsonSchema } from '@valibot/to-json-schema';
import type { Quantity, QuantityName } from '../quantities/table.ts';
import { quantity } from '../quantities/table.ts';
import { siLabel } from '../quantities/units.ts';
import { limits, ORIGINS } from './quantity-field.ts';
import { projectSchema } from './schema.ts';

export type JsonSchema = ReturnType<typeof toJsonSchema>;

/** JSON Schema (draft 2020-12) of a project file as somebody may write it. */
export function projectJsonSchema(): JsonSchema {
  const used = new Set<QuantityName>();
  const schema = toJsonSchema(projectSchema, {
    target: 'draft-2020-12',
    typeMode: 'input',
    // The checks a quantity runs have no JSON Schema form: its definition below states its range instead.
    errorMode: 'ignore',
    overrideAction({ valibotAction }) {
      const name = quantityName(valibotAction);
      if (name === undefined) return undefined;
      used.add(name);
      return { $ref: `#/$defs/${name}` };
    },
  });
  return {
    ...schema,
    title: 'Kartwright project',
    description: 'A kart project: days, surfaces, tyres, donors, chassis, brakes, karts and tracks.',
    $defs: Object.fromEntries([...used].sort().map((name) => [name, quantityJsonSchema(quantity(name))])),
  };
}

function quantityName(action: unknown): QuantityName | undefined {
  return (action as { metadata?: { quantity?: QuantityName } }).metadata?.quantity;
}

function quantityJsonSchema(row: Quantity): JsonSchema {
  const unit = siLabel(row.dimension);
  const whole = row.whole === true ? 'integer' : 'number';
  const bare: JsonSchema[] = [
    { type: whole, minimum: row.min, maximum: row.max },
    { type: 'string', minLength: 1, maxLength: 64 },
  ];
  return {
    description: `${row.label}${unit === '' ? '' : ` (${unit})`}, ${limits(row)}. To measure: ${row.measure}.`,
    anyOf: [
      ...bare,
      {
        type: 'object',
        properties: {
          value: { anyOf: bare },
          spread: {
            anyOf: [{ type: 'number', minimum: 0 }, { type: 'string' }],
            description: 'One standard deviation: same units, or a percentage.',
          },
          origin: { enum: [...ORIGINS] },
          note: { type: 'string', maxLength: 1000 },
        },
        required: ['value'],
        additionalProperties: false,
      },
    ],
  };
}
