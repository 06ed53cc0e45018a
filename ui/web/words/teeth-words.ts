/** Which teeth, in words and tables, from the study's result. Pure. */
import type { PairSheet, Project, TeethOnTrack, TeethResult } from '../../../sim/index.ts';
import { bearsOnKarts } from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';
import { nineInTen } from '../../words/difference-words.ts';
import { hasNoReasonForAll, hasNoReasonToChange, whyNot } from '../../words/reason-to-change.ts';
import type { PlotTable } from '../plots/plot.ts';
import { list } from './lap-words.ts';
import { giveOrTake, metres, seconds, speed } from './numbers.ts';

export function pairName({ front, rear }: { readonly front: number; readonly rear: number }): string {
  return `${front}/${rear}`;
}

export function teethSentence(found: TeethResult, project: Project): string {
  const known = found.tracks.filter(({ best }) => best >= 0);
  const name = (id: string): string => project.tracks[id]?.name ?? id;
  if (known.length === 0) return 'None of these pairs can be driven here.';
  if (known.length === 1) return onTrackSentence(found, project, known[0]!);
  const compromise = found.compromise;
  if (compromise === null) return 'No pair can be driven on every one of these tracks.';
  const worst = Math.max(...compromise.losses);
  const where = found.tracks[compromise.losses.indexOf(worst)]?.track ?? '';
  const all = `For all ${known.length} tracks at once`;
  const away = `it gives away ${worst.toFixed(2)}${giveOrTake(compromise.spreads[compromise.losses.indexOf(worst)] ?? null)}\u00a0s at most, on ${name(where)}`;
  const pair = pairName(found.pairs[compromise.pair]!);
  if (compromise.pair === found.fitted) return `${all} keep ${pair}, which is fitted: ${away}.`;
  const gains = (compromise.againstFitted ?? []).flatMap((rival, t) =>
    rival === null ? [] : [{ rival, track: name(found.tracks[t]!.track) }],
  );
  const most = gains.toSorted((x, y) => y.rival.difference - x.rival.difference)[0];
  if (most !== undefined && hasNoReasonForAll(found))
    return `${all} keep ${pairName(found.pairs[found.fitted]!)}, which is fitted: ${pair} would be quicker by ${most.rival.difference.toFixed(2)}\u00a0s at most, on ${most.track}, and ${whyNot(most.rival.difference, found.noise)}.`;
  const gain =
    most === undefined
      ? ''
      : `; on what is fitted it gains most on ${most.track}, ${most.rival.difference.toFixed(2)}\u00a0s${most.rival.verdict === null ? '' : ` (${`${nineInTen(most.rival.difference, most.rival.low, most.rival.high)}; `.slice(2)}${most.rival.verdict})`}`;
  return `${all} fit ${pair}${costWords(found.pairs[compromise.pair]!)}: ${away}${gain}.`;
}

/** ", in the box" or ", 26 to buy" */
function costWords({ owned, toBuy }: PairSheet): string {
  return owned ? ', in the box' : toBuy === null ? ', to be bought' : `, ${toBuy} to buy`;
}

/** Which pair to fit for one track, its lap, and what it gains. */
export function onTrackSentence(found: TeethResult, project: Project, on: TeethOnTrack): string {
  const { ties, track, laps, named, spread } = on;
  const name = project.tracks[track]?.name ?? track;
  const pair = found.pairs[named];
  if (pair === undefined) return `None of these pairs can be driven on ${name}.`;
  const lap = `${seconds(laps[named]?.time ?? 0)}${spread === null ? '' : `, give or take ${spread.toFixed(1)} s`}`;
  const others = ties.length - 1;
  const alike =
    others === 0
      ? ''
      : ` ${others === 1 ? 'One other pair is' : `${others} other pairs are`} as quick on any clock.`;
  const rival = rivalWords(found, on);
  if (named === found.fitted)
    return `On ${name} keep ${pairName(pair)}, which is fitted: ${lap}.${alike}${rival === '' ? '' : ` ${capital(rival)}.`}`;
  if (hasNoReasonToChange(found, on)) {
    const kept = laps[found.fitted]?.time;
    return `On ${name} keep ${pairName(found.pairs[found.fitted]!)}, which is fitted${kept === undefined ? '' : `, ${seconds(kept)}`}: ${pairName(pair)} would be ${rival}, and ${whyNot(on.rival?.difference ?? 0, found.noise)}.`;
  }
  const best = found.pairs[on.best]!;
  const quickest =
    named === on.best ? '' : ` No clock tells it from ${pairName(best)}, the quickest${costWords(best)}.`;
  return `On ${name} fit ${pairName(pair)}${costWords(pair)}: ${lap}${rival === '' ? '' : `; ${rival}`}.${quickest}${alike}`;
}

