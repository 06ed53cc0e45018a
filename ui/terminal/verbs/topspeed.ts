/** `topspeed`: speeds in gears, shift points, grades, where a downshift over-revs the engine. */
import type { GearSummary, Request, ThrustResult } from '../../../sim/index.ts';
import { isBeltDrive, isBlocking } from '../../../sim/index.ts';
import { gearCell, gearName, inGear, overallRatio } from '../../words/gear-words.ts';
import { answerAll } from '../answer-all.ts';
import { dayOf, kartsOf, quantityOption, surfacesOf } from '../choices.ts';
import { finish, refuse } from '../finish.ts';
import type { Words } from '../options.ts';
import { below, fill } from '../output/machine.ts';
import { table } from '../output/table.ts';
import { textPlot } from '../output/text-plot.ts';
import { loadProject } from '../project-files.ts';
import type { Shown } from '../shown-units.ts';
import { shownUnits } from '../shown-units.ts';
import type { Terminal } from '../terminal.ts';

export async function topSpeedVerb({ files, options }: Words, terminal: Terminal): Promise<number> {
  const { project, problems } = loadProject(files, options.set ?? []);
  if (project === undefined || isBlocking(problems)) return refuse(problems, options, terminal);
  const karts = kartsOf(project, options.kart);
  const day = dayOf(project, options.day);
  const surfaces = surfacesOf(project, karts, options.surface);
  const grade = quantityOption(options.grade, 'grade', '--grade');
  const requests = surfaces.flatMap((surface) =>
    karts.map(
      (kart): Extract<Request, { verb: 'topspeed' }> => ({
        verb: 'topspeed',
        kart,
        day,
        surface,
        options: grade === undefined ? {} : { grade },
      }),
    ),
  );
  const runs = await answerAll(project, requests, terminal);
  const show = shownUnits(project);
  const done = runs.flatMap(({ request, answer }) =>
    answer.result === undefined
      ? []
      : [{ request: request as (typeof requests)[number], result: answer.result as ThrustResult }],
  );
  const title = (d: (typeof done)[number]) =>
    `${d.request.kart} on ${project.surfaces[d.request.surface]!.name}, ${project.days[day]!.name}`;
  const gearsTable = (r: ThrustResult) => (isBelt(r) ? beltTable(r, show) : boxTable(r, show));
  const overRev = [
    ...(done.every((d) => isBelt(d.result)) ? [] : [OVER_REV]),
    ...done.flatMap((d) => (isBelt(d.result) ? [beltOverRev(d.request.kart, d.result, show)] : [])),
  ];
  return finish(
    runs,
    problems,
    {
      text: () =>
        done
          .map(
            (d) =>
              `${title(d)}: top speed ${topSpeedWords(d.result, show)}\n\n${tableText(gearsTable(d.result))}\n${
                options.plot === true
                  ? textPlot(
                      'Resistance and grip cap over speed',
                      show.unit('speed'),
                      'N',
                      [
                        {
                          label: 'resistance',
                          x: d.result.speed.map((v) => show.number(v, 'speed')),
                          y: d.result.resistance,
                        },
                        ...d.result.gears.map((g, k) => ({
                          label: `thrust, ${gearName(g.name)}`,
                          x: d.result.speed.map((v) => show.number(v, 'speed')),
                          y: d.result.thrust[k]!,
                        })),
                      ],
                      terminal.wide,
                    )
                  : ''
              }`,
          )
          .join('\n') + overRev.map((line) => `${line}\n`).join(''),
      csv: () =>
        below(
          done.map((d) => ({
            kart: fill(d.request.kart, d.result.speed.length),
            surface: fill(d.request.surface, d.result.speed.length),
            'speed [m/s]': d.result.speed,
            'air [N]': d.result.air,
            'rolling [N]': d.result.rolling,
            'grade [N]': d.result.climbing,
            'resistance [N]': d.result.resistance,
            'grip cap [N]': d.result.gripCap,
            ...Object.fromEntries(
              d.result.gears.map((g, k) => [
                `thrust ${isBelt(d.result) ? 'belt' : 'gear'} ${g.name} [N]`,
                d.result.thrust[k]!,
              ]),
            ),
          })),
        ),
      html: () => ({
        title: 'Speeds in gears',
        tables: done.map((d) => ({ title: title(d), ...gearsTable(d.result) })),
        plots: done.map((d) => {
          const x = d.result.speed.map((v) => show.number(v, 'speed'));
          return {
            title: `Thrust and resistance: ${title(d)}`,
            xLabel: `speed [${show.unit('speed')}]`,
            yLabel: 'force [N]',
            series: [
              { label: 'resistance', x, y: d.result.resistance },
              ...d.result.gears.map((g, k) => ({ label: gearName(g.name), x, y: d.result.thrust[k]! })),
            ],
          };
        }),
        remarks: overRev,
      }),
    },
    options,
    terminal,
  );
}

