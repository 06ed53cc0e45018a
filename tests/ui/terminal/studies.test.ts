/** `teeth`, `donors` and `balance` as their user meets them: tables, JSON, CSV, HTML, help with examples that run. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { inFolder, kartwright } from './run-command.ts';

/** The studies cost some hundred runs each, on two cores shared with other tests. */
const LONG = 60_000;

describe('studies', () => {
  test.each(['teeth', 'donors', 'balance'])(
    'the first example of %s prints its tables and its caution',
    async (verb) => {
      const { out } = await kartwright('help', verb);
      const example = out.split('\n').find((l) => l.startsWith('  kartwright '))!;
      const words = [...example.trim().matchAll(/"([^"]*)"|(\S+)/g)].map((m) => m[1] ?? m[2] ?? '').slice(1);
      const run = await kartwright(...words);
      expect(run.code, run.err).toBe(0);
      expect(run.out).toMatch(verb === 'balance' ? /Engine braking is not a brake/ : /[Gg]uards over chain/);
      expect(run.out).toMatch(
        {
          teeth:
            /: (fit|keep) \d+\/\d+.*: [\d.]+ ±[\d.]+ s; .*[\d.]+ s .*\(nine in ten −?[\d.]+ to −?[\d.]+; (decided|likely|too close to call)\)\./,
          donors:
            /is [\d.]+ s a lap quicker than .*, nine in ten −?[\d.]+ to −?[\d.]+: (decided|likely|too close to call)/,
          balance:
            /Set now: .* it stops in [\d.]+ m ± [\d.]+ m on loose clay, [\d.]+ m ± [\d.]+ m on asphalt\. Beware: so set, the rear locks first in gear 1 on loose clay and asphalt.*\n.*marks for the knob, good for stops with the clutch in only: .*Beware: left in gear/,
        }[verb]!,
      );
      expect(run.out).not.toMatch(/NaN|Infinity|undefined/);
    },
    LONG,
  );

  test(
    'teeth as JSON, CSV and a page',
    () =>
      inFolder(async (file) => {
        const page = file('teeth.html', '');
        const words = [
          'teeth',
          '--kart',
          'clodlet-four-knobbly',
          '--tracks',
          'circle,cinder-yard',
          '--owned',
        ];
        const json = await kartwright(...words, '--json', '--html', page);
        const { status, problems, result } = JSON.parse(json.out);
        expect([status, problems]).toEqual(['done', []]);
        expect(result.done).toBe(result.total);
        expect(result.pairs.every((p: { owned: boolean }) => p.owned)).toBe(true);
        expect(result.tracks.map((t: { track: string }) => t.track)).toEqual(['circle', 'cinder-yard']);
        expect(readFileSync(page, 'utf8')).toContain('Keep guards over chain and sprockets');
        expect(readFileSync(page, 'utf8')).toMatch(/<h1>Which teeth.*<\/h1>\n<p>[^<]*: (fit|keep) \d+\/\d+/);
        const csv = (await kartwright(...words, '--csv')).out.trim().split('\n');
        expect(csv).toHaveLength(1 + result.total);
      }),
    LONG,
  );

  test(
    'the page of balance has what the text has: no empty laps, the pedal held too hard, the corridor',
    () =>
      inFolder(async (file) => {
        const page = file('balance.html', '');
        const { out } = await kartwright('balance', '--html', page);
        const written = readFileSync(page, 'utf8');
        for (const part of [
          'Pedal held a tenth beyond what the ground carries',
          'UN R13 adhesion corridor',
        ]) {
          expect(out).toContain(part);
          expect(written).toContain(part);
        }
        expect(written).not.toMatch(/<tbody><\/tbody>|<h2>Laps/);
      }),
    LONG,
  );

  test.each([
    ['two karts', ['teeth', '--kart', 'all'], 'one kart'],
    ['owned and all', ['teeth', '--owned', '--all'], 'not both'],
    ['a donor there is not', ['donors', '--donors', 'steam'], "no donor 'steam'"],
    ['a ground there is not', ['balance', '--loose', 'moon'], "no surface 'moon'"],
    ['a gear there is not', ['balance', '--gear', 'x'], '--gear'],
  ])('%s: told with what is right', async (_name, words, message) => {
    const { code, err } = await kartwright(...words);
    expect(code).toBe(2);
    expect(err).toContain(message);
  });

  test('a stopped study says so and is marked as partial', async () => {
    const stopping = new AbortController();
    stopping.abort();
    const { runCommand } = await import('../../../ui/terminal/command.ts');
    let err = '';
    const code = await runCommand(['teeth', '--tracks', 'circle'], {
      out: () => undefined,
      err: (text) => {
        err += text;
      },
      wide: 100,
      interactive: false,
      signal: stopping.signal,
    });
    expect(code).toBe(3);
    expect(err).toContain('stopped early');
  });
});
