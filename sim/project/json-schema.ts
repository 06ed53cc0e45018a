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

/** JSON Schema (draft 7) of a project file as somebody may write it. */
export function projectJsonSchema(): JsonSchema {
  const schema = toJsonSchema(projectSchema, {
    typeMode: 'input',
    // Limits of quantities and cross-checks have no JSON Schema form; overrideSchema writes the former.
    errorMode: 'ignore',
    overrideSchema({ valibotSchema }) {
      const name = quantityName(valibotSchema);
      return name === undefined ? undefined : quantityJsonSchema(quantity(name));
    },
  });
  return {
    ...schema,
    title: 'Kartwright project',
    description: 'A kart project: days, surfaces, tyres, donors, chassis, brakes, karts and tracks.',
  };
}

function quantityName(schema: unknown): QuantityName | undefined {
  const { pipe } = schema as { pipe?: readonly { type: string; metadata?: { quantity?: QuantityName } }[] };
  return pipe?.find((step) => step.type === 'metadata')?.metadata?.quantity;
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
