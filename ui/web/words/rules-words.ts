/**
 * Common rules of the trade in our own words, and what the solver found of each for this kart. Pure.
 *
 * In: the study's result and names. Out: per rule the rule, a verdict in a word, a sentence, and the table behind it.
 * Nothing here decides beforehand which way a rule comes out.
 */
import type { GripTurn, Project, RulesResult, StopHere } from '../../../sim/index.ts';
import type { PlotTable } from '../plots/plot.ts';
import { list } from './lap-words.ts';
import { percent, seconds, stopMetres } from './numbers.ts';

export interface SaidRule {
  readonly rule: string;
  readonly verdict: 'holds here' | 'does not hold here' | 'holds in part' | 'cannot be said';
  readonly sentence: string;
  readonly table: PlotTable;
}

/** Of the grip factor: known closer than this, one figure says it. */
const KNOWN_TO = 0.04;
/** s; a smaller difference no driver repeats (common practice, no source). */
const EVEN = 0.05;

export function saidRules(found: RulesResult, project: Project): SaidRule[] {
  return [
    torqueRule(found, project),
    toothRule(found),
    rearwardRule(found, project),
    engineRule(found, project),
    limiterRule(found, project),
    gripRule(found, project),
  ];
}

function torqueRule(found: RulesResult, project: Project): SaidRule {
  const known = found.donors.filter((donor) => donor.peakTorque !== null);
  const strongest = [...known].sort((a, b) => b.peakTorque! - a.peakTorque!)[0];
  const track = (id: string): string => project.tracks[id]?.name ?? id;
  const donorName = (id: string): string => project.donors[id]?.name ?? id;
  const won: string[] = [];
  const lost: string[] = [];
  for (const [i, id] of found.tracks.entries()) {
    const own = strongest?.lapTimes[i];
    const others = known.filter((d) => d !== strongest).flatMap((d) => d.lapTimes[i] ?? []);
    if (own === undefined || own === null || others.length === 0) continue;
    const behind = own - Math.min(...others);
    if (behind > EVEN) lost.push(`${track(id)} (by ${seconds2(behind)})`);
    else if (behind < -EVEN) won.push(`${track(id)} (by ${seconds2(-behind)})`);
  }
  return {
    rule: 'The donor with the higher torque is quicker.',
    verdict: verdictOf(won.length, lost.length),
    sentence:
      strongest === undefined || won.length + lost.length === 0
        ? 'There are not two donors here that run the same tracks apart.'
        : `${donorName(strongest.donor)} has the most torque. Each at the best rear sprocket at hand, it is quickest on ${
            won.length === 0 ? 'none of the tracks' : list(won)
          }${lost.length === 0 ? '' : ` and beaten on ${list(lost)}`}, as the file has it; how sure each is, Which engine? says.`,
    table: {
      heads: ['donor', 'peak torque', ...found.tracks.map(track)],
      rows: found.donors.map((donor) => [
        donorName(donor.donor),
        donor.peakTorque === null ? '' : `${donor.peakTorque.toFixed(0)} N·m`,
        ...donor.lapTimes.map((time) => (time === null ? 'cannot' : seconds(time))),
      ]),
    },
  };
}

function toothRule({ frontTooth }: RulesResult): SaidRule {
  const rule = 'One front tooth is worth three to four rear teeth.';
  if (frontTooth === null)
    return {
      rule,
      verdict: 'cannot be said',
      sentence: 'This kart’s file gives no sprockets.',
      table: EMPTY,
    };
  const { front, rear, worth } = frontTooth;
  const holds = worth >= 3 && worth <= 4;
  return {
    rule,
    verdict: holds ? 'holds here' : 'does not hold here',
    sentence: `On ${rear}/${front} one front tooth less does what ${worth.toFixed(1)} rear teeth more would do: rear teeth over front teeth less one. It lies between three and four only while the rear has ${3 * (front - 1)} to ${4 * (front - 1)} teeth on this front.`,
    table: {
      heads: ['front', 'one less is worth, in rear teeth'],
      rows: [front - 1, front, front + 1]
        .filter((z) => z > 1)
        .map((z) => [String(z), (rear / (z - 1)).toFixed(2)]),
    },
  };
}

function rearwardRule({ loose, hard }: RulesResult, project: Project): SaidRule {
  const rule = 'Loose ground wants the brake balance rearward.';
  if (loose?.share == null || hard?.share == null)
    return {
      rule,
      verdict: 'cannot be said',
      sentence: 'The tyres have no figures for both kinds of ground.',
      table: EMPTY,
    };
  // Of the figures as shown: readers subtract.
  const points = Math.round(100 * hard.share) - Math.round(100 * loose.share);
  const ground = (stop: StopHere): string =>
    (project.surfaces[stop.surface]?.name ?? stop.surface).toLowerCase();
  return {
    rule,
    verdict: points >= 1 ? 'holds here' : 'does not hold here',
    sentence: `Clutch in, both axles are used fully with ${percent(loose.share)} in front on ${ground(loose)} and ${percent(hard.share)} on ${ground(hard)}: ${Math.abs(points)} points apart. Harder braking shifts more load to the front; how much is the height of the centre of gravity over the wheelbase.`,
    table: {
      heads: ['ground', 'front share that suits'],
      rows: [loose, hard].map((stop) => [ground(stop), percent(stop.share ?? 0)]),
    },
  };
}

