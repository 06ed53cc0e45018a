/** Every setting of the brakes, in words and tables, from the study's result. Pure. */
import type { BalanceResult, Project } from '../../../sim/index.ts';
import { isBeltDrive } from '../../../sim/index.ts';
import { DASHES, IRON, POND } from '../look/palette.ts';
import type { Plot, PlotTable } from '../plots/plot.ts';
import { list } from './lap-words.ts';
import { percent, stopMetres } from './numbers.ts';

type On = BalanceResult['on'][number];

export function balanceSentence(found: BalanceResult, project: Project): string {
  const both = found.clutchIn;
  const ground = (id: string): string => (project.surfaces[id]?.name ?? id).toLowerCase();
  if (both === null) return 'No setting stops the kart on both grounds.';
  const costs = both.losses
    .map(({ surface, loss }) => `${loss.toFixed(1)} m on ${ground(surface)}`)
    .join(' and ');
  return `Clutch in, ${percent(both.frontShare)} in front${barWords(both.bar)} serves ${ground(found.loose)} and ${ground(found.hard)} at once: it gives away ${costs}.`;
}

/** The stop with the setting on the kart, clutch in, and how sure it is: a row of the table said in words. */
export function setNowSentence(found: BalanceResult, project: Project): string {
  const stops = found.on.flatMap(({ gear, now, spread, surface }) =>
    gear !== null || now?.distance == null
      ? []
      : [
          `${stopMetres(now.distance)}${spread === null ? '' : `, give or take ${stopMetres(spread)},`} on ${(project.surfaces[surface]?.name ?? surface).toLowerCase()}`,
        ],
  );
  return stops.length === 0
    ? ''
    : `As set now (${percent(found.setShare)} in front) it stops in ${list(stops)}.`;
}

export function stableSentence(found: BalanceResult): string {
  const { stable } = found;
  if (stable === null)
    return 'At no setting does the front reach its grip first everywhere, the engine left in gear included.';
  return `From ${percent(stable.frontShare)}${barWords(stable.bar)} on the front reaches its grip first on both, engine braking included: the kart then slides straight on rather than swapping ends.`;
}

export function knobSentence(found: BalanceResult, project: Project): string {
  const marks = found.on.filter((on) => on.gear === null && on.bar !== null);
  if (marks.length < 2) return '';
  const ground = (id: string): string => (project.surfaces[id]?.name ?? id).toLowerCase();
  return `Two marks for the knob: ${marks.map((on) => `${percent(on.bar!)} at the bar for ${ground(on.surface)}`).join(', ')}.`;
}

export function balanceTable(found: BalanceResult, project: Project): PlotTable {
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
      engineWords(on, found),
      on.band === null ? '' : percent(on.band.best),
      on.bar === null ? '' : percent(on.bar),
      on.band === null ? 'cannot' : stopMetres(on.band.distance),
      on.band === null ? '' : percent(on.band.from),
      on.band === null ? '' : percent(on.band.to),
      on.frontFirstFrom >= 1 ? 'never' : percent(on.frontFirstFrom),
      on.now?.distance == null
        ? ''
        : `${stopMetres(on.now.distance)}${on.spread === null ? '' : ` ±${on.spread.toFixed(1)} m`}`,
      on.now?.first ?? '',
    ]),
  };
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
        name: `${project.surfaces[on.surface]?.name ?? on.surface}, ${engineWords(on, found)}`,
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

function engineWords(on: On, { gearNames }: BalanceResult): string {
  if (on.gear === null) return 'clutch in';
  return isBeltDrive(gearNames) ? 'in gear' : `in gear ${gearNames[on.gear - 1]}`;
}

function barWords(bar: number | null): string {
  return bar === null ? '' : ` (${percent(bar)} at the bar)`;
}
