/** Does it match, in words (the terminal's too), tables and a plot, from the match's result. Pure. */
import type { FittedValue, MatchedSegment, MatchResult, Project } from '../../../sim/index.ts';
import { findUnit, fromSI, LOGGED_SPEEDS, quantity, SLOPE_OF_GROUND, unitsOf } from '../../../sim/index.ts';
import type { LogRole } from '../../log-files/log-columns.ts';
import { capital } from '../../words/capital.ts';
import { IRON, MOSS, POND } from '../look/palette.ts';
import type { Plot, PlotTable } from '../plots/plot.ts';
import { fieldWords, ownerName } from './field-words.ts';
import { list } from './lap-words.ts';
import { NB, speed, speedFactor } from './numbers.ts';

/** What was laid against which kart, and how far apart they lie. `project` as it was matched. */
export function matchSentence(result: MatchResult, project: Project, unit: string): string {
  return `${capital(kartAndGround(result.who, project))}: ${gapWords(result, unit)}`;
}

/** "Clodlet, four, on asphalt" */
export function kartAndGround({ kart, surface }: MatchResult['who'], project: Project): string {
  const ground = (project.surfaces[surface]?.name ?? surface).toLowerCase();
  return `${project.karts[kart]?.name ?? kart}, on ${ground}`;
}

function gapWords({ gapBefore, gapAfter, values, leftOut }: MatchResult, unit: string): string {
  if (gapBefore === null || gapAfter === null)
    return leftOut === null
      ? 'the log shows nothing that can be compared.'
      : 'beside its laps the log shows no run along a straight that can be compared.';
  const gap = (v: number): string => `${(speedFactor(unit) * v).toFixed(1)} ${unit}`;
  return values.length === 0
    ? `logged and estimated speeds lie ${gap(gapBefore)} apart; the log is not enough to say why.`
    : `logged and estimated speeds lie ${gap(gapBefore)} apart as the file has it, ${gap(gapAfter)} with ${list(values.map(({ id }) => id))} fitted.`;
}

/** Why a result is not of what is in view; nothing while it is. `project` as it was matched. */
export function oldWords(
  result: MatchResult,
  project: Project,
  now: { readonly kart: string; readonly day: string; readonly surface: string; readonly changed: boolean },
): string {
  const { who } = result;
  const other = [
    ...(who.kart === now.kart ? [] : ['the kart in view']),
    ...(who.day === now.day ? [] : ['the day in view']),
    ...(who.surface === now.surface ? [] : ['the ground named here']),
  ];
  if (other.length === 0 && !now.changed) return '';
  const why =
    other.length > 0
      ? `not for ${other.join(' or ')}`
      : 'before the project was changed, not for the kart as it is';
  const day = who.day === now.day ? '' : ` (${project.days[who.day]?.name ?? who.day})`;
  return `Found for ${kartAndGround(who, project)}${day}, ${why}: lay the log against it again.`;
}

/** What of the log is of laps and not fitted along a straight, and why; nothing where there is none. */
export function leftOutSentence({ leftOut, laps }: MatchResult): string {
  if (leftOut === null) return '';
  // Without a whole lap it is a course that was driven, and no more is said.
  const what =
    leftOut.way === null ? 'were driven on a course' : `are laps, ${leftOut.way.toFixed(0)} m round`;
  const how = laps === null ? '; ask for the laps of a track to have them compared' : '';
  return `${leftOut.time.toFixed(0)} s of the log ${what}: left out of the runs along a straight, since their ground, its slope and how near the limit they were driven are not known${how}.`;
}

