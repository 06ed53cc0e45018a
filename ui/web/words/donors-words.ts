/** Which engine, in words and tables, from the study's result. Pure. */
import type { Comparison, DonorsResult, Project } from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';
import { nineInTen, oddsWords } from '../../words/difference-words.ts';
import { whereItArises } from '../../words/where-it-arises.ts';
import type { PlotTable } from '../plots/plot.ts';
import { list } from './lap-words.ts';
import { chance, percent, seconds, speed } from './numbers.ts';
import { pairName } from './teeth-words.ts';

/** Of a track or two everything; of more how many are which, the tracks following in donorsSaid. */
export function donorsSentence(found: DonorsResult, project: Project): string {
  if (found.comparisons.length === 0) {
    const cannot = found.donors.filter(({ tracks }) => tracks.every((on) => on === null)).length;
    if (cannot === 0 || found.donors.length < 2) return 'There is one donor: nothing to compare it with.';
    const which =
      cannot === found.donors.length
        ? 'No kart here, whichever donor it has,'
        : 'Of two donors to compare not both';
    return `${which} can drive ${found.tracks.length === 1 ? 'this track' : 'any of these tracks'}: ask for its lap to see why.`;
  }
  const isShort = found.tracks.length <= SHORT;
  const said = found.donors
    .filter(({ donor }) => donor !== found.reference)
    .map(({ donor, name }) =>
      isShort
        ? donorSaid(found, donor, project)
        : `${name} is ${countsOf(found, donor)}${priceWords(found, donor)}`,
    );
  return `Against ${project.donors[found.reference]?.name ?? found.reference}, each at the best of the sprockets listed: ${said.join('; ')}.`;
}

/** Donor by donor, where it is quicker and where not; nothing where the sentence says so already. */
export function donorsSaid(found: DonorsResult, project: Project): string[] {
  if (found.tracks.length <= SHORT || found.comparisons.length === 0) return [];
  return found.donors
    .filter(({ donor }) => donor !== found.reference)
    .map(({ donor }) => `${donorSaid(found, donor, project)}.`);
}

/** Tracks one sentence can hold. */
const SHORT = 2;

type Way = 'quicker' | 'slower' | 'too close to call' | 'no different on any clock';

function wayOf({ verdict, difference }: Comparison, noise: number): Way {
  if (Math.abs(difference) <= noise) return 'no different on any clock';
  if (verdict === 'too close to call') return verdict;
  return difference < 0 ? 'quicker' : 'slower';
}

function byWay(found: DonorsResult, donor: string): Map<Way, Comparison[]> {
  const ways = new Map<Way, Comparison[]>(
    (['quicker', 'slower', 'too close to call', 'no different on any clock'] as const).map((way) => [
      way,
      [],
    ]),
  );
  for (const c of found.comparisons) if (c.donor === donor) ways.get(wayOf(c, found.noise))!.push(c);
  return ways;
}

/** ", and costs 600 less": with the sprockets to be bought for it where it is about one track; in the money of the file. */
function priceWords({ donors, reference, tracks }: DonorsResult, donor: string): string {
  const card = (id: string) => donors.find((one) => one.donor === id);
  const [own, other] = [card(reference), card(donor)];
  if (own?.price == null || other?.price == null) return '';
  const engine = other.price - own.price;
  const toBuy = ({ tracks: on }: DonorsResult['donors'][number]) => on[0]?.pair?.toBuy ?? 0;
  const sprockets = tracks.length === 1 ? toBuy(other) - toBuy(own) : 0;
  const says = (more: number): string =>
    more === 0 ? 'as much' : `${Math.abs(more).toFixed(0)} ${more < 0 ? 'less' : 'more'}`;
  return sprockets === 0
    ? `, and costs ${says(engine)}`
    : `, and costs ${says(engine + sprockets)} with its sprockets (the engine alone ${says(engine)})`;
}

