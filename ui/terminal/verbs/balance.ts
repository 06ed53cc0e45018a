/** `balance`: where to set the brakes for loose and for hard ground, clutch in and with the engine. */
import type { BalanceOn, BalanceResult, BothGrounds, Project } from '../../../sim/index.ts';
import { isBlocking, planBalance } from '../../../sim/index.ts';
import type { BalanceSay } from '../../words/brake-balance-words.ts';
import {
  BEND_CAPTION,
  bendNotes,
  bendTable,
  distanceWords,
  lossWords,
  marksDoubtSentence,
  marksSentence,
  pointsWords,
  rearFirstWords,
  settingSentences,
  settingWords,
  wayWords,
} from '../../words/brake-balance-words.ts';
import { answerStudy } from '../answer-study.ts';
import {
  dayOf,
  gearOption,
  kartsOf,
  lineChosen,
  quantityOption,
  surfacesOf,
  tracksOf,
  warnOfLines,
} from '../choices.ts';
import { refuse } from '../finish.ts';
import type { Options, Words } from '../options.ts';
import type { CsvColumn } from '../output/machine.ts';
import { table } from '../output/table.ts';
import { textPlot } from '../output/text-plot.ts';
import { loadProject } from '../project-files.ts';
import type { Shown } from '../shown-units.ts';
import { shownUnits } from '../shown-units.ts';
import type { Terminal } from '../terminal.ts';
import { CommandLineError } from '../terminal.ts';

const DEFAULT_SPEED = 60 / 3.6;
const CAUTIONS = [
  'Engine braking is not a brake: set the balance so that it also holds with the clutch in.',
  'In gear the brakes slow the flywheel too: on ground with much grip that can take back what the drag of the engine gives.',
  'A rear axle that locks first takes the stability with it; a front axle that locks first takes the steering.',
  'Bed new pads before setting a balance: 8 to 10 progressively harder stops, then let them cool. Try it on a closed course, slowly first.',
];

export async function balanceVerb({ files, options }: Words, terminal: Terminal): Promise<number> {
  const { project, problems, notes } = loadProject(files, options.set ?? []);
  if (project === undefined || isBlocking(problems)) return refuse(problems, options, terminal);
  const karts = kartsOf(project, options.kart);
  if (karts.length !== 1) throw new CommandLineError('balance takes one kart');
  const grounds = groundsOf(project, karts[0]!, options);
  const gear = gearOption(options.gear);
  const within = quantityOption(options.within, 'share', '--within');
  const tracks = options.tracks ?? options.track;
  const who = { kart: karts[0]!, day: dayOf(project, options.day), ...lineChosen(options) };
  const chosen = tracks === undefined ? [] : tracksOf(project, tracks);
  warnOfLines(project, who, chosen, terminal);
  const planned = planBalance(project, {
    ...who,
    ...grounds,
    fromSpeed: quantityOption(options.from, 'speed', '--from') ?? DEFAULT_SPEED,
    tracks: chosen,
    notes,
    ...(gear === undefined ? {} : { gear }),
    ...(within === undefined ? {} : { within }),
  });
  const show = shownUnits(project);
  return answerStudy(
    project,
    planned,
    {
      text: (r) =>
        `${textOf(r, project, show)}${options.plot === true ? textPlot('Stopping distance over the front share', '%', 'm', curves(r), terminal.wide) : ''}`,
      csv: csvOf,
      html: (r) => ({
        title: `Brake balance: ${project.karts[r.kart]!.name}`,
        answer: answerOf(r, sayOf(project, show)),
        tables: [
          {
            title: heading(r, project, show),
            ...waysTable(r, sayOf(project, show)),
            notes: [windowRemark(r)],
          },
          {
            title: 'One setting for both grounds: metres lost to the best of each',
            ...bothTable(r, sayOf(project, show)),
            notes: [corridorRemark(r) ?? []].flat(),
          },
          {
            title: 'Pedal held a tenth beyond what the ground carries: what locks, and the distance',
            ...heldTable(r, sayOf(project, show)),
          },
          {
            title: BEND_CAPTION,
            ...cornerTable(r, sayOf(project, show)),
            notes: bendNotes(r, sayOf(project, show)),
          },
          { title: 'Laps', ...lapTable(r, project) },
        ],
        plots: [
          {
            title: 'Stopping distance over the front share',
            xLabel: 'front share [%]',
            yLabel: 'distance [m]',
            series: curves(r),
          },
        ],
        remarks: CAUTIONS,
      }),
    },
    options,
    terminal,
  );
}

