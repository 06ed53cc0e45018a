/**
 * What every setting of the brakes comes to, in the same words in terminal and page: marks and their doubt, settings for
 * more than one way of stopping, braking in a bend.
 *
 * In: the study's result, and how the place that shows it writes shares, lengths and names. Out: sentences and tables. Pure.
 */
import type { BalanceResult, BothGrounds } from '../../sim/index.ts';
import { isBeltDrive } from '../../sim/index.ts';

type On = BalanceResult['on'][number];

export interface BalanceSay {
  readonly percent: (share: number) => string;
  /** A length in the unit shown, of so many decimals, with the unit */
  readonly length: (metres: number, decimals: number) => string;
  /** The same as a bare number */
  readonly lengthNumber: (metres: number) => number;
  readonly acceleration: (value: number) => string;
  readonly speed: (value: number) => string;
  /** A surface as it is called within a sentence */
  readonly ground: (id: string) => string;
}

/** A give or take as large as this, in the unit shown, leaves no decimal worth showing: 30 ± 5, but 8.2 ± 1.3. */
const WHOLE_FROM = 2;

/** Decimals of every distance of the study, so that they compare: no more than their give or take bears. */
export function distanceDecimals(r: BalanceResult, say: BalanceSay): number {
  const spreads = r.on.flatMap(({ spread }) => (spread === null ? [] : [say.lengthNumber(spread)]));
  return spreads.length > 0 && Math.min(...spreads) >= WHOLE_FROM ? 0 : 1;
}

/** A distance, with its give or take where there is one. */
export function distanceWords(
  metres: number | null | undefined,
  spread: number | null,
  r: BalanceResult,
  say: BalanceSay,
): string {
  if (metres == null) return '-';
  const decimals = distanceDecimals(r, say);
  const range = spread === null ? '' : ` ± ${say.length(spread, decimals)}`;
  return `${say.length(metres, decimals)}${range}`;
}

/** What is lost; what rounds to nothing is said to be under half of the last figure. */
export function lossWords(metres: number, r: BalanceResult, say: BalanceSay): string {
  const decimals = distanceDecimals(r, say);
  const half = 0.5 / 10 ** decimals;
  const shown = say.lengthNumber(metres);
  return shown > 0 && shown < half
    ? `under ${say.length(half / say.lengthNumber(1), decimals + 1)}`
    : say.length(Math.max(0, metres), decimals);
}

/** "clutch in", "in gear 2"; of a belt "in gear". */
export function wayWords(gear: number | null, { gearNames }: BalanceResult): string {
  if (gear === null) return 'clutch in';
  return isBeltDrive(gearNames) ? 'in gear' : `in gear ${gearNames[gear - 1]}`;
}

/** "58 % in front (47 % at the bar)". */
export function settingWords(frontShare: number, bar: number | null, { percent }: BalanceSay): string {
  return `${percent(frontShare)} in front${bar === null ? '' : ` (${percent(bar)} at the bar)`}`;
}

/** Points of a per cent, never none: "give or take 4 points". */
export function pointsWords(spread: number): string {
  const points = Math.max(1, Math.round(100 * spread));
  return `give or take ${points} ${points === 1 ? 'point' : 'points'}`;
}

/** The marks for the knob, what they are for, and in the same breath what they do in gear. */
export function marksSentence(r: BalanceResult, say: BalanceSay): string {
  const marks = r.on.filter((on) => on.gear === null && on.band !== null);
  if (marks.length === 0) return '';
  const isBar = marks.every(({ bar }) => bar !== null);
  const mark = (on: On): string => {
    const spread = isBar ? on.barSpread : on.bestSpread;
    const place = isBar ? `${say.percent(on.bar!)} at the bar` : `${say.percent(on.band!.best)} in front`;
    const range = spread === null ? '' : `, ${pointsWords(spread)},`;
    const share = isBar ? ` (${say.percent(on.band!.best)} in front)` : '';
    return `${place}${share}${range} for ${say.ground(on.surface)}`;
  };
  const count = marks.length === 1 ? 'One mark' : 'Two marks';
  const knob = isBar ? 'the knob' : 'the brakes';
  return `${count} for ${knob}, good for stops with the clutch in only: ${marks.map(mark).join('; ')}. ${inGearWords(marks, r, say)}`;
}

