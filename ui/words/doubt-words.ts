/**
 * What is not known, in the same words in terminal and page: which kart is ahead and how surely, what would settle it, what
 * a measurement narrows, why something is not to be measured, an input that karts share.
 *
 * In: the study's result, and how the place that shows it writes names and differences. Out: sentences and cells. Pure.
 */
import type { Decision, Measuring, NotMeasured, UnknownsResult } from '../../sim/index.ts';
import { DECIDED, LIKELY } from '../../sim/index.ts';

export interface DoubtSay {
  readonly kart: (id: string) => string;
  readonly input: (path: string) => string;
  /** The size of a difference of a figure, with its unit */
  readonly size: (difference: number, figure: string) => string;
}

/** Heads of the two shares of the variance an input has. */
export const DOUBT_HEADS = [
  'of the doubt, by itself',
  'of the doubt, with whatever it acts together with',
] as const;

export const DOUBT_EXPLAINED =
  'Of the doubt (as variance): by itself is what would go away if that input alone became known; with whatever it acts together with, all it has a hand in, so that these add up to more than the whole.';

/** Chance of settling a comparison below which a measurement is not said to settle it (assumed: 19 to 1 against). */
const LEAST_CHANCE = 0.05;

const CANNOT_TELL = 'these draws cannot tell';

/** Who is ahead, by how much with nine draws in ten, and how sure that is. */
export function decisionSentence(d: Decision, say: DoubtSay): string {
  const isSecond = d.secondBetter >= 0.5;
  const [winner, loser] = isSecond ? [d.second, d.first] : [d.first, d.second];
  if (d.sureness === 'no difference') return `${say.kart(winner)} and ${say.kart(loser)} come out the same.`;
  const sign = isSecond === (d.better === 'more') ? 1 : -1;
  const [from, to] = [sign * d.difference.p5, sign * d.difference.p95].sort((a, b) => a - b) as [
    number,
    number,
  ];
  const verb = d.sureness === 'decided' ? 'beats' : 'is ahead of';
  const odds = Math.max(d.secondBetter, 1 - d.secondBetter);
  return `${say.kart(winner)} ${verb} ${say.kart(loser)} in ${chanceWords(odds)} of the draws, by ${say.size(d.difference.p50, d.figure)} in the middle (nine in ten between ${rangeWords(from, to, (x) => say.size(x, d.figure))}): ${d.sureness}.`;
}

/** "0.10 s behind and 0.57 s ahead"; "0.02 s and 1.6 s ahead". */
function rangeWords(from: number, to: number, size: (x: number) => string): string {
  const way = (x: number): string => (x < 0 ? 'behind' : 'ahead');
  return way(from) === way(to)
    ? `${size(from)} and ${size(to)} ${way(to)}`
    : `${size(from)} ${way(from)} and ${size(to)} ${way(to)}`;
}

/** The measurement that would most likely settle a comparison, or that none of those listed would. */
export function settlingSentence(d: Decision, result: UnknownsResult, say: DoubtSay): string {
  if (d.figure !== result.mainFigure || d.sureness === 'no difference') return '';
  if (d.verdict !== 'open')
    return d.sureness === 'decided'
      ? 'Nothing need be measured to settle it.'
      : 'No clock shows a difference that small: measuring would not change that.';
  const v = varianceOfDifference(d, result);
  if (v === undefined || v.shares.length === 0) return 'What would settle it is not worked out yet.';
  const settling = bestToSettle(v);
  if (settling !== undefined && wouldSettle(settling))
    return `Most likely to settle it: measuring ${say.input(settling.path)}, with a chance of ${settlesWords(settling)}.`;
  if (v.measuring.some(({ settles = 0, settlesError }) => cannotTell(settles, settlesError)))
    return `Whether a measurement listed here would settle it ${CANNOT_TELL}: more draws may.`;
  const best = settling === undefined ? '' : ` (a chance of ${settlesWords(settling)} at best)`;
  return `No measurement listed here would settle it${best}.`;
}

/** How to make the measurement that would settle a comparison; where none would, the one that narrows the difference most. */
export function narrowingSentence(d: Decision, result: UnknownsResult, say: DoubtSay): string {
  const v = varianceOfDifference(d, result);
  if (d.figure !== result.mainFigure || d.sureness === 'no difference') return '';
  if (d.verdict !== 'open' || v === undefined || v.shares.length === 0) return '';
  const settling = bestToSettle(v);
  if (settling !== undefined && wouldSettle(settling)) return `To measure: ${whatToMeasure(settling, say)}.`;
  const narrowing = v.measuring[0];
  return narrowing === undefined
    ? 'None would narrow the difference by much.'
    : cannotTell(narrowing.narrower, narrowing.narrowerError)
      ? `What may narrow the difference most: ${whatToMeasure(narrowing, say)}; by how much ${CANNOT_TELL}.`
      : `What narrows the difference most: ${whatToMeasure(narrowing, say)}, by ${narrowerWords(narrowing)}.`;
}

function varianceOfDifference({ first, second }: Decision, { variance }: UnknownsResult) {
  return variance.find(({ kart, against }) => kart === second && against === first);
}

function bestToSettle({ measuring }: UnknownsResult['variance'][number]): Measuring | undefined {
  const sorted = measuring.toSorted((a, b) => (b.settles ?? 0) - (a.settles ?? 0));
  return sorted.find(wouldSettle) ?? sorted[0];
}

function wouldSettle({ settles = 0, settlesError }: Measuring): boolean {
  return settles >= LEAST_CHANCE && !cannotTell(settles, settlesError);
}

