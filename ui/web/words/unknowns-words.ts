/** What is not known, in words and tables, from the study's result. Pure. */
import type { Project, RunRequest, UnknownsResult } from '../../../sim/index.ts';
import { quantity } from '../../../sim/index.ts';
import type { DoubtSay } from '../../words/doubt-words.ts';
import {
  aboutWords,
  DOUBT_HEADS,
  decisionSentence,
  narrowerWords,
  narrowingSentence,
  notMeasuredLines,
  settlesWords,
  settlingSentence,
  sharedBy,
  worthSentence,
} from '../../words/doubt-words.ts';
import { spreadText } from '../forms/quantity-text.ts';
import type { PlotTable } from '../plots/plot.ts';
import type { MainFigure } from '../state/main-figure.ts';
import { valueText } from './differing-inputs.ts';
import { fieldWords, ownerName } from './field-words.ts';
import { differenceWords, figureWords } from './figure-words.ts';
import { NB, percent } from './numbers.ts';

/** What kind of number a figure is, by its name. */
export function figureKind(name: string, verb: RunRequest['verb']): MainFigure['kind'] {
  if (/margin|share|grip used/.test(name)) return 'share';
  if (/speed|deceleration/.test(name)) return 'speed';
  if (/distance|before braking/.test(name)) return 'distance';
  return verb === 'topspeed' ? 'speed' : 'time';
}

function sayOf(found: UnknownsResult, project: Project, unit: string): DoubtSay {
  return {
    kart: (id) => project.karts[id]?.name ?? id,
    input: (path) => inputName(path, found, project),
    size: (difference, figure) => differenceWords(difference, figureKind(figure, found.verb), unit),
  };
}

/** The answer: the interval of one kart; of two, which is better, how surely, and what would settle it. */
export function headline(found: UnknownsResult, project: Project, unit: string): string {
  const say = sayOf(found, project, unit);
  const decisions = found.decisions.filter((d) => d.figure === found.mainFigure);
  if (decisions.length === 0) return intervalSentence(found, 0, project, unit);
  return together(decisions.flatMap((d) => [decisionSentence(d, say), settlingSentence(d, found, say)]));
}

/** What stands below the answer: the intervals of karts compared; of one kart what to measure; what it was drawn from. */
export function belowHeadline(found: UnknownsResult, project: Project, unit: string): string {
  const { answered, unknowns, refused } = found;
  const say = sayOf(found, project, unit);
  const rest =
    found.decisions.length === 0
      ? [worthSentence(found, say)]
      : [
          ...found.decisions.map((d) => narrowingSentence(d, found, say)),
          ...found.karts.map((_, k) => intervalSentence(found, k, project, unit)),
        ];
  const failed = refused === 0 ? '' : `, ${refused} in which a kart could not run`;
  return together([
    ...rest,
    `${answered} draws of all ${unknowns.length} inputs in doubt at once${failed}${found.karts.length > 1 ? '; what the karts share is drawn alike for both' : ''}.`,
  ]);
}

export function intervalSentence(found: UnknownsResult, k: number, project: Project, unit: string): string {
  const name = found.mainFigure;
  const kart = found.karts[k];
  const figure = kart?.figures.find((f) => f.figure === name);
  if (name === null || kart === undefined || figure?.spread === undefined)
    return found.draws > 0 && found.refused >= found.draws
      ? `${project.karts[kart?.kart ?? '']?.name ?? 'The kart'} cannot run so in any of the draws: ask for the run itself to see why.`
      : 'Not enough draws yet.';
  const kind = figureKind(name, found.verb);
  const { p5, p50, p95 } = figure.spread;
  return `${project.karts[kart.kart]?.name ?? kart.kart}: nine times in ten the ${name} lies between ${figureWords(p5, kind, unit)} and ${figureWords(p95, kind, unit)}, in the middle ${figureWords(p50, kind, unit)}.`;
}

function together(sentences: readonly string[]): string {
  return kept(sentences.filter((sentence) => sentence !== '').join(' '));
}

/** Numbers kept on the line of their sign. */
function kept(text: string): string {
  return text.replaceAll(' %', `${NB}%`).replaceAll(' ± ', `${NB}±${NB}`);
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
    heads: ['unknown', 'value', 'give or take', ...DOUBT_HEADS],
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
        inputName(note.path, found, project),
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
        inputName(m.path, found, project),
        kept(narrowerWords(m)),
        ...(isOpen ? [kept(settlesWords(m))] : []),
        m.effort,
        m.how,
      ]),
  };
}

/** Why what is to blame is not among what to measure, a line each. */
export function notMeasuredSaid(found: UnknownsResult, v: number, project: Project): string[] {
  return notMeasuredLines(found.variance[v]!, sayOf(found, project, '')).map(kept);
}

function inputName(path: string, found: UnknownsResult, project: Project): string {
  const words = fieldWords(path, project) ?? path;
  const shared = sharedBy(path, found);
  const owner = shared === undefined ? ownerName(path, project) : `the driver of ${shared}`;
  return owner === '' ? words : `${owner}: ${words}`;
}

/** Estimated from draws, a share may come out a little below nothing; how far off it may be stands beside it. */
function percentOf(share: number | undefined, error: number): string {
  return share === undefined || !Number.isFinite(share)
    ? ''
    : kept(aboutWords(Math.min(1, Math.max(0, share)), error));
}
