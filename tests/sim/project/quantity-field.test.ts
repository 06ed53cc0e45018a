/** What is said of a value that cannot be read, as its writer reads it. */
import { describe, expect, it } from 'vitest';
import { readQuantity, readSpread } from '../../../sim/project/quantity-field.ts';

describe('a value that cannot be read', () => {
  it.each([
    ['160 %', "teeth has the unit '%', but is a plain number", 'write a plain number'],
    ['many', 'teeth does not begin with a number', 'write a plain number'],
  ])('counts have no unit: %s', (raw, message, remedy) => {
    expect(readQuantity(raw, 'teeth')).toMatchObject({ message, remedy });
  });

  it('a quantity with units names them', () => {
    const issue = readQuantity('3 furlong', 'wheelbase');
    expect(issue).toMatchObject({
      code: 'unknown-unit',
      message: expect.stringMatching(/has the unit 'furlong', which is not one of .*\bmm\b/),
      remedy: expect.stringMatching(/^write a number with one of the units .*\bmm\b/),
    });
  });
});

describe('a spread that cannot be', () => {
  it('larger than the whole range: said with the limit, and what a percentage comes to', () => {
    // 60 % of 293.15 K is 175.9 K; air temperatures lie within 200 to 340 K.
    expect(readSpread('60 %', 'temperature', 293.15)).toMatchObject({
      message: 'spread of air temperature is larger than the limit',
      value: '60 % of 293.1 K: 175.9 K',
      limit: '140 K',
    });
    expect(readSpread(141, 'temperature', 293.15)).toMatchObject({ value: '141', limit: '140 K' });
    expect(readSpread('47 %', 'temperature', 293.15)).toBeCloseTo(137.78, 2);
  });

  it('less than nothing: said so', () =>
    expect(readSpread(-1, 'temperature', 293.15)).toMatchObject({
      message: 'spread of air temperature must be one standard deviation, not negative',
      limit: '0 to 140 K',
    }));
});