function engineRule({ loose, hard }: RulesResult, project: Project): SaidRule {
  const rule = 'Shifting down can stand in for the brakes.';
  const rows = [loose, hard].filter((stop): stop is StopHere => stop !== null);
  const length = (metres: number | null): string => (metres === null ? 'does not stop' : stopMetres(metres));
  const longest = Math.max(
    ...rows.map((s) =>
      s.engine === null || s.brakes === null ? Number.POSITIVE_INFINITY : s.engine / s.brakes,
    ),
  );
  const helped = rows.filter((s) => s.both !== null && s.brakes !== null && s.both < s.brakes - 0.3);
  const name = (s: StopHere): string => (project.surfaces[s.surface]?.name ?? s.surface).toLowerCase();
  return {
    rule,
    verdict: rows.length === 0 ? 'cannot be said' : longest < 1.15 ? 'holds here' : 'does not hold here',
    sentence:
      rows.length === 0
        ? 'The tyres have no figures for these grounds.'
        : `Throttle shut and shifting down, brakes untouched, the kart takes ${
            Number.isFinite(longest)
              ? `up to ${longest.toFixed(1)} times the distance of its brakes`
              : 'more than any straight to stop'
          }. ${helped.length === 0 ? 'Together with the brakes it shortens no stop here.' : `Together with the brakes it shortens the stop on ${list(helped.map(name))}.`} It brakes the driven wheels only, and a missed gear is no brake at all.`,
    table: {
      heads: ['ground', 'brakes, clutch in', 'engine alone, shifting down', 'both'],
      rows: rows.map((s) => [name(s), length(s.brakes), length(s.engine), length(s.both)]),
    },
  };
}

function limiterRule(found: RulesResult, project: Project): SaidRule {
  const { limiter, torque } = found.tenPercent;
  const alike: string[] = [];
  const apart: string[] = [];
  const track = (id: string): string => project.tracks[id]?.name ?? id;
  for (const [i, id] of found.tracks.entries()) {
    const [a, b] = [limiter[i], torque[i]];
    if (a === undefined || b === undefined || a === null || b === null) continue;
    // Where neither is worth a look there is nothing to compare.
    if (Math.max(Math.abs(a), Math.abs(b)) < EVEN) continue;
    if (a >= 0.8 * b) alike.push(track(id));
    else apart.push(track(id));
  }
  const saved = (value: number | null | undefined): string =>
    value === null || value === undefined
      ? 'cannot'
      : Math.abs(value) < 0.005
        ? 'nothing'
        : `${value > 0 ? '' : '−'}${seconds2(Math.abs(value))}`;
  return {
    rule: 'A higher rev limiter is worth as much as more torque.',
    verdict: verdictOf(alike.length, apart.length),
    sentence:
      alike.length + apart.length === 0
        ? 'Ten per cent of either is worth next to nothing here with the best rear sprocket at hand chosen anew for each: something else holds this kart back on every track.'
        : `Ten per cent more limiter, on the same curve carried on, against ten per cent more torque, each with the best rear sprocket at hand: ${
            alike.length === 0 ? 'nowhere worth as much' : `worth as much on ${list(alike)}`
          }${apart.length === 0 ? '' : `, worth less on ${list(apart)}`}. A limiter raised without a curve that goes on pulling there is guessed.`,
    table: {
      heads: ['track', '10 % more limiter saves', '10 % more torque saves'],
      rows: found.tracks.map((id, i) => [track(id), saved(limiter[i]), saved(torque[i])]),
    },
  };
}

function gripRule(found: RulesResult, project: Project): SaidRule {
  const track = (id: string): string => project.tracks[id]?.name ?? id;
  const turned = found.grip.flatMap(({ track: id, turns }) => (turns === null ? [] : [{ id, turns }]));
  const tipping = turned.filter(({ turns }) => turns.tips);
  const why =
    tipping.length === turned.length
      ? ': from there the kart tips before it slides'
      : tipping.length === 0
        ? ''
        : `; on ${list(tipping.map(({ id }) => track(id)))} the kart tips there before it slides`;
  const known = found.grip.filter((g) => g.times.some((t) => t !== null));
  const first = found.grip[0];
  return {
    rule: 'A grippier tyre is always faster.',
    verdict: known.length === 0 ? 'cannot be said' : turned.length === 0 ? 'holds here' : 'holds in part',
    sentence:
      turned.length === 0
        ? `From 0.7 to 2.3 times the grip of today it is quicker at every step on every track${
            known.length < found.grip.length ? ' this kart can drive' : ''
          }. Rolling resistance was kept: a tyre that rolls harder gives some of it back.`
        : `It stops being quicker on ${list(turned.map(({ id, turns }) => `${track(id)} (${turnWords(turns)})`))}${why}.`,
    table: {
      heads: ['track', ...(first?.factors ?? []).map((factor) => `grip × ${factor}`)],
      rows: found.grip.map((g) => [
        track(g.track),
        ...g.times.map((time) => (time === null ? 'cannot' : seconds(time))),
      ]),
    },
  };
}

/** Rounded down: of two figures for where a kart begins to tip, the higher is not the safe one. */
function turnWords({ from, to }: GripTurn): string {
  const hundredths = (factor: number): string => (Math.floor(factor * 100 + 1e-6) / 100).toFixed(2);
  return to - from <= KNOWN_TO
    ? `from ${hundredths(from)} times the grip on`
    : `somewhere from ${hundredths(from)} to ${hundredths(to)} times the grip`;
}

const EMPTY: PlotTable = { heads: [], rows: [] };

function verdictOf(holds: number, fails: number): SaidRule['verdict'] {
  if (holds + fails === 0) return 'cannot be said';
  return fails === 0 ? 'holds here' : holds === 0 ? 'does not hold here' : 'holds in part';
}

function seconds2(time: number): string {
  return `${time.toFixed(2)} s`;
}