/** "quicker on 1 track of 7, slower on 4 and too close to call on 2" */
function countsOf(found: DonorsResult, donor: string): string {
  const ways = [...byWay(found, donor)].filter(([, rows]) => rows.length > 0);
  const all = ways.reduce((sum, [, rows]) => sum + rows.length, 0);
  return list(ways.map(([way, rows], k) => `${way} on ${rows.length}${k === 0 ? ` of ${all} tracks` : ''}`));
}

function donorSaid(found: DonorsResult, donor: string, project: Project): string {
  const track = (id: string): string => project.tracks[id]?.name ?? id;
  const said = (c: Comparison, way: Way): string => {
    if (way === 'no different on any clock') return track(c.track);
    const open = way === 'too close to call';
    const size = `${Math.abs(c.difference).toFixed(2)}\u00a0s${nineInTen(c.difference, c.low, c.high, '\u00a0s')}`;
    const how = open
      ? ` ${c.difference < 0 ? 'quicker' : 'slower'}`
      : `, ${c.verdict ?? 'how sure is being worked out'}`;
    return `${track(c.track)} (${size}${how}${sprocketWords(c, found.noise)})`;
  };
  const parts = [...byWay(found, donor)].flatMap(([way, rows]) =>
    rows.length === 0 ? [] : [`${way} on ${list(rows.map((c) => said(c, way)))}`],
  );
  return `${project.donors[donor]?.name ?? donor} is ${parts.join(', ')}${priceWords(found, donor)}`;
}

/** What part of a difference the sprockets are, where a clock shows it. */
function sprocketWords({ difference, ofSprockets }: Comparison, noise: number): string {
  if (ofSprockets === null || Math.abs(ofSprockets) < noise) return '';
  const part = ofSprockets / difference;
  if (part > 0 && part <= 1)
    return `; ${Math.abs(ofSprockets).toFixed(2)} s of it for want of a better sprocket`;
  const without = difference - ofSprockets;
  return `; each at the ratio it wants it would be ${Math.abs(without).toFixed(2)} s ${without < 0 ? 'quicker' : 'slower'}`;
}

export function donorsTable(found: DonorsResult, unit: string, t: number): PlotTable {
  const track = found.tracks[t]!;
  return {
    heads: [
      'donor',
      'lap',
      'give or take',
      'best sprockets',
      'lost to the sprockets at hand',
      'shifts',
      'on the limiter',
      '100 m from rest',
      'top speed, lap',
      'top speed, level',
      'against the one fitted',
      'bought per 100 of price, s a lap',
    ],
    rows: found.donors.map((card) => {
      const on = card.tracks[t];
      const against = found.comparisons.find((c) => c.donor === card.donor && c.track === track);
      if (on === undefined) return [card.name, '…', ...Array.from({ length: 10 }, () => '')];
      if (on === null) return [card.name, 'cannot', ...Array.from({ length: 10 }, () => '')];
      return [
        card.name,
        seconds(on.time),
        on.spread === null ? '' : `±${on.spread.toFixed(1)} s`,
        on.pair === null
          ? on.ratio.toFixed(2)
          : `${pairName(on.pair)}${on.pair.owned ? '' : on.pair.toBuy === null ? ', to buy' : `, ${on.pair.toBuy} to buy`}`,
        on.lostToSprockets === null ? '' : `${on.lostToSprockets.toFixed(2)} s`,
        on.shifts === null ? 'belt' : String(Math.round(on.shifts)),
        seconds(on.limiterTime),
        on.launch100 === null ? '' : seconds(on.launch100),
        speed(on.topSpeedReached, unit),
        on.topSpeed === null ? '' : speed(on.topSpeed, unit),
        against === undefined
          ? 'fitted'
          : against.probability === null
            ? ''
            : againstWords(against, found.noise),
        against?.secondsPerMoney == null ? '' : (100 * against.secondsPerMoney).toFixed(3),
      ];
    }),
  };
}

