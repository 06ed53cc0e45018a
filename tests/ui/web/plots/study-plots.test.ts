/** The plots of the studies: every pair once, at what the study found; draws as they lie. */
import { describe, expect, test } from 'vitest';
import { createPerformer, performStudy, planTeeth, studyUnknowns } from '../../../../sim/index.ts';
import { readDemo } from '../../../../ui/demo/demo-project.ts';
import { teethPlot } from '../../../../ui/web/plots/teeth-plots.ts';
import { unknownsPlot } from '../../../../ui/web/plots/unknowns-plots.ts';

const { project, notes } = readDemo();
if (project === undefined) throw new Error('the demo cannot be read');
const kart = 'clodlet-four-asphalt';
const ask = createPerformer().bind(undefined, project);

describe('which teeth', () => {
  const found = performStudy(
    planTeeth(project, { kart, day: 'mild', tracks: ['brindlequag-works'], stock: 'all', notes }).study!,
    ask,
  )!;
  const plot = teethPlot(found, 0, project)!;

  test('every pair is a dot at its ratio, once, owned and to be bought told apart by size', () => {
    const dots = plot.series.flatMap(({ x, y }) => Array.from(x, (ratio, i) => [ratio, y[i]!] as const));
    const laps = found.tracks[0]!.laps.map((lap, i) => [found.pairs[i]!.ratio, lap!.time] as const);
    const quickest = Math.min(...laps.map(([, time]) => time));
    const inOrder = (list: readonly (readonly [number, number])[]) =>
      list.toSorted((a, b) => a[0] - b[0] || a[1] - b[1]);
    expect(inOrder(dots)).toEqual(inOrder(laps.map(([ratio, time]) => [ratio, time - quickest])));
    expect(new Set(plot.series.map(({ dotSize }) => dotSize)).size).toBe(plot.series.length);
  });

  test('the pair fitted and the pair to fit are marked, from left to right', () => {
    const { named } = found.tracks[0]!;
    const at = [found.pairs[named]!.ratio, found.pairs[found.fitted]!.ratio];
    expect(plot.marks.map((mark) => mark.at)).toEqual(at.toSorted((a, b) => a - b));
    expect(plot.marks.filter(({ word }) => word.endsWith(' fitted'))).toHaveLength(1);
  });
});

describe('what is not known', () => {
  const runs = [kart, 'clodlet-single-asphalt'].map((id) => ({
    verb: 'topspeed' as const,
    kart: id,
    day: 'mild',
    surface: 'asphalt',
  }));
  const found = performStudy(studyUnknowns(project, notes, { runs, draws: 64 }).study!, ask)!;

  test('each kart a rising line through all its draws, half of them below the middle, in the unit asked for', () => {
    const plot = unknownsPlot(found, project, 'km/h')!;
    expect(plot.series.map(({ name }) => name)).toEqual([
      project.karts[kart]!.name,
      project.karts['clodlet-single-asphalt']!.name,
    ]);
    for (const [k, { x, y }] of plot.series.entries()) {
      expect(x.length).toBe(64);
      for (let i = 1; i < x.length; i++) {
        expect(x[i]!).toBeGreaterThanOrEqual(x[i - 1]!);
        expect(y[i]!).toBeGreaterThan(y[i - 1]!);
      }
      const middle = found.karts[k]!.figures.find(({ figure }) => figure === found.mainFigure)!.spread!.p50;
      expect(Array.from(x).filter((v) => v < 3.6 * middle).length).toBe(32);
    }
    expect(plot.x.title).toBe('top speed, km/h');
  });

  test('nothing is drawn of too few draws', () => {
    const few = {
      ...found,
      karts: found.karts.map((k) => ({ ...k, sample: k.sample.map(() => Number.NaN) })),
    };
    expect(unknownsPlot(few, project, 'km/h')).toBeUndefined();
  });
});
