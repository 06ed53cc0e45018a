/** Every setting of the brakes, in words and tables, from the study's result. Pure. */
import type { BalanceResult, Project } from '../../../sim/index.ts';
import type { BalanceSay } from '../../words/brake-balance-words.ts';
import {
  bendNotes,
  bendTable,
  distanceWords,
  marksInBrief,
  marksSentence,
  pointsWords,
  rearFirstWords,
  settingSentences,
  settingWords,
  wayWords,
} from '../../words/brake-balance-words.ts';
import { DASHES, IRON, POND } from '../look/palette.ts';
import type { Plot, PlotTable } from '../plots/plot.ts';
import { list } from './lap-words.ts';
import { gees, lengthOf, percent, speed } from './numbers.ts';

function sayOf(project: Project, unit = 'km/h'): BalanceSay {
  return {
    percent,
    length: lengthOf,
    lengthNumber: (metres) => metres,
    acceleration: gees,
    speed: (v) => speed(v, unit),
    ground: (id) => (project.surfaces[id]?.name ?? id).toLowerCase(),
  };
}

/** Settings that serve more than one way of stopping, a line each. */
export function settingsSaid(found: BalanceResult, project: Project): string[] {
  return [...balanceSentences(found, project), stableSentence(found, project)].filter((line) => line !== '');
}

/** One setting for both grounds: with the clutch in, and with the clutch in or in the gear one would be in. */
export function balanceSentences(found: BalanceResult, project: Project): string[] {
  const { clutchIn } = found;
  const say = sayOf(project);
  if (clutchIn === null) return ['No setting stops the kart on both grounds.'];
  return settingSentences(found, say);
}

/** The stop with the setting on the kart, clutch in, and how sure it is: a row of the table said in words. */
export function setNowSentence(found: BalanceResult, project: Project): string {
  const say = sayOf(project);
  const stops = found.on.flatMap(({ gear, now, spread, surface }) =>
    gear !== null || now?.distance == null
      ? []
      : [
          `${distanceWords(now.distance, null, found, say)}${spread === null ? '' : `, give or take ${distanceWords(spread, null, found, say)},`} on ${say.ground(surface)}`,
        ],
  );
  const range = found.setSpread === null ? '' : `, ${pointsWords(found.setSpread)}`;
  const beware = rearFirstWords(found.setShare, found, say);
  return stops.length === 0
    ? ''
    : `As set now (${percent(found.setShare)} in front${range}) it stops in ${list(stops)}.${beware}`;
}

export function stableSentence(found: BalanceResult, project: Project): string {
  const { stable } = found;
  if (stable === null)
    return 'At no setting does the front reach its grip first everywhere, the engine left in gear included.';
  const way = wayWords(found.driverGear, found);
  return `From ${settingWords(stable.frontShare, stable.bar, sayOf(project))} on the front reaches its grip first on both, clutch in or ${way}: the kart then slides straight on rather than swapping ends.`;
}

/** The marks for the knob: what they are for, what they do in gear. How unsure they are: marksDoubtSentence. */
export function knobSentence(found: BalanceResult, project: Project): string {
  return marksSentence(found, sayOf(project));
}

/** For the sheet for the paddock: the marks, once every setting has been tried on the grounds in view. */
export function marksOnPaper(
  found: BalanceResult | undefined,
  grounds: readonly string[],
  project: Project,
): string | undefined {
  const isOfThese = found !== undefined && grounds.every((id) => id === found.loose || id === found.hard);
  if (!isOfThese) return undefined;
  return marksInBrief(found, sayOf(project)) || 'No setting stops the kart here: there is no mark.';
}

export function balanceTable(found: BalanceResult, project: Project): PlotTable {
  const say = sayOf(project);
  const withSpread = (share: number | null | undefined, spread: number | null): string =>
    share == null
      ? ''
      : `${percent(share)}${spread === null ? '' : ` ±\u00a0${Math.max(1, Math.round(100 * spread))}`}`;
  return {
    heads: [
      'ground',
      'engine',
      'best share',
      'bar there',
      'stop there',
      `within ${percent(found.within)} from`,
      'to',
      'front first from',
      'as set now',
      'first at its grip',
    ],
    rows: found.on.map((on) => [
      project.surfaces[on.surface]?.name ?? on.surface,
      wayWords(on.gear, found),
      withSpread(on.band?.best, on.bestSpread),
      withSpread(on.bar, on.barSpread),
      on.band === null ? 'cannot' : distanceWords(on.band.distance, null, found, say),
      on.band === null ? '' : percent(on.band.from),
      on.band === null ? '' : percent(on.band.to),
      on.frontFirstFrom >= 1 ? 'never' : percent(on.frontFirstFrom),
      on.now?.distance == null ? '' : distanceWords(on.now.distance, on.spread, found, say),
      on.now?.first ?? '',
    ]),
  };
}

/** Braking in a bend, and what to do where the engine leaves the brakes nothing there. */
export function balanceInBend(
  found: BalanceResult,
  project: Project,
  unit: string,
): { readonly table: PlotTable; readonly notes: readonly string[] } {
  const say = sayOf(project, unit);
  return { table: bendTable(found, say), notes: bendNotes(found, say) };
}

/** Stopping distance over the front share: both grounds, clutch in and in the driver's gear. */
export function balanceStudyPlot(found: BalanceResult, project: Project): Plot {
  const shown = found.on.filter((on) => on.gear === null || on.gear === found.driverGear);
  return {
    title: 'Stopping distance over the front share',
    x: { title: 'front share of braking, %', min: 0, max: 100 },
    left: { title: 'stop, m', min: 0 },
    series: shown.map((on, i) => {
      const known = on.threshold.filter((s) => s.distance !== null);
      return {
        name: `${project.surfaces[on.surface]?.name ?? on.surface}, ${wayWords(on.gear, found)}`,
        x: known.map((s) => 100 * s.frontShare),
        y: known.map((s) => s.distance!),
        colour: on.surface === found.loose ? IRON : POND,
        dash: DASHES[i % DASHES.length]!,
      };
    }),
    levels: [],
    marks: [{ at: 100 * found.setShare, word: `set: ${percent(found.setShare)}` }],
    strip: [],
  };
}

export function balanceLapTable(found: BalanceResult, project: Project): PlotTable | undefined {
  const [first] = found.laps;
  if (first === undefined) return undefined;
  return {
    heads: ['front share', ...found.laps.map(({ track }) => project.tracks[track]?.name ?? track)],
    rows: first.frontShare.map((share, i) => [
      percent(share),
      ...found.laps.map(({ time, now }) => {
        const t = time[i];
        if (t === undefined) return '…';
        if (t === null) return 'cannot';
        return now === null
          ? `${t.toFixed(2)} s`
          : `${t - now >= 0 ? '+' : '−'}${Math.abs(t - now).toFixed(2)} s`;
      }),
    ]),
  };
}
