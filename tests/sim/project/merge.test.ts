/** Several files into one project. */
import { describe, expect, it } from 'vitest';
import { mergeProjects } from '../../../sim/project/merge.ts';

const file = (name: string, content: object) => ({ name, raw: { kartwright: 1, ...content } });

describe('mergeProjects', () => {
  it('puts entries together by id and keeps the first name', () => {
    const { raw, problems } = mergeProjects([
      file('a', { name: 'A', days: { d: { name: 'D' } }, tracks: { one: { name: '1' } } }),
      file('b', { name: 'B', tracks: { two: { name: '2' } } }),
    ]);
    expect(problems).toEqual([]);
    expect(raw).toEqual({
      kartwright: 1,
      name: 'A',
      days: { d: { name: 'D' } },
      tracks: { one: { name: '1' }, two: { name: '2' } },
    });
  });

  it('accepts the same entry twice, whatever the order of its fields', () => {
    const twice = [
      file('a', { days: { d: { name: 'D', altitude: 1 } } }),
      file('b', { days: { d: { altitude: 1, name: 'D' } } }),
    ];
    expect(mergeProjects(twice).problems).toEqual([]);
  });

  it('reports a clash with path and both files', () => {
    const { raw, problems } = mergeProjects([
      file('a', { days: { d: { name: 'D' } } }),
      file('b', { days: { d: { name: 'E' } } }),
    ]);
    expect(problems.map((p) => [p.code, p.path])).toEqual([['clash', 'days.d']]);
    expect(problems[0]?.message).toMatch(/between a and b/);
    expect(raw['days']).toEqual({ d: { name: 'D' } });
  });

  it('passes on what is wrong with a file, by name, and changes none of them', () => {
    const files = [
      file('a', { days: { d: { name: 'D' } } }),
      { name: 'b', raw: [] },
      file('c', { days: { e: { name: 'E' } } }),
    ];
    const copy = structuredClone(files);
    const { problems } = mergeProjects(files);
    expect(problems.map((p) => p.message)).toEqual([expect.stringContaining('in b: ')]);
    expect(files).toEqual(copy);
  });

  it('takes a hostile id as plain data', () => {
    const raw = JSON.parse('{"kartwright":1,"days":{"__proto__":{"polluted":1}}}') as unknown;
    mergeProjects([
      { name: 'a', raw },
      { name: 'b', raw },
    ]);
    expect(({} as Record<string, unknown>)['polluted']).toBeUndefined();
  });
});