const OVER_REV =
  'The limiter cannot prevent over-rev on a downshift: above the speed in the last column the road drives the engine\npast the highest speed given for it.';

function isBelt({ gears }: ThrustResult): boolean {
  return isBeltDrive(gears.map(({ name }) => name));
}

function topSpeedWords(r: ThrustResult, show: Shown): string {
  return r.topSpeed > 0
    ? `${show.value(r.topSpeed, 'speed', 0)} ${inGear(r.topGear)}`
    : 'none, nothing holds it here';
}

function tableText({ head, rows }: ReturnType<typeof boxTable>): string {
  return table(head, rows);
}

function boxTable(r: ThrustResult, show: Shown): { head: string[]; rows: string[][] } {
  return {
    head: [
      'gear',
      'overall',
      'at the limiter',
      'shift at',
      'engine before',
      'after',
      ...HELD_HEAD,
      'over-revs above',
    ],
    rows: r.gears.map((g) => [
      g.name,
      g.overall.toFixed(2),
      show.value(g.limitSpeed, 'speed', 0),
      show.value(g.upshiftSpeed, 'speed', 0),
      show.value(g.upshiftEngineSpeed, 'angularSpeed', 0),
      show.value(g.engineSpeedAfter, 'angularSpeed', 0),
      ...heldCells(g, show),
      show.value(g.safeDownshiftSpeed, 'speed', 0),
    ]),
  };
}

/** A belt goes through its range by itself: up to which road speed each part of it goes, and the engine there. */
function beltTable(r: ThrustResult, show: Shown): ReturnType<typeof boxTable> {
  return {
    head: ['belt', 'overall', 'up to', 'engine there', ...HELD_HEAD],
    rows: r.gears.map((g, k) => [
      gearCell(g.name),
      overallRatio(r.gears, k),
      show.value(g.upshiftSpeed ?? g.limitSpeed, 'speed', 0),
      g.upshiftEngineSpeed === null ? 'limiter' : show.value(g.upshiftEngineSpeed, 'angularSpeed', 0),
      ...heldCells(g, show),
    ]),
  };
}

const HELD_HEAD = ['top speed', 'because', 'steepest grade', 'because'];

function heldCells(g: GearSummary, show: Shown): string[] {
  return [
    g.topSpeed > 0 ? show.value(g.topSpeed, 'speed', 0) : '-',
    g.topSpeedBecause === 'belt' ? 'belt goes on' : g.topSpeedBecause,
    `${(g.steepestGrade * 100).toFixed(0)} %`,
    g.steepestBecause,
  ];
}

function beltOverRev(kart: string, { gears }: ThrustResult, show: Shown): string {
  return `${kart}: with the throttle shut the belt is taken to stand in its highest ratio; above ${show.value(gears.at(-1)!.safeDownshiftSpeed, 'speed', 0)}\nthe road drives the engine past the highest speed given for it.`;
}