export function donorCardsTable(found: DonorsResult): PlotTable {
  return {
    heads: [
      'donor',
      'its mass',
      'price',
      'kart with it',
      'in front',
      'power at the crank',
      'torque at the crank',
    ],
    rows: found.donors.map((card) => [
      card.name,
      `${card.mass.toFixed(0)} kg`,
      card.price === null ? '' : String(card.price),
      card.kart === null ? '…' : `${card.kart.mass.toFixed(0)} kg`,
      card.kart === null ? '' : percent(card.kart.frontWeightShare),
      card.kart === null ? '' : `${(card.kart.peakPower / 1000).toFixed(0)} kW`,
      card.kart === null ? '' : `${card.kart.peakTorque.toFixed(0)} N·m`,
    ]),
  };
}

/** What small changes are worth, per track. */
export function whatIfTable(found: DonorsResult, project: Project): PlotTable {
  return {
    heads: ['what if', 'donor', ...found.tracks.map((id) => project.tracks[id]?.name ?? id)],
    rows: found.donors.flatMap((card) =>
      card.whatIfs.map((whatIf) => [
        capital(whatIf.name),
        card.name,
        ...whatIf.seconds.map((s) =>
          s === null
            ? ''
            : Math.abs(s) < LEAST_TOLD
              ? 'nothing'
              : `${s < 0 ? '' : '−'}${Math.abs(s).toFixed(2)} s ${s < 0 ? 'quicker' : 'slower'}`.replace(
                  '−',
                  '',
                ),
        ),
      ]),
    ),
  };
}

/** Seconds one donor loses to the other, by what holds each back, and the whole. */
export function whereTable(found: DonorsResult, donor: string, track: string): PlotTable | undefined {
  const along = found.comparisons.find((c) => c.donor === donor && c.track === track)?.along;
  if (along == null) return undefined;
  const { parts, rest, whole } = whereItArises(along, 8);
  const does = (seconds: number): string =>
    `${seconds > 0 ? 'loses' : 'gains'} ${Math.abs(seconds).toFixed(2)}\u00a0s`;
  return {
    heads: ['the one fitted is held by', 'this one by', 'this one'],
    rows:
      parts.length === 0
        ? []
        : [
            ...parts.map(({ first, second, seconds }) => [first, second, does(seconds)]),
            ...(Math.abs(rest) < LEAST_TOLD ? [] : [['elsewhere', '', does(rest)]]),
            ['in all', '', does(whole)],
          ],
  };
}

/** What small changes are worth with the donor fitted, on one track: whether engine or ground decides there. */
export function worthHere(found: DonorsResult, t: number): string {
  const fitted = found.donors.find(({ donor }) => donor === found.reference);
  const parts = (fitted?.whatIfs ?? []).flatMap(({ name, seconds: all }) => {
    const gain = all[t];
    if (gain === null || gain === undefined) return [];
    return [
      Math.abs(gain) < LEAST_TOLD
        ? `${name} is worth nothing`
        : `${name} ${gain < 0 ? 'gains' : 'costs'} ${Math.abs(gain).toFixed(2)} s a lap`,
    ];
  });
  return fitted === undefined || parts.length === 0 ? '' : `With ${fitted.name} here: ${list(parts)}.`;
}

/** s; less rounds to nothing. */
const LEAST_TOLD = 0.005;

/** How each what-if is meant, once each. */
export function whatIfNotes(found: DonorsResult): string[] {
  const notes = new Map(
    found.donors.flatMap((card) => card.whatIfs.map(({ name, note }) => [name, note] as const)),
  );
  return [...notes].map(([name, note]) => `${capital(name)}: ${note}.`);
}

/** What no clock shows has no odds worth telling. */
function againstWords(
  { difference, low, high, middle, verdict, probability }: Comparison,
  noise: number,
): string {
  if (probability === null) return '';
  const size = `${Math.abs(difference).toFixed(2)}\u00a0s ${difference < 0 ? 'quicker' : 'slower'}${nineInTen(difference, low, high)}`;
  if (Math.abs(middle ?? difference) < noise) return `${size}: no clock tells`;
  return `${size}: ${oddsWords(verdict, probability)} (${chance(Math.max(probability, 1 - probability))})`;
}