/** What the named pair gains on the one it is compared with, and how sure that is; '' where there is none. */
function rivalWords(found: TeethResult, { rival }: TeethOnTrack): string {
  if (rival === null || (rival.pair !== found.fitted && Math.abs(rival.difference) < found.noise)) return '';
  const size = `${Math.abs(rival.difference).toFixed(2)}\u00a0s`;
  const range = nineInTen(rival.difference, rival.low, rival.high);
  const sure = rival.verdict === null ? '' : ` (${`${range}; `.slice(2)}${rival.verdict})`;
  if (rival.pair !== found.fitted)
    return `the next that a clock tells from it, ${pairName(found.pairs[rival.pair]!)}, loses ${size}${sure}`;
  return `${size} ${rival.difference < 0 ? 'slower' : 'quicker'} than what is fitted${sure}`;
}

/** Of more than one track; for one the pair is all there is to carry. */
export function carrySentence({ carry, pairs, tracks, cover }: TeethResult, project: Project): string {
  if (carry === null || tracks.length < 2) return '';
  const fits = tracks.map(
    ({ track }, i) => `${pairName(pairs[carry.pairs[i]!]!)} on ${project.tracks[track]?.name ?? track}`,
  );
  const buy =
    carry.toBuy === null ? '' : carry.toBuy === 0 ? ', all of it yours already' : `, ${carry.toBuy} to buy`;
  return `Worth carrying to come within ${cover.toFixed(2)} s of the best everywhere: front ${list(carry.front.map(String))}, rear ${list(carry.rear.map(String))}${buy} (${fits.join('; ')}).`;
}

/** What a box of two, three ... sprockets gives away at most, and the pair to fit where. */
export function boxTable(found: TeethResult, project: Project): PlotTable {
  return {
    heads: [
      'sprockets',
      'front',
      'rear',
      'gives away at most',
      'to buy',
      ...found.tracks.map(({ track }) => project.tracks[track]?.name ?? track),
    ],
    rows: found.boxes.map((box) => [
      String(box.front.length + box.rear.length),
      list(box.front.map(String)),
      list(box.rear.map(String)),
      `${Math.max(...box.losses).toFixed(2)} s`,
      box.toBuy === null ? '' : box.toBuy === 0 ? 'nothing' : String(box.toBuy),
      ...box.pairs.map((pair) => pairName(found.pairs[pair]!)),
    ]),
  };
}

/** Where a sprocket more gains nothing. */
export function boxSentence({ boxes, boxesUpTo }: TeethResult): string {
  const last = boxes.at(-1);
  if (last === undefined) return '';
  const size = last.front.length + last.rear.length;
  return size >= boxesUpTo
    ? ''
    : `Boxes of up to ${boxesUpTo} were tried: more than ${size} sprockets gain nothing that a clock would show.`;
}

export function edgeSentence({ tracks }: TeethResult, project: Project): string {
  const ends = tracks.flatMap(({ edge, track }) =>
    edge === null ? [] : [`${project.tracks[track]?.name ?? track} (the ${edge} at hand)`],
  );
  return ends.length === 0
    ? ''
    : `The best lies at the end of what was tried on ${list(ends)}: look beyond it.`;
}

