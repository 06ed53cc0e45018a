/** How far a difference may lie, and which way the odds point: in words. */
import { expect, test } from 'vitest';
import { nineInTen, oddsWords } from '../../../ui/words/difference-words.ts';

test('the ends of the interval go the way of the difference, with a sign where it may be the other way', () => {
  expect(nineInTen(0.2, 0.13, 0.51)).toBe(', nine in ten 0.13 to 0.51');
  expect(nineInTen(-0.2, -0.51, 0.03, ' s')).toBe(', nine in ten −0.03 to 0.51 s');
  expect(nineInTen(0.2, -0.001, 0.51)).toBe(', nine in ten 0.00 to 0.51');
  expect(nineInTen(0.2, null, null)).toBe('');
});

test('odds say quicker or slower, and nothing where it is too close', () => {
  expect(oddsWords('likely', 0.07)).toBe('likely slower');
  expect(oddsWords('decided', 0.99)).toBe('decided, quicker');
  expect(oddsWords('too close to call', 0.6)).toBe('too close to call');
  expect(oddsWords(null, null)).toBe('');
});
