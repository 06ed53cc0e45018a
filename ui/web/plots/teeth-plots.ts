/** What the final drive does to the lap: every pair tried, as seconds lost over the ratio. Pure. */
import type { Project, SprocketPair, TeethResult } from '../../../sim/index.ts';
import { IRON, POND } from '../look/palette.ts';
import { pairName } from '../words/teeth-words.ts';
import type { Plot, Series } from './plot.ts';

export function teethPlot(found: TeethResult, t: number, project: Project): Plot | undefined {
  const { track, laps, best, named } = found.tracks[t]!;
  const quickest = laps[best]?.time;
  if (quickest === undefined) return undefined;
  const dots = (
    name: string,
    colour: string,
    size: number,
    is: (pair: SprocketPair) => boolean,
  ): Series[] => {
    const shown = found.pairs
      .flatMap((pair, i) => {
        const lap = laps[i];
        return lap == null || !is(pair) ? [] : [{ ratio: pair.ratio, lost: lap.time - quickest }];
      })
      .toSorted((a, b) => a.ratio - b.ratio);
    return shown.length === 0
      ? []
      : [
          {
            name,
            x: shown.map(({ ratio }) => ratio),
            y: shown.map(({ lost }) => lost),
            colour,
            dots: true,
            dotSize: size,
          },
        ];
  };
  const marks = [...new Set([found.fitted, named])]
    .filter((i) => i >= 0)
    .map((i) => ({
      at: found.pairs[i]!.ratio,
      word: `${pairName(found.pairs[i]!)}${i === found.fitted ? ' fitted' : ''}`,
    }))
    .toSorted((a, b) => a.at - b.at);
  return {
    title: `Seconds lost over the ratio, ${project.tracks[track]?.name ?? track}`,
    x: { title: 'rear over front teeth, shorter to the right' },
    left: { title: 'behind the best, s', min: 0 },
    series: [
      ...dots('in the box', IRON, 5, (pair) => pair.owned),
      ...dots('to be bought', POND, 2.5, (pair) => !pair.owned),
    ],
    levels: [{ at: found.noise, word: 'no clock tells below' }],
    marks,
    strip: [],
  };
}
