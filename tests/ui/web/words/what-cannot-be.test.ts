/** What is said where a kart cannot do what an answer is asked of. */
import { describe, expect, it } from 'vitest';
import type { CornerResult, DonorsResult, UnknownsResult } from '../../../../sim/index.ts';
import { perform } from '../../../../sim/index.ts';
import { cornerSentence } from '../../../../ui/web/words/corner-words.ts';
import { donorsSentence } from '../../../../ui/web/words/donors-words.ts';
import { intervalSentence } from '../../../../ui/web/words/unknowns-words.ts';
import { demoWith } from '../../../sim/demo-project.ts';

const project = demoWith();

describe('a bend', () => {
  const round = (radius: number): string =>
    cornerSentence(
      perform(project, {
        verb: 'corner',
        kart: 'clodlet-four-knobbly',
        day: 'mild',
        surface: 'loose-clay',
        options: { radius },
      }).result as CornerResult,
      'loose clay',
      'km/h',
    );
  it('tighter than the kart can be steered is said to be that, and no speed is given for it', () => {
    expect(round(2)).toMatch(/^Round 2 m this kart cannot be steered: 3\.2 m is its tightest\./);
    expect(round(2)).not.toMatch(/km\/h/);
    expect(round(12)).toMatch(/^Round 12 m on loose clay it slides before it tips/);
  });
});

describe('donors of which none can drive the track', () => {
  const card = (donor: string, tracks: unknown[]) => ({ donor, name: donor, tracks });
  const say = (donors: unknown[], tracks = ['x']): string =>
    donorsSentence(
      { donors, tracks, comparisons: [], reference: 'four' } as unknown as DonorsResult,
      project,
    );
  it('are not called one donor', () => {
    expect(say([card('four', [null]), card('single', [null])])).toBe(
      'No kart here, whichever donor it has, can drive this track: ask for its lap to see why.',
    );
    expect(say([card('four', [{}]), card('single', [null])])).toMatch(/^Of two donors to compare not both/);
    expect(say([card('four', [{}])])).toBe('There is one donor: nothing to compare it with.');
  });
});

describe('draws in none of which the kart can run', () => {
  const say = (refused: number): string =>
    intervalSentence(
      {
        mainFigure: 'lap time',
        karts: [{ kart: 'clodlet-four-knobbly', figures: [] }],
        draws: 1000,
        refused,
      } as unknown as UnknownsResult,
      0,
      project,
      'km/h',
    );
  it('are not called too few', () => {
    expect(say(1000)).toContain('cannot run so in any of the draws');
    expect(say(3)).toBe('Not enough draws yet.');
  });
});
