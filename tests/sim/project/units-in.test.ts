/** A project means the same whatever units it is written in. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { collectOrigins } from '../../../sim/project/origins.ts';
import { readProjectValue } from '../../../sim/project/read.ts';
import { quantity } from '../../../sim/quantities/table.ts';
import { fromSI, unitsOf } from '../../../sim/quantities/units.ts';
import { demo, put } from './demo-files.ts';

const NOTES = collectOrigins(demo()).filter(
  (n) => n.origin !== 'assumed' && !n.path.endsWith('.torque.points'),
);
const BEFORE = readProjectValue(demo()).project;

/** Whole numbers have no other unit; a ratio in per cent is another unit. */
const rewritable = NOTES.filter((n) => unitsOf(quantity(n.quantity).dimension).length > 1);

function expectClose(a: unknown, b: unknown, path: string): void {
  if (typeof a === 'number' && typeof b === 'number') {
    // Division by the factor, shortest decimal, multiplication; an offset of 273.15 beside small Celsius values.
    if (Math.abs(a - b) > 1e-13 * Math.max(1, Math.abs(b))) throw new Error(`${path}: ${a} became ${b}`);
  } else if (a !== null && typeof a === 'object' && b !== null && typeof b === 'object') {
    expect(Object.keys(b)).toEqual(Object.keys(a));
    for (const key of Object.keys(a)) {
      expectClose((a as Record<string, unknown>)[key], (b as Record<string, unknown>)[key], `${path}.${key}`);
    }
  } else expect(b, path).toEqual(a);
}

describe('units in', () => {
  it('reads the same SI project whichever unit every quantity is written in', () => {
    expect(rewritable.length).toBeGreaterThan(200);
    fc.assert(
      fc.property(
        fc.array(fc.nat(1000), { minLength: rewritable.length, maxLength: rewritable.length }),
        (choices) => {
          const raw = demo();
          rewritable.forEach((note, i) => {
            const units = unitsOf(quantity(note.quantity).dimension);
            const unit = units[choices[i]! % units.length]!;
            put(raw, note.path, `${fromSI(note.value, unit)} ${unit.label}`);
          });
          const { project, problems } = readProjectValue(raw);
          if (project === undefined) throw new Error(JSON.stringify(problems[0]));
          expectClose(BEFORE, project, '');
        },
      ),
      { numRuns: 40, seed: 61 },
    );
  });
});