/** What looks like a run and tells nothing, with where it is and why; nothing where there is none. */
export function passedOverSentence({ passedOver, segments }: MatchResult): string {
  const at = (starts: readonly number[]): string => `at ${list(starts.map((s) => s.toFixed(0)))}${NB}s`;
  const startsOf = (why: MatchResult['passedOver'][number]['why']): number[] =>
    passedOver.filter((run) => run.why === why).map(({ start }) => start);
  const braked = startsOf('a brake may have been touched');
  const soft = startsOf('short of the hardest stop');
  const held = segments.filter(({ tyresHold }) => tyresHold).map(({ start }) => start);
  return [
    ...(braked.length === 0
      ? []
      : [
          `Rolling out ${at(braked)} slows harder than the gentlest of this log: a brake may have been touched, or the ground rises.`,
        ]),
    ...(soft.length === 0
      ? []
      : [
          `${soft.length === 1 ? 'The stop' : 'Stops'} ${at(soft)} ${soft.length === 1 ? 'is' : 'are'} gentler than the hardest: short of what the tyres give.`,
        ]),
    ...(braked.length + soft.length === 0
      ? []
      : [`${braked.length + soft.length === 1 ? 'It is' : 'They are'} not counted.`]),
    ...(held.length === 0
      ? []
      : [
          `In ${held.length === 1 ? 'the pull' : 'the pulls'} ${at(held)} the tyres may set the pace and not the engine: shown, and not counted for its power.`,
        ]),
  ].join(' ');
}

export function segmentTable({ segments }: MatchResult, unit: string): PlotTable {
  const seconds = (t: number | null): string => (t === null ? 'cannot' : `${t.toFixed(2)} s`);
  return {
    heads: ['found in the log', 'at', 'speeds', 'logged', 'as the file has it', 'gap', 'fitted'],
    rows: segments.map((s) => [
      `${s.kind}${s.gear === undefined ? '' : `, gear ${s.gear}`}`,
      `${s.start.toFixed(0)} s`,
      `${speed(s.fromSpeed, unit)} to ${speed(s.toSpeed, unit)}`,
      seconds(s.logged),
      seconds(s.estimated),
      s.estimated === null
        ? ''
        : `${s.estimated >= s.logged ? '+' : '−'}${Math.abs(100 * (s.estimated / s.logged - 1)).toFixed(0)} %`,
      seconds(s.fitted),
    ]),
  };
}

/** The value a fit found, place by place. */
export function fittedTable(value: FittedValue, project: Project): PlotTable {
  return {
    heads: ['place', 'in the file', 'the log says', 'give or take'],
    rows: value.places.map((place) => {
      const words = fieldWords(place.path, project) ?? place.path;
      const owner = ownerName(place.path, project);
      const { before, after, spread } = placeWords(place, project);
      return [owner === '' ? words : `${owner}: ${words}`, before, after, spread];
    }),
  };
}

/**
 * A place of the file before and after, and how sure, in the project's unit of its quantity: two digits of the spread, the
 * value to the same decimal. A sheet is scaled as a whole.
 */
export function placeWords(
  place: FittedValue['places'][number],
  project: Project,
): { readonly before: string; readonly after: string; readonly spread: string } {
  if (place.quantity === undefined) {
    const { value, spread } = asSureAs(place.after / place.before, place.spread / place.before);
    return { before: 'as it is', after: `times ${value}`, spread };
  }
  const { dimension, shown } = quantity(place.quantity);
  const unit = findUnit(dimension, project.units[dimension] ?? shown) ?? unitsOf(dimension)[0]!;
  const withUnit = (number: string): string => (unit.label === '' ? number : `${number}${NB}${unit.label}`);
  // A difference has no offset.
  const { value, spread } = asSureAs(fromSI(place.after, unit), place.spread / unit.factor);
  const before = String(Number(fromSI(place.before, unit).toPrecision(4)));
  return { before: withUnit(before), after: withUnit(value), spread: withUnit(spread) };
}

function asSureAs(value: number, spread: number): { value: string; spread: string } {
  const two = Number(spread.toPrecision(2));
  const decimals = two > 0 ? Math.min(12, Math.max(0, 1 - Math.floor(Math.log10(two)))) : 4;
  return { value: value.toFixed(decimals), spread: two.toFixed(decimals) };
}

