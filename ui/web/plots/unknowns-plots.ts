/** How the draws of an answer lie: the share of them at or below each value, kart by kart. Pure. */
import type { Project, UnknownsResult } from '../../../sim/index.ts';
import { DASHES, IRON, MOSS, PLUM, POND } from '../look/palette.ts';
import { speedFactor } from '../words/numbers.ts';
import { figureKind } from '../words/unknowns-words.ts';
import type { Plot } from './plot.ts';

const COLOURS = [IRON, POND, MOSS, PLUM] as const;
/** Draws below which a curve says nothing. */
const FEWEST = 8;

export function unknownsPlot(found: UnknownsResult, project: Project, unit: string): Plot | undefined {
  const name = found.mainFigure;
  if (name === null) return undefined;
  const kind = figureKind(name, found.verb);
  const [factor, shownUnit] =
    kind === 'speed'
      ? [speedFactor(unit), unit]
      : kind === 'share'
        ? [100, '%']
        : [1, kind === 'distance' ? 'm' : 's'];
  const series = found.karts.flatMap(({ kart, sample }, k) => {
    const sorted = Array.from(sample)
      .filter(Number.isFinite)
      .sort((a, b) => a - b);
    return sorted.length < FEWEST
      ? []
      : [
          {
            name: project.karts[kart]?.name ?? kart,
            x: sorted.map((x) => factor * x),
            y: sorted.map((_, i) => (100 * (i + 0.5)) / sorted.length),
            colour: COLOURS[k % COLOURS.length]!,
            dash: DASHES[k % DASHES.length]!,
          },
        ];
  });
  if (series.length === 0) return undefined;
  return {
    title: `How the draws lie: share of them at or below each ${name}`,
    x: { title: `${name}, ${shownUnit}` },
    left: { title: 'share of the draws, %', min: 0, max: 100 },
    series,
    levels: [
      { at: 5, word: '5 %' },
      { at: 95, word: '95 %' },
    ],
    marks: [],
    strip: [],
  };
}
