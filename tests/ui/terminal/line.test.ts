/** `line` as its user meets it: a table of three lines, the same in JSON and CSV, and what it refuses. */
import { describe, expect, test } from 'vitest';
import { kartwright } from './run-command.ts';

/** A search drives some hundred laps, on two cores shared with other tests. */
const LONG = 60_000;
const WORDS = ['line', '--kart', 'clodlet-four-knobbly', '--track', 'cinder-yard'];

interface Line {
  kind: string;
  time: number;
  along: number[];
  distance: number[];
}

const timesOf = async (...more: string[]) => {
  const { code, err, out } = await kartwright(...WORDS, ...more, '--json');
  expect(code, err).toBe(0);
  const { status, problems, result } = JSON.parse(out);
  expect([status, problems]).toEqual(['done', []]);
  return result.lines as Line[];
};

describe('line', () => {
  test(
    'the fastest line beats the smoothest, and both the drawn one; the tables say the same',
    async () => {
      const lines = await timesOf();
      expect(lines.map((l) => l.kind)).toEqual(['as drawn', 'smoothest', 'fastest']);
      const [drawn, smoothest, fastest] = lines.map((l) => l.time) as [number, number, number];
      expect(fastest).toBeLessThan(smoothest);
      expect(smoothest).toBeLessThan(drawn);
      const { out } = await kartwright(...WORDS);
      for (const { kind, time } of lines)
        expect(out).toMatch(new RegExp(`${kind} +${time.toFixed(2).replace('.', '\\.')} s`));
      const csv = (await kartwright(...WORDS, '--csv')).out.trim().split('\n');
      expect(csv).toHaveLength(1 + lines.reduce((n, l) => n + l.along.length, 0));
    },
    LONG,
  );

  test(
    'a wider margin leaves less road, and is never faster',
    async () => {
      const [near, far] = [await timesOf('--margin', '0.1 m'), await timesOf('--margin', '0.8 m')];
      expect(far[2]!.time).toBeGreaterThan(near[2]!.time);
    },
    LONG,
  );

  test.each([
    ['an unknown start', ['--start', 'hovering'], '--start'],
    ['a margin that is no length', ['--margin', '3 kg'], '--margin'],
  ])('%s is refused with the option named', async (_, words, named) => {
    const { code, err, out } = await kartwright(...WORDS, ...words);
    expect(code).not.toBe(0);
    expect(err + out).toContain(named);
  });
});
