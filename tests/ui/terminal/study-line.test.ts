/** Which line the laps of a study drive: the one asked for where the track keeps it, and a word where it does not. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { LapResult } from '../../../sim/index.ts';
import { compileTrack, perform, readProjectValue } from '../../../sim/index.ts';
import { demoInput } from '../../../ui/demo/demo-project.ts';
import type { Raw } from '../../sim/demo-project.ts';
import { inFolder, kartwright } from './run-command.ts';

const KART = 'clodlet-four-knobbly';
const WORDS = ['unknowns', '--kart', KART, '--track', 'oval', '--draws', '64'];

/** The demo with a line kept 0.5 m to the left of the drawn one, all round the oval. */
function demoWithLine(): string {
  const raw = demoInput() as Raw;
  const { project } = readProjectValue(raw);
  const { track } = compileTrack(project!.tracks['oval']!, 'tracks.oval');
  const distance = [0, 1, 2, 3, 4].map((quarter) => (track!.length * quarter) / 4);
  const line = {
    kind: 'fastest',
    time: 20,
    madeFor: {},
    kart: KART,
    day: Object.keys(raw.days)[0],
    distance,
    offset: distance.map(() => 0.5),
  };
  raw.tracks.oval.lines = [line];
  return JSON.stringify(raw);
}

const baseTime = (out: string): number =>
  JSON.parse(out).result.karts[0].figures.find((f: { figure: string }) => f.figure === 'lap time').base;

describe('unknowns on a kept line', () => {
  test('the line asked for is driven, and named; without it the drawn one', async () => {
    await inFolder(async (file) => {
      const path = file('kept.kartwright.json', demoWithLine());
      const [verb, ...words] = WORDS;
      const kept = [verb!, path, ...words, '--line', 'fastest'];
      const drawn = [verb!, path, ...words];
      const [on, off] = [await kartwright(...kept, '--json'), await kartwright(...drawn, '--json')];
      expect(on.err).toBe('');
      expect(off.err).toBe('');
      // Half a metre to the side all round makes the way some pi metres other: well above a tenth of a second.
      expect(Math.abs(baseTime(on.out) - baseTime(off.out))).toBeGreaterThan(0.05);
      const { project } = readProjectValue(JSON.parse(readFileSync(path, 'utf8')));
      const day = Object.keys(project!.days)[0]!;
      const lap = { verb: 'lap', kart: KART, day, track: 'oval', spacing: 0.5 } as const;
      const driven = perform(project!, { ...lap, options: { line: 'fastest' } }).result as LapResult;
      expect(baseTime(on.out)).toBeCloseTo(driven.time, 9);
      expect((await kartwright(...kept)).out).toContain(
        'Laps are driven on the fastest line kept with Oval.',
      );
      expect((await kartwright(...drawn)).out).not.toContain('Laps are driven');
      expect(
        (await kartwright('lap', path, '--kart', KART, '--track', 'oval', '--line', 'fastest')).out,
      ).toContain('fastest line');
    });
  }, 90_000);

  test('a line that is not kept is said not to be driven; of no lap there is no line', async () => {
    const { code, err } = await kartwright(...WORDS, '--line', 'fastest');
    expect(code).toBe(0);
    expect(err).toContain('warning: oval keeps no fastest line: driven as drawn');
    expect((await kartwright(...WORDS, '--line', 'as drawn')).err).toBe('');
    const brake = await kartwright('unknowns', '--of', 'brake', '--surface', 'asphalt', '--line', 'fastest');
    expect(brake.code).toBe(2);
    expect(brake.err).toContain('--line');
  }, 90_000);
});