/** The same in one line for a sheet of paper: that there is a catch in gear, without its gears and costs. */
export function marksInBrief(r: BalanceResult, { percent, ground }: BalanceSay): string {
  const marks = r.on.filter((on) => on.gear === null && on.band !== null);
  if (marks.length === 0) return '';
  const isBar = marks.every(({ bar }) => bar !== null);
  const mark = (on: On): string => {
    const spread = isBar ? on.barSpread : on.bestSpread;
    const range = spread === null ? '' : ` ± ${Math.max(1, Math.round(100 * spread))}`;
    return `${percent(isBar ? on.bar! : on.band!.best)}${range} for ${ground(on.surface)}`;
  };
  const isCaught = marks.some(({ rearFirstIn }) => rearFirstIn.length > 0);
  const beware = isCaught
    ? ' Beware: left in gear the rear locks first so set, and the kart may swap ends.'
    : '';
  return `Marks for the ${isBar ? 'knob, at the bar' : 'brakes, in front'}, clutch in only: ${marks.map(mark).join(', ')}.${beware}`;
}

function inGearWords(marks: readonly On[], r: BalanceResult, say: BalanceSay): string {
  const gears = (on: On) =>
    r.on.filter(({ surface, gear }) => surface === on.surface && gear !== null).map(({ gear }) => gear!);
  if (marks.every((on) => gears(on).length === 0)) return '';
  if (r.done < r.total) return 'What they do in gear waits for the rest of the stops.';
  const rear = marks.filter(({ rearFirstIn }) => rearFirstIn.length > 0);
  if (rear.length === 0) return 'Left in gear the front comes first at them too.';
  const belt = isBeltDrive(r.gearNames);
  const both = marks.length > 1;
  const inGears = (on: On): string => {
    if (belt) return '';
    const all = gears(on).length === on.rearFirstIn.length && on.rearFirstIn.length > 1;
    return all
      ? 'in every gear tried'
      : `in gear ${on.rearFirstIn.map((gear) => nameOf(gear, r)).join(', ')}`;
  };
  const isAlike = rear.length === marks.length && new Set(rear.map(inGears)).size === 1;
  const places = isAlike
    ? [inGears(rear[0]!), both ? 'on both grounds' : ''].filter((part) => part !== '').join(' ')
    : rear.map((on) => `${inGears(on)} on ${say.ground(on.surface)}`.trim()).join(' and ');
  const grounds = both ? ' on both grounds' : '';
  const every = belt ? 'in gear' : 'in every gear';
  const costs = ({ losses }: BothGrounds): string =>
    losses
      .filter(({ gear }) => gear === null)
      .map(({ surface, loss }) => `${lossWords(loss, r, say)} on ${say.ground(surface)}`)
      .join(' and ');
  const most = r.frontFirstButLowest;
  const found = r.frontFirstInAll;
  const fromMost =
    most === null
      ? ''
      : `from ${settingWords(most.frontShare, most.bar, say)} on the front comes first in every gear but ${nameOf(most.lowest, r)}${grounds}, which with the clutch in gives away ${costs(most)}; `;
  const fromAll =
    found === null
      ? `no setting has the front first ${every}${grounds}: dip the clutch${most === null ? '' : ' there'}`
      : `from ${settingWords(found.frontShare, found.bar, say)} on ${most === null ? `the front comes first ${every}${grounds}, which with the clutch in gives away` : `in gear ${nameOf(most.lowest, r)} too, which gives away`} ${costs(found)}`;
  const from = `${fromMost}${fromAll}`;
  return `Beware: left in gear the rear locks first at ${marks.length === 1 ? 'it' : 'them'}${places === '' ? '' : `, ${places}`}, and the kart may swap ends; ${from}.`;
}

