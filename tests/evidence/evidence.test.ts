/** Every outside check lies inside its tolerance, and the comparison can fail. */
import { describe, expect, test } from 'vitest';
import type { EvidenceCase } from '../../sim/index.ts';
import { EVIDENCE, runEvidence } from '../../sim/index.ts';

const lines = runEvidence(EVIDENCE);

describe('outside checks', () => {
  test.each(EVIDENCE.map((c) => [c.id, c] as const))('%s', (id) => {
    const bad = lines.filter((l) => l.case === id && !l.inside);
    expect(
      bad.map(
        (l) =>
          `${l.row}: expected ${l.expected}, computed ${l.computed}, tolerance ${l.tolerance} ${l.trouble ?? ''}`,
      ),
    ).toEqual([]);
  });

  test('every check names its source and the reason of each tolerance', () => {
    for (const c of EVIDENCE) {
      expect(c.source.length, c.id).toBeGreaterThan(20);
      for (const r of c.rows) expect(r.why, `${c.id}: ${r.name}`).not.toBe('');
    }
    expect(new Set(EVIDENCE.map((c) => c.id)).size).toBe(EVIDENCE.length);
  });

  test('facts of the trade say that they have no source', () => {
    for (const c of EVIDENCE.filter((x) => x.status === 'common practice'))
      expect(c.source).toContain('common practice, no source');
  });

  test('a wrong expectation is found out, and so is a value that cannot be computed', () => {
    const first = EVIDENCE.find((c) => c.id === 'circle-lap');
    if (first === undefined) throw new Error('circle-lap is missing');
    const spoiled: EvidenceCase = {
      ...first,
      rows: [
        { ...first.rows[0]!, expected: (first.rows[0]!.expected ?? 0) * 1.001 },
        { ...first.rows[0]!, compute: () => Number.NaN },
        { ...first.rows[0]!, kind: 'at least', expected: 1e9 },
        { ...first.rows[0]!, compute: (ask) => ask({ kart: 'nobody', day: 'd', verb: 'sheet' }).mass },
      ],
    };
    expect(runEvidence([spoiled]).map((l) => l.inside)).toEqual([false, false, false, false]);
    expect(runEvidence([spoiled])[3]?.trouble).toContain("no 'nobody'");
  });
});
