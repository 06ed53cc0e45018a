/** What is not known, in words and tables, from the study's result. Pure. */
import type { Project, RunRequest, UnknownsResult } from '../../../sim/index.ts';
import { quantity } from '../../../sim/index.ts';
import { spreadText } from '../forms/quantity-text.ts';
import type { PlotTable } from '../plots/plot.ts';
import type { MainFigure } from '../state/main-figure.ts';
import { valueText } from './differing-inputs.ts';
import { fieldWords, ownerName } from './field-words.ts';
import { differenceWords, figureWords } from './figure-words.ts';
import { chance, percent } from './numbers.ts';

/** What kind of number a figure is, by its name. */
export function figureKind(name: string, verb: RunRequest['verb']): MainFigure['kind'] {
  if (/margin|share/.test(name)) return 'share';
  if (/speed|deceleration/.test(name)) return 'speed';
  if (/distance|before braking/.test(name)) return 'distance';
  return verb === 'topspeed' ? 'speed' : 'time';
}

export function unknownsSentence(found: UnknownsResult, project: Project, unit: string): string {
  const name = found.mainFigure;
  const first = found.karts[0];
  const figure = first?.figures.find((f) => f.figure === name);
  if (name === null || first === undefined || figure?.spread === undefined) return 'Not enough draws yet.';
  const kind = figureKind(name, found.verb);
  const { p5, p50, p95 } = figure.spread;
  const kart = project.karts[first.kart]?.name ?? first.kart;
  return `${kart}: nine times in ten the ${name} lies between ${figureWords(p5, kind, unit)} and ${figureWords(p95, kind, unit)}, in the middle ${figureWords(p50, kind, unit)}.`;
}

export function decisionSentences(found: UnknownsResult, project: Project, unit: string): string[] {
  const kart = (id: string): string => project.karts[id]?.name ?? id;
  return found.decisions
    .filter((d) => d.figure === found.mainFigure)
    .map((d) => {
      const kind = figureKind(d.figure, found.verb);
      const odds = d.secondBetter >= 0.5 ? d.secondBetter : 1 - d.secondBetter;
      const winner = d.secondBetter >= 0.5 ? d.second : d.first;
      const loser = winner === d.first ? d.second : d.first;
      return `${kart(winner)} ${d.sureness === 'decided' ? 'beats' : 'is ahead of'} ${kart(loser)} in ${chance(odds)} of the draws, by ${differenceWords(d.difference.p50, kind, unit)} in the middle: ${d.sureness}.`;
    });
}

export function worthSentence(found: UnknownsResult, project: Project): string {
  const best = found.variance.at(-1)?.measuring[0] ?? found.variance[0]?.measuring[0];
  if (best === undefined) return '';
  return `Measure first: ${inputName(best.path, project)} (${best.how}; ${best.effort}). It would narrow the answer by ${percent(best.narrower)}.`;
}

export function intervalTable(found: UnknownsResult, project: Project, unit: string): PlotTable {
  const isOne = found.karts.length === 1;
  return {
    heads: [...(isOne ? [] : ['kart']), 'figure', 'as the file has it', 'half the time', 'nine times in ten'],
    rows: found.karts.flatMap(({ kart, figures }) =>
      figures.flatMap(({ figure, base, spread }) => {
        if (spread === undefined) return [];
        const kind = figureKind(figure, found.verb);
        if (figure === 'shifts') return [];
        const text = (value: number): string => figureWords(value, kind, unit);
        return [
          [
            ...(isOne ? [] : [project.karts[kart]?.name ?? kart]),
            figure,
            base === null ? '' : text(base),
            `${text(spread.p25)} to ${text(spread.p75)}`,
            `${text(spread.p5)} to ${text(spread.p95)}`,
          ],
        ];
      }),
    ),
  };
}

/** As many as are looked at one by one, and the rest together. */
const MOST_SHARES = 13;

export function shareTable(found: UnknownsResult, v: number, project: Project): PlotTable {
  const variance = found.variance[v]!;
  return {
    heads: ['unknown', 'value', 'give or take', 'of the variance, alone', 'with all it acts together with'],
    rows: variance.shares.slice(0, MOST_SHARES).map((share) => {
      const [path] = share.paths;
      const note = path === undefined ? undefined : found.unknowns.find((u) => u.path === path);
      if (share.paths.length !== 1 || note === undefined)
        return [
          `the other ${share.paths.length}`,
          '',
          '',
          percentOf(share.first, share.firstError),
          percentOf(share.total, share.totalError),
        ];
      const row = quantity(note.quantity);
      const isSheet = note.path.endsWith('.points');
      return [
        inputName(note.path, project),
        isSheet ? 'as it is' : valueText(note.value, note.quantity, project),
        isSheet
          ? percent(note.spread)
          : spreadText(note.spread, note.quantity, project.units[row.dimension] ?? row.shown),
        percentOf(share.first, share.firstError),
        percentOf(share.total, share.totalError),
      ];
    }),
  };
}

export function measuringTable(found: UnknownsResult, v: number, project: Project): PlotTable {
  const { figure, kart, against, measuring } = found.variance[v]!;
  // What is decided already no measurement settles.
  const isOpen =
    against !== undefined &&
    found.decisions.some((d) => d.figure === figure && d.second === kart && d.verdict === 'open');
  return {
    heads: [
      'measure',
      'narrows the answer by',
      ...(isOpen ? ['chance it settles the comparison'] : []),
      'it takes',
      'how',
    ],
    rows: measuring
      .slice(0, 8)
      .map((m) => [
        inputName(m.path, project),
        percent(m.narrower),
        ...(isOpen ? [m.settles === undefined ? '' : chance(m.settles)] : []),
        m.effort,
        m.how,
      ]),
  };
}

function inputName(path: string, project: Project): string {
  const words = fieldWords(path, project) ?? path;
  const owner = ownerName(path, project);
  return owner === '' ? words : `${owner}: ${words}`;
}

/** Estimated from draws, a share may come out a little below nothing; how far off it may be stands beside it. */
function percentOf(share: number | undefined, error: number): string {
  if (share === undefined || !Number.isFinite(share)) return '';
  const words = percent(Math.min(1, Math.max(0, share)));
  return error > 0.005 ? `${words} ± ${(100 * error).toFixed(0)}` : words;
}