export function fittedSentence(value: FittedValue, project: Project): string {
  const { fromLog } = value;
  return `${value.id}: ${value.factor.toFixed(2)} times the file’s, nine in ten between ${value.low.toFixed(2)} and ${value.high.toFixed(2)}, ${mostFromWords(value, project)}. By the log alone, were everything else in the file exact: between ${fromLog.low.toFixed(3)} and ${fromLog.high.toFixed(3)}${
    fromLog.spreadByResampling === null ? '; too few runs to check that by leaving some out' : ''
  }.${value.atBound === null ? '' : ` It ran to its limit: ${value.atBound}. Do not trust it.`}${
    value.isBetter
      ? ''
      : ' With all that counted the log knows it no better than the file, or by too little to matter: nothing is gained by taking it over.'
  }`;
}

/** "most of it from the wind of the day": where the spread of a fitted value comes from. */
export function mostFromWords(
  { mostFrom: { path, share } }: Pick<FittedValue, 'mostFrom'>,
  project: Project,
): string {
  const part = share >= 0.5 ? 'most of it' : 'the largest part of it';
  if (path === null) return `${part} from the log itself`;
  if (path.startsWith('days.') && path.endsWith('.wind.speed')) return `${part} from the wind of the day`;
  if (path === SLOPE_OF_GROUND) return `${part} from how level the ground is`;
  if (path === LOGGED_SPEEDS) return `${part} from how true the logged speeds are`;
  const owner = ownerName(path, project);
  const words = fieldWords(path, project) ?? path;
  return `${part} from ${words}${owner === '' ? '' : ` (${owner})`}`;
}

/** What the intervals count, and what wind and slope were taken for. */
export function countedSentence({ wind, slope, slopeFound, levelWithin, speedWithin }: MatchResult): string {
  const blown =
    wind === null
      ? ' The file says exactly how the wind was.'
      : wind === 'by heading'
        ? ' The wind is taken as unknown in strength and direction; the log’s places tell which way each run went.'
        : ' The wind is taken as one unknown, the same along every run: nothing says which way each run went.';
  const level =
    slope === null
      ? ' The ground is taken as level beyond doubt.'
      : ` The ground is taken as level give or take ${shortPercent(levelWithin)}, ${
          slope === 'by heading'
            ? `falling whichever way${wind === 'by heading' ? '' : '; the log’s places tell which way each run went'}. ${slopeWords(slopeFound, levelWithin)}`
            : 'the same along every run: nothing says which way each run went, so that no run cancels another. A log with places would tell.'
        }`;
  return `The intervals count how sure the file is of every input that is not fitted: masses, air, wind and the rest.${blown}${level}${trueWords(speedWithin)}`;
}

function trueWords(speedWithin: number): string {
  return speedWithin > 0
    ? ` The logged speeds are taken as true give or take ${shortPercent(speedWithin)}, at every speed alike.`
    : ' The logged speeds are taken as true beyond doubt.';
}

/** Share of what was known of a slope beforehand, above which the runs have told next to nothing of it. */
const UNTOLD = 0.7;

function slopeWords(found: MatchResult['slopeFound'], levelWithin: number): string {
  if (found === null)
    return 'The slope itself could not be found with the rest: what it does to a run one way is cancelled by a run the other way over the same speeds, and what is left of it is in the intervals.';
  if (found.spread > UNTOLD * levelWithin)
    return 'The runs tell next to nothing of the slope: log some the other way.';
  const way = found.rise < 0 ? 'falls' : 'rises';
  return `Runs both ways tell a slope from the kart: the ground, taken as one plane, ${way} ${(100 * Math.abs(found.rise)).toFixed(2)} % the way the first run went (by the log alone, in such wind as the file has, give or take ${shortPercent(found.spread)}), and the values are those on such ground.`;
}

function shortPercent(share: number): string {
  return `${Number((100 * share).toPrecision(2))} %`;
}

