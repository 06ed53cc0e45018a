/** What number fields understand, echo and refuse. */
import { describe, expect, test } from 'vitest';
import {
  echo,
  inShown,
  refusalSentence,
  understand,
  within,
} from '../../../../ui/web/forms/quantity-text.ts';

describe('understand', () => {
  test.each([
    ['185 lb', 83.914],
    ['86', 86],
    ['86,5', 86.5],
    ['86 kg', 86],
  ])('driver %s', (typed, kg) => {
    const read = understand(typed, 'driverMass', 'kg');
    expect(read.ok && read.value).toBeCloseTo(kg, 2);
  });

  test('a bare number is in the unit shown, and is written down with it', () => {
    expect(understand('55', 'share', '%')).toEqual({ ok: true, value: 0.55, text: '55 %' });
    expect(understand('60', 'speed', 'mph')).toMatchObject({ ok: true, text: '60 mph' });
    expect(understand('0.55', 'share', '%')).toMatchObject({ ok: true, text: '0.55 %' });
  });

  test('out of range: limit in the unit shown; words: remedy with the units there are', () => {
    const far = understand('900', 'driverMass', 'kg');
    expect(far).toMatchObject({ ok: false, limit: '0 to 500 kg' });
    const words = understand('heavy', 'driverMass', 'kg');
    expect(!words.ok && refusalSentence(words)).toMatch(/kg, g, lb or st/);
    expect(understand('', 'driverMass', 'kg').ok).toBe(false);
    expect(understand('49.5', 'teeth', '').ok).toBe(false);
  });

  test('a place may allow less than the quantity does', () => {
    const range = { min: 0, max: 200, why: 'too much', limit: '0 to 200 kg' };
    expect(within(understand('300 kg', 'mass', 'kg'), range)).toMatchObject({
      ok: false,
      limit: '0 to 200 kg',
    });
    expect(within(understand('100 kg', 'mass', 'kg'), range)).toMatchObject({ ok: true });
  });
});

test('echo gives the value in the other units, to three figures', () => {
  expect(echo(86, 'driverMass', ['kg', 'lb'])).toBe('86 kg = 190 lb');
  expect(inShown(60 / 3.6, 'speed', 'km/h')).toBe('60 km/h');
});
