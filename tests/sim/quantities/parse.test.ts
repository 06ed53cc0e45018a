/** Quantities as people type them: the expected values follow from the definitions of the units. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseQuantity } from '../../../sim/quantities/parse.ts';
import { quantity } from '../../../sim/quantities/table.ts';
import type { Dimension } from '../../../sim/quantities/units.ts';
import { DIMENSIONS, findUnit, fromSI, unitsOf } from '../../../sim/quantities/units.ts';

const ANY = { min: -1e12, max: 1e12 };
const RPM = Math.PI / 30;

function value(text: string, dimension: Dimension, range = ANY): number {
  const parsed = parseQuantity(text, dimension, range);
  if (!parsed.ok) throw new Error(`${text}: ${parsed.message}`);
  return parsed.value;
}

function reason(text: string, dimension: Dimension, range = ANY): string {
  const parsed = parseQuantity(text, dimension, range);
  return parsed.ok ? `read as ${parsed.value}` : parsed.reason;
}

describe('reading a quantity', () => {
  it.each([
    ['18.5 in', 'length', 0.4699],
    ['18.5in', 'length', 0.4699],
    ['18.5"', 'length', 0.4699],
    ['6\'2"', 'length', 74 * 0.0254],
    ['6 ft 2 in', 'length', 74 * 0.0254],
    ["6'", 'length', 1.8288],
    ['1750 mm', 'length', 1.75],
    ['1.75', 'length', 1.75],
    ['-3', 'length', -3],
    ['−3 m', 'length', -3],
    ['.5 m', 'length', 0.5],
    ['0,5 m', 'length', 0.5],
    ['1e-3 m', 'length', 1e-3],
    ['50 lbf*ft', 'torque', 50 * 4.4482216152605 * 0.3048],
    ['50 lbf·ft', 'torque', 50 * 4.4482216152605 * 0.3048],
    ['120 lb/in', 'stiffness', (120 * 4.4482216152605) / 0.0254],
    ['0,8 bar', 'pressure', 80_000],
    ['3000 1/min', 'angularSpeed', 3000 * RPM],
    ['12 345 rpm', 'angularSpeed', 12_345 * RPM],
    ['12 %', 'ratio', 0.12],
    ['12%', 'ratio', 0.12],
    ['20 °C', 'temperature', 293.15],
    ['68 °F', 'temperature', 293.15],
    ['1 234,5 kg', 'mass', 1234.5],
    ['1.234,5 kg', 'mass', 1234.5],
    ['1,234.5 kg', 'mass', 1234.5],
    ["1'234.5 kg", 'mass', 1234.5],
    ['1,234,567 N', 'force', 1_234_567],
    ['-1,234.5 N', 'force', -1234.5],
  ] as const)('%s', (text, dimension, expected) => {
    // A few roundings of doubles.
    expect(Math.abs(value(text, dimension) - expected)).toBeLessThanOrEqual(4e-15 * Math.abs(expected));
  });

  it('lets the possible range decide what a comma means', () => {
    const engine = quantity('engineSpeed');
    expect(value('11,500 rpm', 'angularSpeed', engine)).toBeCloseTo(11_500 * RPM, 9);
    expect(value('1,750 m', 'length', quantity('wheelbase'))).toBe(1.75);
    expect(value('1,750 mm', 'length', quantity('wheelbase'))).toBe(1.75);
  });

  it('refuses what stays ambiguous', () => {
    expect(reason('1,234 kg', 'mass', quantity('mass'))).toBe('ambiguous');
    expect(value('0,234 kg', 'mass', quantity('mass'))).toBe(0.234);
    expect(value('1,23 kg', 'mass', quantity('mass'))).toBe(1.23);
  });

  it.each([
    ['', 'not-a-number'],
    ['   ', 'not-a-number'],
    ['about 5', 'not-a-number'],
    ['mm', 'not-a-number'],
    ['NaN', 'not-a-number'],
    ['Infinity', 'not-a-number'],
    ['5 furlongs', 'unknown-unit'],
    ['5 kg', 'unknown-unit'],
    ['5 mm mm', 'unknown-unit'],
    ['1.2.3 m', 'not-a-number'],
    ['1,2,3 m', 'not-a-number'],
    ['1,23,456 m', 'not-a-number'],
    ['1e999 m', 'not-a-number'],
    ['9'.repeat(65), 'not-a-number'],
  ])('refuses "%s"', (text, expected) => {
    expect(reason(text, 'length')).toBe(expected);
  });

  it('takes a bare number in the unit of a column', () => {
    const rpm = findUnit('angularSpeed', 'rpm')!;
    const parsed = parseQuantity('3000', 'angularSpeed', ANY, rpm);
    expect(parsed).toEqual({ ok: true, value: 3000 * rpm.factor, unit: 'rpm' });
  });

  it('never throws and never gives NaN, whatever is typed', () => {
    const characters = fc.constantFrom(...'0123456789.,\'"eE+-% mkgNlbfint·*²/°C()∞'.split(''));
    const typed = fc.oneof(
      fc.string({ maxLength: 80 }),
      fc.array(characters, { maxLength: 20 }).map((c) => c.join('')),
    );
    fc.assert(
      fc.property(typed, fc.constantFrom(...DIMENSIONS), (text, dimension) => {
        const parsed = parseQuantity(text, dimension, ANY);
        if (parsed.ok) expect(Number.isFinite(parsed.value)).toBe(true);
      }),
      { numRuns: 5000, seed: 11 },
    );
  });

  it('gives the same SI value whichever unit it was written in', () => {
    const positive = fc.double({ min: 1e-3, max: 999, noNaN: true });
    const dimensions = DIMENSIONS.filter((d) => d !== 'temperature');
    fc.assert(
      fc.property(positive, fc.constantFrom(...dimensions), (si, dimension) => {
        for (const unit of unitsOf(dimension)) {
          const read = value(`${fromSI(si, unit)} ${unit.label}`, dimension);
          // Division, shortest decimal, multiplication: three roundings.
          expect(Math.abs(read / si - 1)).toBeLessThan(1e-15 * 4);
        }
      }),
      { numRuns: 500, seed: 12 },
    );
  });

  it('reads a decimal comma as the decimal point it stands for', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 9999 }), fc.integer({ min: 0, max: 99 }), (whole, hundredths) => {
        const digits = String(hundredths).padStart(2, '0');
        expect(value(`${whole},${digits} m`, 'length')).toBe(Number(`${whole}.${digits}`));
      }),
      { numRuns: 500, seed: 13 },
    );
  });
});