/** How much of the grip the driver uses for the laps to come out as logged; nothing without laps. */
export function driverSentence({ laps }: MatchResult, project: Project): string {
  const driver = laps?.driver;
  if (driver === undefined || driver === null) return '';
  const share = (x: number): string => (100 * x).toFixed(1);
  return `To drive such laps the driver uses ${share(driver.after)} ± ${share(driver.spread)} % of the grip (in the file ${share(driver.before)} %), ${mostFromWords(driver, project)}; by the laps alone ± ${share(driver.fromLaps)}. The share makes up for whatever else is not as in the file.${driver.atBound === null ? '' : ` It ran to its limit: ${driver.atBound}. Do not trust it.`}`;
}

export function lapsSentence({ laps }: MatchResult, project: Project): string {
  if (laps === null) return '';
  const seconds = (t: number | null): string => (t === null ? 'cannot be said' : `${t.toFixed(2)} s`);
  const logged = laps.logged.length === 0 ? 'none' : `${laps.logged.map((t) => t.toFixed(2)).join(', ')} s`;
  const held =
    laps.heldOut === null
      ? ''
      : ` The last lap was kept out of the fit: expected ${seconds(laps.heldOut.expected)} ± ${smallSpread(laps.heldOut.spread)}, logged ${seconds(laps.heldOut.logged)}.`;
  const name = project.tracks[laps.track]?.name ?? laps.track;
  return [
    ...laps.remarks,
    `Laps of ${name}: logged ${logged}; estimated ${seconds(laps.estimated)} as the file has it, ${seconds(laps.fitted)} with the fitted values.${held}`,
  ].join(' ');
}

/** Hundredths of a second; more digits where those would print as nothing. */
function smallSpread(spread: number): string {
  return spread >= 0.01 ? spread.toFixed(2) : String(Number(spread.toPrecision(1)));
}

/** Why the estimate does not begin where the log does. */
export const LAID_IN_TIME =
  'Each estimate is moved in time to where it lies nearest to the log, so that it may begin above or below: what counts is how steeply it climbs or falls at each speed.';

export function segmentPlot(segment: MatchedSegment, unit: string): Plot {
  const factor = speedFactor(unit);
  const t0 = segment.time[0] ?? 0;
  const x = segment.time.map((t) => t - t0);
  const line = (name: string, y: Float64Array, colour: string, dash?: readonly number[]) =>
    y.length !== x.length
      ? []
      : [{ name, x, y: y.map((v) => factor * v), colour, ...(dash === undefined ? {} : { dash }) }];
  return {
    title: `${segment.kind} at ${segment.start.toFixed(0)} s: logged and estimated`,
    x: { title: 'time, s', min: 0 },
    left: { title: `speed, ${unit}`, min: 0 },
    series: [
      ...line('logged', segment.speed, IRON),
      ...line('as the file has it', segment.before, POND, [6, 4]),
      ...line('fitted', segment.after, MOSS, [2, 3]),
    ],
    levels: [],
    marks: [],
    strip: [],
  };
}

/** Each role of a log's columns, as its field is called. */
export const ROLE_WORDS: Readonly<Record<LogRole, string>> = {
  time: 'Time',
  speed: 'Speed',
  'engine speed': 'Engine speed',
  throttle: 'Throttle',
  latitude: 'Latitude',
  longitude: 'Longitude',
  x: 'Place, east',
  y: 'Place, north',
  distance: 'Distance',
  lap: 'Number of the lap',
};

/** How to drive for a log that tells something, for who has none yet. */
export const HOW_TO_DRIVE: readonly string[] = [
  'Roll out with the clutch in, from high speed down to walking pace: that tells drag and rolling resistance.',
  'Pull at full throttle in the higher gears, where the tyres hold: power. Stop hard in a straight line: grip.',
  'Each several times and both ways, on level ground in calm air; on a closed course only, with leave and somebody watching.',
];