/** The ground named, or the loosest and the hardest the tyres know. */
function groundsOf(project: Project, kart: string, options: Options): { loose: string; hard: string } {
  const known = surfacesOf(project, [kart], 'all');
  const oneOfThem = (word: string | undefined, option: string, kinds: readonly string[]) => {
    if (word !== undefined) {
      const list = surfacesOf(project, [kart], word);
      if (list.length !== 1) throw new CommandLineError(`${option} takes one surface`);
      return list[0]!;
    }
    const found = kinds.flatMap((kind) => known.filter((id) => project.surfaces[id]!.kind === kind));
    return found[0] ?? known[0]!;
  };
  return {
    loose: oneOfThem(options.loose, '--loose', ['loose', 'grass', 'packed', 'hard']),
    hard: oneOfThem(options.hard, '--hard', ['hard', 'packed', 'grass', 'loose']),
  };
}

const percent = (share: number) => `${(100 * share).toFixed(0)} %`;

const sayOf = (project: Project, show: Shown): BalanceSay => ({
  speed: (v) => show.value(v, 'speed', 0),
  percent,
  length: (metres, decimals) => show.value(metres, 'length', decimals),
  lengthNumber: (metres) => show.number(metres, 'length'),
  acceleration: (value) => show.value(value, 'acceleration', 2),
  ground: (id) => (project.surfaces[id]?.name ?? id).toLowerCase(),
});

function heading(r: BalanceResult, project: Project, show: Shown): string {
  return `Stops from ${show.value(r.fromSpeed, 'speed', 0)}, just under the first lock; ${project.days[r.day]!.name}`;
}

function textOf(r: BalanceResult, project: Project, show: Shown): string {
  const say = sayOf(project, show);
  const ways = waysTable(r, say);
  const both = bothTable(r, say);
  const bend = cornerTable(r, say);
  const laps = lapTable(r, project);
  const held = heldTable(r, say);
  const corridor = corridorRemark(r);
  return [
    `${project.karts[r.kart]!.name}. ${heading(r, project, show)}`,
    `${answerOf(r, say).join('\n')}\n`,
    table(ways.head, ways.rows),
    `${windowRemark(r)}\n`,
    'One setting for both grounds: metres lost to the best of each\n',
    table(both.head, both.rows),
    corridor === undefined ? '' : `${corridor}\n`,
    ...(held.rows.length === 0
      ? []
      : [
          'Pedal held a tenth beyond what the ground carries: what locks, and the distance\n',
          table(held.head, held.rows),
        ]),
    `${BEND_CAPTION}\n`,
    table(bend.head, bend.rows),
    ...bendNotes(r, say).map((line) => `${line}\n`),
    ...(laps.rows.length === 0 ? [] : ['Laps\n', table(laps.head, laps.rows)]),
    `${CAUTIONS.join('\n')}\n`,
  ].join('\n');
}

/** As set now, one setting for more than one way, the marks with what they do in gear, and how sure they are. */
function answerOf(r: BalanceResult, say: BalanceSay): string[] {
  return [setNow(r, say), marksSentence(r, say), marksDoubtSentence(r), ...settingSentences(r, say)].filter(
    (line) => line !== '',
  );
}

function windowRemark(r: BalanceResult): string {
  return `Window: front shares that lose no more than ${percent(r.within)} to the best. From "front first" on the front is the first to lock.`;
}

function corridorRemark({ curve }: BalanceResult): string | undefined {
  return curve === null
    ? undefined
    : `Road vehicles must keep between ${percent(curve.corridor.least)} and ${percent(curve.corridor.most)} (UN R13 adhesion corridor, clutch in): a yardstick, no rule for karts.`;
}

/** The setting on the kart, and how sure its stops are. */
function setNow(r: BalanceResult, say: BalanceSay): string {
  const stops = r.on.flatMap(({ gear, now, spread, surface }) =>
    gear !== null || now?.distance == null
      ? []
      : [`${distanceWords(now.distance, spread, r, say)} on ${say.ground(surface)}`],
  );
  const range = r.setSpread === null ? '' : `, the share ${pointsWords(r.setSpread)}`;
  return `Set now: ${settingWords(r.setShare, r.setBar, say)}${range}${stops.length === 0 ? '' : `; clutch in it stops in ${stops.join(', ')}`}.${rearFirstWords(r.setShare, r, say)}`;
}

/** Points of a per cent. */
const points = (spread: number) => Math.max(1, Math.round(100 * spread)).toFixed(0);
const withSpread = (share: number, spread: number | null) =>
  spread === null ? percent(share) : `${percent(share)} ±${points(spread)}`;

function waysTable(r: BalanceResult, say: BalanceSay) {
  return {
    head: [
      'ground',
      'engine',
      'best share',
      'bar',
      'window',
      'distance',
      'ideal',
      'textbook share',
      'front first from',
      'now',
      'now first',
    ],
    rows: r.on.map((o) => [
      say.ground(o.surface),
      `${wayWords(o.gear, r)}${o.gear === r.driverGear ? ' *' : ''}`,
      o.band === null ? '-' : withSpread(o.band.best, o.bestSpread),
      o.bar === null ? '-' : withSpread(o.bar, o.barSpread),
      o.band === null ? '-' : `${percent(o.band.from)} to ${percent(o.band.to)}`,
      distanceWords(o.band?.distance, null, r, say),
      distanceWords(o.ideal, null, r, say),
      o.textbook === null ? '-' : percent(o.textbook),
      o.frontFirstFrom >= 1 ? 'never' : percent(o.frontFirstFrom),
      distanceWords(o.now?.distance, o.spread, r, say),
      o.now?.first ?? '-',
    ]),
  };
}