/** What to measure first where one kart is asked about by itself. */
export function worthSentence(result: UnknownsResult, say: DoubtSay): string {
  const best = result.variance[0]?.measuring[0];
  return best === undefined
    ? ''
    : `Measure first: ${whatToMeasure(best, say)}. ${narrowsSentence('It would narrow the answer', best)}`;
}

function whatToMeasure({ path, how, effort }: Measuring, say: DoubtSay): string {
  return `${say.input(path)} (${how}; ${effort})`;
}

/** Where the error is as large as the figure, both as they would be said, and the figure may count: "5 % ± 10". */
function cannotTell(share: number, error = 0): boolean {
  if (error < EXACT || share + error < LEAST_CHANCE) return false;
  const said = pointsOf(share, error);
  return said > 0 && pointsOf(error, error) >= said;
}

/** "It would narrow the answer by 7 % ± 1."; by how much, where the draws bear no figure, is not said. */
export function narrowsSentence(what: string, m: Measuring): string {
  return cannotTell(m.narrower, m.narrowerError)
    ? `${what}; by how much ${CANNOT_TELL}.`
    : `${what} by ${narrowerWords(m)}.`;
}

/** "Then decided with a chance of 30 % ± 5."; '' where the measurement is of no comparison. */
export function settlesSentence({ settles, settlesError }: Measuring): string {
  if (settles === undefined) return '';
  return cannotTell(settles, settlesError)
    ? `Whether it is decided then ${CANNOT_TELL}.`
    : `Then decided with a chance of ${estimateWords(settles, settlesError ?? 0)}.`;
}

/** For a cell; a sentence is `narrowsSentence`. */
export function narrowerWords({ narrower, narrowerError }: Measuring): string {
  return estimateWords(narrower, narrowerError);
}

export function settlesWords({ settles, settlesError }: Measuring): string {
  return settles === undefined ? '' : estimateWords(settles, settlesError ?? 0);
}

/** Without an error it comes from moving each input alone, while the draws that tell its error are to come. */
function estimateWords(share: number, error: number): string {
  if (cannotTell(share, error)) return CANNOT_TELL;
  return error === 0 ? `roughly ${shareWords(share)}` : aboutWords(share, error);
}

/** Error of a share below which it is not said. */
const EXACT = 0.005;
/** Error of a share from which on it is said in steps of five points. */
const COARSE = 0.025;

function pointsOf(x: number, error: number): number {
  const step = stepOf(error);
  return step * Math.round((100 * x) / step);
}

function stepOf(error: number): number {
  return error < COARSE ? 1 : 5;
}

/** A share with its standard error: "57 % ± 2"; "75 % ± 10" where the draws bear no more; "under 10 %" where it may be none. */
export function aboutWords(share: number, error: number): string {
  if (error < EXACT) return shareWords(share);
  const step = stepOf(error);
  return pointsOf(share, error) <= 0
    ? `under ${step * Math.ceil((100 * (share + error)) / step)} %`
    : `${Math.min(pointsOf(share, error), 100)} % ± ${pointsOf(error, error)}`;
}

/**
 * A chance, never 0 or 100 %: a finite number of draws cannot say so. It and the chance of the contrary make 100 %, and none is
 * rounded up to where a difference is called likely or decided: 94.7 %, not decided, is said as 94 %.
 */
export function chanceWords(p: number): string {
  const surer = Math.max(p, 1 - p);
  if (surer > 0.99) return p > 0.5 ? 'over 99 %' : 'under 1 %';
  const rounded = Math.round(100 * surer);
  const points = [LIKELY, DECIDED].some((from) => surer < from && rounded >= 100 * from)
    ? rounded - 1
    : rounded;
  return `${p >= 0.5 ? points : 100 - points} %`;
}

/** A share, as near to none or to the whole as may be without saying either. */
function shareWords(share: number): string {
  return share > 0.99 ? 'over 99 %' : share < 0.01 ? 'under 1 %' : `${(100 * share).toFixed(0)} %`;
}

const WHY_NOT: Readonly<Record<NotMeasured, string>> = {
  'no cheap way': 'no cheap way to measure it is known',
  'known as well': 'it is known as well as it can be measured at home',
  'only with the grip':
    'laps tell it only together with the grip: measure the grip first, then fit a known lap',
  'nothing by itself':
    'known by itself it would narrow next to nothing; it counts by what it acts together with',
};

/** Why inputs that are to blame are not among what to measure: a line each. */
export function notMeasuredLines(
  { notMeasured, shares }: UnknownsResult['variance'][number],
  say: DoubtSay,
): string[] {
  return notMeasured.map(({ path, total, why }) => {
    const error = shares.find(({ paths }) => paths.length === 1 && paths[0] === path)?.totalError ?? 0;
    return `${say.input(path)} (${aboutWords(Math.min(1, total), error)} of the doubt): ${WHY_NOT[why]}.`;
  });
}

/** "both karts", "3 karts": whose driver an unknown is; undefined where it is of one kart, or of none. */
export function sharedBy(path: string, { unknowns, karts }: UnknownsResult): string | undefined {
  const count = new Set(
    (unknowns.find((u) => u.path === path)?.paths ?? []).flatMap(
      (place) => /^karts\.([^.]+)/.exec(place)?.[1] ?? [],
    ),
  ).size;
  if (count < 2) return undefined;
  return count === 2 && karts.length === 2 ? 'both karts' : `${count} karts`;
}
