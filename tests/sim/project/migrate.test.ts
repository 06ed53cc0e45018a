/** Old formats step by step; newer ones refused. */
import { describe, expect, it } from 'vitest';
import type { MigrationStep } from '../../../sim/project/migrate.ts';
import { migrate, STEPS } from '../../../sim/project/migrate.ts';
import { FORMAT_VERSION } from '../../../sim/project/schema.ts';

const steps: ReadonlyMap<number, MigrationStep> = new Map([
  [
    1,
    {
      says: 'carts became karts',
      apply: ({ carts, ...rest }: Record<string, unknown>) => ({ ...rest, karts: carts }),
    },
  ],
  [2, { says: 'a note was added', apply: (file: Record<string, unknown>) => ({ ...file, note: '' }) }],
]);

describe('migrate', () => {
  it('goes through every version between, and reports each step', () => {
    const old = { kartwright: 1, carts: { a: {} } };
    const { value, problems } = migrate(old, steps, 3);
    expect(value).toEqual({ kartwright: 3, karts: { a: {} }, note: '' });
    expect(problems.map((p) => [p.severity, p.code])).toEqual([
      ['repair', 'migrated'],
      ['repair', 'migrated'],
    ]);
    expect(old).toEqual({ kartwright: 1, carts: { a: {} } });
  });

  it('leaves the present version alone', () => {
    expect(migrate({ kartwright: 3 }, steps, 3)).toEqual({ value: { kartwright: 3 }, problems: [] });
  });

  it('refuses a missing step and a newer version', () => {
    expect(migrate({ kartwright: 1 }, new Map(), 3).problems[0]?.code).toBe('bad-version');
    expect(migrate({ kartwright: 4 }, steps, 3).problems[0]?.code).toBe('newer-version');
  });

  it('has a step from every older version of the format', () => {
    expect([...STEPS.keys()]).toEqual(Array.from({ length: FORMAT_VERSION - 1 }, (_, i) => i + 1));
  });
});
