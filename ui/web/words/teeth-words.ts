/** Which teeth, in words and tables, from the study's result. Pure. */
import type { PairSheet, Project, TeethResult } from '../../../sim/index.ts';
import type { PlotTable } from '../plots/plot.ts';
import { list } from './lap-words.ts';
import { metres, seconds, speed } from './numbers.ts';

export function pairName({ front, rear }: { readonly front: number; readonly rear: number }): string {
  return `${front}/${rear}`;
}

export function teethSentence(found: TeethResult, project: Project): string {
  const known = found.tracks.filter(({ best }) => best >= 0);
  const name = (id: string): string => project.tracks[id]?.name ?? id;
  if (known.length === 0) return 'None of these pairs can be driven here.';
  if (known.length === 1) {
    const [only] = known;
    const { best, ties, track, laps } = only!;
    const others = ties.length - 1;
    const time = laps[best]?.time ?? 0;
    const fitted = found.fitted >= 0 ? laps[found.fitted] : undefined;
    const gain =
      fitted == null || found.fitted === best
        ? found.fitted === best
          ? ', which is what is fitted'
          : ''
        : ties.includes(found.fitted)
          ? '; what is fitted is as good on any clock'
          : `, ${(fitted.time - time).toFixed(2)} s quicker than what is fitted`;
    return `On ${name(track)} fit ${pairName(found.pairs[best]!)}: ${seconds(time)}${gain}.${
      others === 0
        ? ''
        : ` ${others === 1 ? 'One other pair is' : `${others} other pairs are`} as quick on any clock.`
    }`;
  }
  const compromise = found.compromise;
  if (compromise === null) return 'No pair can be driven on every one of these tracks.';
  const worst = Math.max(...compromise.losses);
  const where = found.tracks[compromise.losses.indexOf(worst)]?.track ?? '';
  return `For all ${known.length} tracks at once fit ${pairName(found.pairs[compromise.pair]!)}: it gives away ${worst.toFixed(2)} s at most, on ${name(where)}.`;
}

export function carrySentence({ carry, pairs, tracks, cover }: TeethResult, project: Project): string {
  if (carry === null) return '';
  const fits = tracks.map(
    ({ track }, i) => `${pairName(pairs[carry.pairs[i]!]!)} on ${project.tracks[track]?.name ?? track}`,
  );
  const buy =
    carry.toBuy === null ? '' : carry.toBuy === 0 ? ', all of it yours already' : `, ${carry.toBuy} to buy`;
  return `Worth carrying to come within ${cover.toFixed(2)} s of the best everywhere: front ${list(carry.front.map(String))}, rear ${list(carry.rear.map(String))}${buy} (${fits.join('; ')}).`;
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
  return {
    heads: [
      'pair',
      'ratio',
      'lap',
      'shifts',
      'on the limiter',
      'of it before braking',
      'top speed',
      'chain, links',
      'slot, mm',
      'chain speed',
      'yours',
    ],
    rows: order.map(({ lap, i }) => {
      const pair = found.pairs[i]!;
      return [
        pairName(pair),
        pair.ratio.toFixed(2),
        seconds(lap.time),
        String(Math.round(lap.shifts)),
        seconds(lap.limiterTime),
        metres(lap.limiterBeforeBraking),
        speed(lap.topSpeed, unit),
        pair.chain.links === null ? '' : String(pair.chain.links),
        pair.slotFromFitted === null
          ? ''
          : `${pair.slotFromFitted >= 0 ? '+' : '−'}${Math.abs(1000 * pair.slotFromFitted).toFixed(1)}`,
        `${lap.chainSpeed.toFixed(1)} m/s`,
        pair.owned ? 'yes' : pair.toBuy === null ? 'no' : `no, ${pair.toBuy}`,
      ];
    }),
  };
}

/** What the chain of a pair does not meet, in words; none is good news. */
export function chainTroubles(pair: PairSheet): string[] {
  return pair.chain.rules
    .filter((rule) => !rule.holds)
    .map(
      (rule) =>
        `${rule.name}: ${Number(rule.value.toPrecision(3))}, ${rule.kind} ${Number(rule.limit.toPrecision(3))} (${rule.source})`,
    );
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
