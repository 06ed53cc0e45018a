/**
 * A lap in sentences, built from the solver's result and nothing else.
 *
 * In: lap result, unit of speed. Out: plain text. Pure.
 */
import type { LapResult, Limit, LineKind } from '../../../sim/index.ts';
import { LIMIT_MEANING } from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';
import { metres, percent, seconds, speed, times } from './numbers.ts';

/** `line`: the one driven, named where it is not the drawn one. */
export function lapHeadline(lap: LapResult, line: LineKind = 'as drawn'): string {
  const time = seconds(lap.time);
  const on = line === 'as drawn' ? '' : ` on the ${line} line`;
  if (lap.start === 'flying') return `Round ${lap.track}: ${time} for a flying lap${on}.`;
  const start = lap.start === 'standing' ? 'from standing' : 'from a rolling start';
  return `Along ${lap.track}: ${time} ${start}${on}.`;
}

/** Shares of the time by what holds the kart back, largest first; nothing under half a per cent. */
export function limitShares(lap: LapResult): { limit: Limit; share: number }[] {
  return lap.limits
    .map((limit, i) => ({ limit, share: lap.time > 0 ? lap.timeAtLimit[i]! / lap.time : 0 }))
    .filter(({ share }) => share >= 0.005)
    .sort((a, b) => b.share - a.share);
}

export function limitSentence(lap: LapResult): string {
  const [first, second] = limitShares(lap);
  if (first === undefined) return '';
  const more =
    second === undefined
      ? ''
      : ` Next comes ${second.limit}, ${percent(second.share)}: ${LIMIT_MEANING[second.limit]}.`;
  return `What holds it back most is ${first.limit}, ${percent(first.share)} of the time: ${LIMIT_MEANING[first.limit]}.${more}`;
}

export function paceSentence(lap: LapResult, unit: string): string {
  const fastest = `Fastest ${speed(lap.topSpeed, unit)} at ${metres(lap.topSpeedAt)}`;
  const slowest =
    lap.start === 'standing'
      ? ''
      : `, slowest ${speed(lap.lowestSpeed, unit)} at ${metres(lap.lowestSpeedAt)}`;
  return `${fastest}${slowest}; ${speed(lap.averageSpeed, unit)} on average.`;
}

export function gearSentence(lap: LapResult): string {
  const limiter =
    lap.timeAtLimiter < 0.05 ? 'never on the limiter' : `${seconds(lap.timeAtLimiter)} on the limiter`;
  const unused = lap.gearNames.filter((_, i) => lap.timeInGear[i] === 0);
  if (lap.shifts === null) return `The belt shifts by itself, ${limiter}.${unusedOfBelt(unused)}`;
  const inUse = lap.gearNames.length - unused.length;
  // On the brakes a lap may show a gear it never shifts into.
  const shifts =
    lap.shifts === 0 && inUse > 1 ? 'No upshifts' : capital(times(lap.shifts, 'gear change', 'gear changes'));
  const idle =
    unused.length === 0 || lap.gearNames.length === 1
      ? ''
      : ` Not used: ${unused.length === 1 ? 'gear' : 'gears'} ${list(unused)}.`;
  return `${shifts}, ${limiter}.${idle}`;
}

function unusedOfBelt(unused: readonly string[]): string {
  const ratios = unused.flatMap((name) =>
    name === 'low' ? 'the lowest ratio' : name === 'high' ? 'the highest ratio' : [],
  );
  return ratios.length === 0
    ? ''
    : ` ${capital(list(ratios))} ${ratios.length === 1 ? 'is' : 'are'} not used.`;
}

/** What the last step did to the lap; '' where it cannot be said. */
export function changeSentence(label: string, before: number, now: number): string {
  const change = now - before;
  // Under 0.02 s neither a driver nor a clock at such a track would notice (common practice, no source).
  if (Math.abs(change) < 0.02) return `${capital(label)}: no difference a clock would show.`;
  const size = Math.abs(change) < 1 ? `${Math.abs(change).toFixed(2)} s` : seconds(Math.abs(change));
  return `${capital(label)}: ${size} ${change < 0 ? 'quicker' : 'slower'}, everything else equal.`;
}

export function list(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}
