/** `balance`: where to set the brakes for loose and for hard ground, clutch in and with the engine. */
import type { BalanceOn, BalanceResult, BothGrounds, Project } from '../../../sim/index.ts';
import { isBeltDrive, isBlocking, planBalance } from '../../../sim/index.ts';
import { answerStudy } from '../answer-study.ts';
import { dayOf, gearOption, kartsOf, quantityOption, surfacesOf, tracksOf } from '../choices.ts';
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
  const planned = planBalance(project, {
    kart: karts[0]!,
    day: dayOf(project, options.day),
    ...grounds,
    fromSpeed: quantityOption(options.from, 'speed', '--from') ?? DEFAULT_SPEED,
    tracks: tracks === undefined ? [] : tracksOf(project, tracks),
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
        answer: [setNow(r, project, show), marks(r, project, show)],
        tables: [
          { title: heading(r, project, show), ...waysTable(r, show), notes: [windowRemark(r)] },
          {
            title: 'One setting for both grounds: metres lost to the best of each',
            ...bothTable(r, project, show),
            notes: [corridorRemark(r) ?? []].flat(),
          },
          {
            title: 'Pedal held a tenth beyond what the ground carries: what locks, and the distance',
            ...heldTable(r, show),
          },
          {
            title: 'In a bend at 70 % of the side grip: deceleration left, and against the straight',
            ...cornerTable(r, show),
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
const wayOf = (gear: number | null, { gearNames }: BalanceResult) =>
  gear === null ? 'clutch in' : isBeltDrive(gearNames) ? 'in gear' : `gear ${gearNames[gear - 1]}`;

function heading(r: BalanceResult, project: Project, show: Shown): string {
  return `Stops from ${show.value(r.fromSpeed, 'speed', 0)}, just under the first lock; ${project.days[r.day]!.name}`;
}

function textOf(r: BalanceResult, project: Project, show: Shown): string {
  const ways = waysTable(r, show);
  const both = bothTable(r, project, show);
  const bend = cornerTable(r, show);
  const laps = lapTable(r, project);
  const held = heldTable(r, show);
  const corridor = corridorRemark(r);
  return [
    `${project.karts[r.kart]!.name}. ${heading(r, project, show)}`,
    setNow(r, project, show),
    `${marks(r, project, show)}\n`,
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
    `In a bend at 70 % of the side grip: deceleration left, and against the straight\n`,
    table(bend.head, bend.rows),
    ...(laps.rows.length === 0 ? [] : ['Laps\n', table(laps.head, laps.rows)]),
    `${CAUTIONS.join('\n')}\n`,
  ].join('\n');
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
function setNow(r: BalanceResult, project: Project, show: Shown): string {
  const stops = r.on.flatMap(({ gear, now, spread, surface }) =>
    gear !== null || now?.distance == null
      ? []
      : [
          `${show.value(now.distance, 'length', 1)}${spread === null ? '' : ` ±${show.value(spread, 'length', 1)}`} on ${project.surfaces[surface]!.name}`,
        ],
  );
  return `Set now: ${percent(r.setShare)} in front${r.setBar === null ? '' : `, bar at ${percent(r.setBar)}`}${stops.length === 0 ? '' : `; clutch in it stops in ${stops.join(', ')}`}.`;
}

/** The two marks for the knob, and the one setting between them. */
function marks(r: BalanceResult, project: Project, show: Shown): string {
  const mark = (share: number, bar: number | null) =>
    bar === null ? `${percent(share)} in front` : `bar at ${percent(bar)} (${percent(share)} in front)`;
  const each = r.on.flatMap((o) =>
    o.gear !== null || o.band === null
      ? []
      : [
          `${project.surfaces[o.surface]!.name}: ${mark(o.band.best, o.bar)}, stops in ${show.value(o.band.distance, 'length', 1)}`,
        ],
  );
  const both =
    r.clutchIn === null || each.length < 2
      ? ''
      : ` One for both: ${mark(r.clutchIn.frontShare, r.clutchIn.bar)}, ${r.clutchIn.losses.map((l) => `${show.value(l.loss, 'length', 1)} longer on ${project.surfaces[l.surface]!.name}`).join(', ')}.`;
  return `Marks, clutch in: ${each.join('; ')}.${both}`;
}

function waysTable(r: BalanceResult, show: Shown) {
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
      o.surface,
      `${wayOf(o.gear, r)}${o.gear === r.driverGear ? ' *' : ''}`,
      o.band === null ? '-' : percent(o.band.best),
      o.bar === null ? '-' : percent(o.bar),
      o.band === null ? '-' : `${percent(o.band.from)} to ${percent(o.band.to)}`,
      show.value(o.band?.distance, 'length', 1),
      show.value(o.ideal, 'length', 1),
      o.textbook === null ? '-' : percent(o.textbook),
      o.frontFirstFrom >= 1 ? 'never' : percent(o.frontFirstFrom),
      `${show.value(o.now?.distance, 'length', 1)}${o.spread === null ? '' : ` ±${o.spread.toFixed(1)}`}`,
      o.now?.first ?? '-',
    ]),
  };
}

function bothTable(r: BalanceResult, project: Project, show: Shown) {
  const rows = (name: string, both: BothGrounds | null) =>
    both === null
      ? [[name, '-', '-', 'none']]
      : [
          [
            name,
            percent(both.frontShare),
            both.bar === null ? '-' : percent(both.bar),
            both.losses
              .map(
                (l) =>
                  `${project.surfaces[l.surface]!.name}, ${wayOf(l.gear, r)}: +${show.value(l.loss, 'length', 1)}`,
              )
              .join('; '),
          ],
        ];
  return {
    head: ['setting', 'front share', 'bar', 'costs'],
    rows: [
      ...rows('least loss, clutch in', r.clutchIn),
      ...rows(`least loss, clutch in or ${wayOf(r.driverGear, r)}`, r.either),
      ...rows('front first on both, either way', r.stable),
    ],
  };
}

/** A few shares of the held stops, in steps of a tenth. */
function heldTable(r: BalanceResult, show: Shown) {
  const on = r.on.filter((o) => o.held.length > 0);
  const shares = [0, 0.2, 0.4, 0.5, 0.6, 0.7, 0.8, 1];
  return {
    head: ['front share', ...on.map((o) => `${o.surface}, ${wayOf(o.gear, r)}`)],
    rows:
      on.length === 0
        ? []
        : shares.map((share) => [percent(share), ...on.map((o) => heldAt(o, share, show))]),
  };
}

function heldAt(o: BalanceOn, share: number, show: Shown): string {
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
  return `${show.value(stop.distance, 'length', 1)} ${locked}`;
}

function cornerTable(r: BalanceResult, show: Shown) {
  return {
    head: [
      'ground',
      'engine',
      'side',
      'best share there',
      'deceleration',
      'on the straight',
      'left',
      'as set now',
    ],
    rows: r.corner.map((c) => {
      let best = 0;
      for (let i = 1; i < c.deceleration.length; i++)
        if (c.deceleration[i]! > c.deceleration[best]!) best = i;
      let now = 0;
      for (let i = 1; i < c.frontShare.length; i++)
        if (Math.abs(c.frontShare[i]! - r.setShare) < Math.abs(c.frontShare[now]! - r.setShare)) now = i;
      return [
        c.surface,
        wayOf(c.gear, r),
        show.value(c.lateral, 'acceleration', 2),
        percent(c.frontShare[best]!),
        show.value(c.deceleration[best]!, 'acceleration', 2),
        show.value(c.straight[best]!, 'acceleration', 2),
        c.straight[best]! > 0 ? percent(c.deceleration[best]! / c.straight[best]!) : '-',
        show.value(c.deceleration[now]!, 'acceleration', 2),
      ];
    }),
  };
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
        label: `${o.surface}, ${wayOf(o.gear, r)}`,
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
