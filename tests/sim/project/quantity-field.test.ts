/** What is said of a value that cannot be read, as its writer reads it. */
import { describe, expect, it } from 'vitest';
import { readQuantity } from '../../../sim/project/quantity-field.ts';

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