function nameOf(gear: number, { gearNames }: BalanceResult): string {
  return gearNames[gear - 1] ?? String(gear);
}

/** How unsure share and mark are, what is not counted, and how a mark is found. */
export function marksDoubtSentence(r: BalanceResult): string {
  const marks = r.on.filter(({ gear }) => gear === null);
  const most = (of: (on: On) => number | null) =>
    marks.reduce<number | null>((top, on) => {
      const spread = of(on);
      return spread === null ? top : Math.max(top ?? 0, spread);
    }, null);
  const [share, best] = [most((on) => on.shareSpread), most((on) => on.bestSpread)];
  const parts = [
    ...(share === null
      ? []
      : [`pads, discs and pistons in doubt leave the share at a bar setting open, ${pointsWords(share)}`]),
    ...(best === null
      ? []
      : [
          `weights, centre of gravity, wheelbase and grip in doubt leave the best share with the clutch in open, ${pointsWords(best)} (in gear it is not counted)`,
        ]),
  ];
  const doubt = parts.length === 0 ? '' : `${capitalOf(parts.join('; '))}. `;
  return `${doubt}Take a mark as a place to begin: it is found by braking tests from walking pace up, not by the figure.`;
}

function capitalOf(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** Where the rear comes first at a share, of all the ways of stopping that were tried: '' where nowhere. */
export function rearFirstWords(frontShare: number, r: BalanceResult, say: BalanceSay): string {
  if (r.done < r.total) return '';
  const tried = r.on.filter(({ band }) => band !== null);
  const rear = tried.filter(({ frontFirstFrom }) => frontFirstFrom > frontShare);
  if (rear.length === 0) return '';
  const grounds = (list: readonly On[]) =>
    [...new Set(list.map(({ surface }) => surface))].map((id) => say.ground(id)).join(' and ');
  const [clutch, geared] = [
    rear.filter(({ gear }) => gear === null),
    rear.filter(({ gear }) => gear !== null),
  ];
  const isEvery = geared.length === tried.filter(({ gear }) => gear !== null).length;
  const inGear =
    isBeltDrive(r.gearNames) || isEvery
      ? [`${isBeltDrive(r.gearNames) ? 'in gear' : 'in every gear tried'} on ${grounds(geared)}`]
      : gearsByGround(geared, r, say);
  const parts = [
    ...(clutch.length === 0 ? [] : [`with the clutch in on ${grounds(clutch)}`]),
    ...(geared.length === 0 ? [] : inGear),
  ];
  return ` Beware: so set, the rear locks first ${parts.join(', and ')}, and the kart may swap ends.`;
}

/** "in gear 1 on loose clay and asphalt": grounds with the same gears together. */
function gearsByGround(geared: readonly On[], r: BalanceResult, say: BalanceSay): string[] {
  const grounds = new Map<string, string[]>();
  for (const id of new Set(geared.map(({ surface }) => surface))) {
    const here = geared.filter(({ surface }) => surface === id).map(({ gear }) => nameOf(gear!, r));
    const gears = here.join(', ');
    grounds.set(gears, [...(grounds.get(gears) ?? []), say.ground(id)]);
  }
  return [...grounds].map(
    ([gears, ids]) =>
      `in ${gears.includes(',') ? 'gears' : 'gear'} ${gears.replace(/, ([^,]*)$/, ' and $1')} on ${ids.join(' and ')}`,
  );
}

/**
 * The settings that serve more than one way of stopping, a sentence each: those that are the same said once, and none that a
 * mark has said already, as with the clutch in on one ground alone.
 */
export function settingSentences(r: BalanceResult, say: BalanceSay): string[] {
  const { clutchIn, either } = r;
  const isMark = new Set(clutchIn?.losses.map(({ surface }) => surface)).size < 2;
  const isSame =
    clutchIn !== null &&
    either !== null &&
    say.percent(clutchIn.frontShare) === say.percent(either.frontShare);
  return [isMark || isSame ? '' : bothSentence(clutchIn, r, say), bothSentence(either, r, say)].filter(
    (line) => line !== '',
  );
}

/** One setting for several ways of stopping, and what it costs on each. */
export function bothSentence(both: BothGrounds | null, r: BalanceResult, say: BalanceSay): string {
  if (both === null) return '';
  const gears = [...new Set(both.losses.map(({ gear }) => gear))];
  const ways = gears.map((gear) => wayWords(gear, r)).join(' or ');
  const grounds = [...new Set(both.losses.map(({ surface }) => say.ground(surface)))].join(' and ');
  const costs = both.losses
    .map(({ surface, gear, loss }) => {
      const way = gears.length === 1 ? '' : `, ${wayWords(gear, r)}`;
      return `${lossWords(loss, r, say)} on ${say.ground(surface)}${way}`;
    })
    .join(gears.length === 1 ? ' and ' : '; ');
  return `One setting, ${ways}, on ${grounds}: ${settingWords(both.frontShare, both.bar, say)}; it gives away ${costs}.${rearFirstWords(both.frontShare, r, say)}`;
}

export const BEND_CAPTION =
  'In a bend at 70 % of the side grip: deceleration left, against the straight, each at its own best share';

/** Below the table of braking in a bend: what is more to be said. */
export function bendNotes(r: BalanceResult, say: BalanceSay): string[] {
  return [straightNote(r, say), bendSentence(r, say)].filter((note) => note !== '');
}

/** Why the best share on the straight is another here than over a whole stop. */
function straightNote(r: BalanceResult, say: BalanceSay): string {
  return r.corner.length === 0
    ? ''
    : `The best share here, in the bend and on the straight, slows most at ${say.speed(r.fromSpeed)}; that of the settings above stops shortest from there to standstill, on the way to which the engine’s part changes.`;
}

export function bendTable(r: BalanceResult, say: BalanceSay): { heads: string[]; rows: string[][] } {
  return {
    heads: [
      'ground',
      'engine',
      'side',
      'best share there',
      'deceleration',
      'on the straight',
      'left',
      'as set now',
      'instead',
    ],
    rows: r.corner.map((c) => [
      capitalOf(say.ground(c.surface)),
      wayWords(c.gear, r),
      say.acceleration(c.lateral),
      c.best.frontShare === null ? 'any share' : say.percent(c.best.frontShare),
      say.acceleration(c.best.deceleration),
      `${say.acceleration(c.straightBest.deceleration)} at ${c.straightBest.frontShare === null ? 'any share' : say.percent(c.straightBest.frontShare)}`,
      c.left === null ? '-' : say.percent(c.left),
      say.acceleration(c.asSet),
      c.clutchInBetter === null ? '-' : `dip the clutch: ${say.acceleration(c.clutchInBetter)}`,
    ]),
  };
}

/** Where the engine leaves the brakes nothing to share out in a bend: what to do instead. */
function bendSentence(r: BalanceResult, say: BalanceSay): string {
  const idle = r.corner.filter(({ filledByEngine }) => filledByEngine !== null);
  if (idle.length === 0) return '';
  const [{ gear, filledByEngine }] = idle as [(typeof idle)[number]];
  const grounds = idle.map(({ surface }) => say.ground(surface)).join(' and ');
  const better = idle.filter(({ clutchInBetter }) => clutchInBetter !== null);
  const dip =
    better.length === 0
      ? ''
      : ` Dip the clutch: ${better.map((c) => `${say.acceleration(c.clutchInBetter!)} instead of ${say.acceleration(c.best.deceleration)} on ${say.ground(c.surface)}`).join(', ')}.`;
  return `Any share: ${wayWords(gear, r)} on ${grounds} the engine alone takes all the grip the ${filledByEngine} tyres have left in that bend, and the brakes add next to nothing; where it takes more, the figure is that of a throttle eased until the tyres just hold. Brake and throttle at once are not counted.${dip}`;
}