function bothTable(r: BalanceResult, say: BalanceSay) {
  const rows = (name: string, both: BothGrounds | null) =>
    both === null
      ? [[name, '-', '-', 'none']]
      : [
          [
            name,
            percent(both.frontShare),
            both.bar === null ? '-' : percent(both.bar),
            both.losses
              .map((l) => `${say.ground(l.surface)}, ${wayWords(l.gear, r)}: ${lossWords(l.loss, r, say)}`)
              .join('; '),
          ],
        ];
  return {
    head: ['setting', 'front share', 'bar', 'costs'],
    rows: [
      ...rows('least loss, clutch in', r.clutchIn),
      ...rows(`least loss, clutch in or ${wayWords(r.driverGear, r)}`, r.either),
      ...rows('front first on both, either way', r.stable),
    ],
  };
}

/** A few shares of the held stops, in steps of a tenth. */
function heldTable(r: BalanceResult, say: BalanceSay) {
  const on = r.on.filter((o) => o.held.length > 0);
  const shares = [0, 0.2, 0.4, 0.5, 0.6, 0.7, 0.8, 1];
  return {
    head: ['front share', ...on.map((o) => `${say.ground(o.surface)}, ${wayWords(o.gear, r)}`)],
    rows:
      on.length === 0
        ? []
        : shares.map((share) => [percent(share), ...on.map((o) => heldAt(o, share, r, say))]),
  };
}

function heldAt(o: BalanceOn, share: number, r: BalanceResult, say: BalanceSay): string {
  const stop = o.held.find((s) => Math.abs(s.frontShare - share) < 1e-9);
  if (stop === undefined) return '-';
  const locked =
    stop.frontLockedFor > 0 && stop.rearLockedFor > 0
      ? 'both lock'
      : stop.frontLockedFor > 0
        ? 'front locks'
        : stop.rearLockedFor > 0
          ? 'rear locks'
          : 'none locks';
  return `${distanceWords(stop.distance, null, r, say)} ${locked}`;
}

function cornerTable(r: BalanceResult, say: BalanceSay) {
  const { heads, rows } = bendTable(r, say);
  return { head: heads, rows };
}

function lapTable(r: BalanceResult, project: Project) {
  return {
    head: ['track', 'best share', 'lap s', 'as set now', 'at 50 %', 'at 80 %'],
    rows: r.laps.map((lap) => {
      let best = -1;
      for (const [i, time] of lap.time.entries())
        if (time != null && (best < 0 || time < lap.time[best]!)) best = i;
      const at = (share: number) => {
        const time = lap.time[lap.frontShare.findIndex((s) => Math.abs(s - share) < 1e-9)];
        return time == null ? '-' : time.toFixed(2);
      };
      return [
        project.tracks[lap.track]!.name,
        best < 0 ? '-' : percent(lap.frontShare[best]!),
        best < 0 ? '-' : lap.time[best]!.toFixed(2),
        lap.now === null ? '-' : lap.now.toFixed(2),
        at(0.5),
        at(0.8),
      ];
    }),
  };
}

/** Front share in percent against distance; with the clutch in and in the driver's gear. */
function curves(r: BalanceResult) {
  return r.on
    .filter((o) => o.gear === null || o.gear === r.driverGear)
    .map((o) => {
      const stops = o.threshold.filter((s) => s.distance !== null);
      return {
        label: `${o.surface}, ${wayWords(o.gear, r)}`,
        x: stops.map((s) => 100 * s.frontShare),
        y: stops.map((s) => s.distance!),
      };
    });
}

function csvOf(r: BalanceResult): CsvColumn[] {
  const rows = r.on.flatMap((o) => [
    ...o.threshold.map((stop) => ({ o, stop, brakes: 'threshold' })),
    ...o.held.map((stop) => ({ o, stop, brakes: 'held' })),
  ]);
  const column = (head: string, of: (row: (typeof rows)[number]) => number | string | null): CsvColumn => ({
    head,
    values: rows.map((row) => of(row) ?? ''),
  });
  return [
    column('surface', ({ o }) => o.surface),
    column('gear', ({ o }) => o.gear ?? 'clutch in'),
    column('brakes', ({ brakes }) => brakes),
    column('front share [-]', ({ stop }) => stop.frontShare),
    column('distance [m]', ({ stop }) => stop.distance),
    column('front grip used [-]', ({ stop }) => stop.useFront),
    column('rear grip used [-]', ({ stop }) => stop.useRear),
    column('front locked [s]', ({ stop }) => stop.frontLockedFor),
    column('rear locked [s]', ({ stop }) => stop.rearLockedFor),
    column('ideal distance [m]', ({ o }) => o.ideal),
  ];
}