/** Front by rear, each cell the loss against the best on one track. */
export function gridTable(found: TeethResult, t: number): PlotTable {
  const track = found.tracks[t]!;
  const best = track.laps[track.best]?.time;
  return {
    heads: ['front \\ rear', ...found.rears.map(String)],
    rows: found.fronts.map((front, f) => [
      String(front),
      ...found.rears.map((_, r) => {
        const i = found.grid.data[f * found.rears.length + r] ?? -1;
        const lap = i < 0 ? null : track.laps[i];
        if (lap === undefined) return '…';
        if (lap === null || best === undefined) return 'cannot';
        const loss = lap.time - best;
        const mark = i === track.best ? ' best' : track.ties.includes(i) ? ' =' : '';
        return `+${loss.toFixed(2)}${mark}${i === found.fitted ? ' fitted' : ''}`;
      }),
    ]),
  };
}

/** The pairs from the best on: lap, shifts, limiter, chain. */
export function pairTable(found: TeethResult, t: number, unit: string): PlotTable {
  const track = found.tracks[t]!;
  const order = track.laps
    .flatMap((lap, i) => (lap == null ? [] : [{ lap, i }]))
    .sort((a, b) => a.lap.time - b.lap.time)
    .slice(0, 12);
  // A belt shifts by itself: there is nothing to count.
  const isCounted = order.some(({ lap }) => lap.shifts !== null);
  return {
    heads: [
      'pair',
      'ratio',
      'lap',
      'behind',
      ...(isCounted ? ['shifts'] : []),
      'on the limiter',
      'limiter before braking',
      'top speed',
      'chain, links',
      'axle moves, same chain',
      'chain speed, fastest of the lap',
      'yours',
    ],
    rows: order.map(({ lap, i }) => {
      const pair = found.pairs[i]!;
      return [
        pairName(pair),
        pair.ratio.toFixed(2),
        seconds(lap.time),
        `${(lap.time - order[0]!.lap.time).toFixed(2)} s`,
        ...(isCounted ? [lap.shifts === null ? '' : String(Math.round(lap.shifts))] : []),
        seconds(lap.limiterTime),
        metres(lap.limiterBeforeBraking),
        speed(lap.topSpeed, unit),
        pair.chain.links === null ? '' : String(pair.chain.links),
        pair.slotFromFitted === null
          ? ''
          : `${pair.slotFromFitted >= 0 ? '+' : '−'}${Math.abs(1000 * pair.slotFromFitted).toFixed(1)} mm`,
        `${lap.chainSpeed.toFixed(1)} m/s`,
        pair.owned ? 'yes' : pair.toBuy === null ? 'no' : `no, ${pair.toBuy}`,
      ];
    }),
  };
}

/** What the chain of a pair does not meet of what bears on a kart. */
export function chainTroubles(pair: PairSheet): string[] {
  return pair.chain.rules.filter((rule) => !rule.holds && bearsOnKarts(rule)).map(ruleWords);
}

/** Advice for drives that run for years: a motorcycle chain hardly ever meets it. */
export function industrialNotes(pair: PairSheet): string[] {
  return pair.chain.rules.filter((rule) => !rule.holds && !bearsOnKarts(rule)).map(ruleWords);
}

function ruleWords(rule: PairSheet['chain']['rules'][number]): string {
  const unit = /speed/.test(rule.name) ? ' m/s' : '';
  const number = (value: number): string => `${Number(value.toPrecision(3))}${unit}`;
  return `${rule.name} ${number(rule.value)}${/limiter/.test(rule.name) ? ' in top gear' : ''}, advised ${rule.kind} ${number(rule.limit)}`;
}

export function tyresTable({ tyres }: TeethResult, project: Project): PlotTable {
  return {
    heads: ['rear tyre', 'rolling radius', 'acts as so many rear teeth', 'to keep the gearing fit'],
    rows: tyres.map((tyre) => [
      project.tyres[tyre.tyre]?.name ?? tyre.tyre,
      `${(1000 * tyre.radius).toFixed(0)} mm`,
      tyre.actsAs.toFixed(1),
      tyre.keepsWith.toFixed(1),
    ]),
  };
}
