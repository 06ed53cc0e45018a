/** What worksheets put into the document: one step, digits as many as the error is worth. */
import { describe, expect, test } from 'vitest';
import { applied, openHistory, undone } from '../../../../../ui/web/state/history.ts';
import { putValues, rounded } from '../../../../../ui/web/views/parts/put.ts';

describe('worked-out values', () => {
  test('are rounded to the decimal step below their error', () => {
    expect(rounded(0.4317, 0.025, 'cgHeight', 'mm')).toBe('430 mm');
    expect(rounded(0.4317, 0.0066, 'cgHeight', 'mm')).toBe('432 mm');
    expect(rounded(0.4317, 0.025, 'cgHeight', 'in')).toBe('17 in');
    // No error stated: four figures.
    expect(rounded(1.526_667, 0, 'rollOut', 'mm')).toBe('1527 mm');
  });

  test('several go in as one step, making the groups they need, and come out as one', () => {
    const start = openHistory({ karts: { a: { name: 'A' } } });
    const put = putValues('weighed', [
      ['karts.a.weighed', { frontLeft: '80 kg' }],
      ['karts.a.weighed.cgHeight', '430 mm'],
    ]);
    const next = applied(start, put);
    expect(next.steps.at(-1)).toMatchObject({
      label: 'weighed',
      document: { karts: { a: { name: 'A', weighed: { frontLeft: '80 kg', cgHeight: '430 mm' } } } },
    });
    expect(undone(next).at).toBe(0);
  });
});
