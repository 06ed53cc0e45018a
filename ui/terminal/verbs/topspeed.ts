/** `topspeed`: speeds in gears, shift points, grades, where a downshift over-revs the engine. */
import type { Request, ThrustResult } from '../../../sim/index.ts';
import { isBlocking } from '../../../sim/index.ts';
import { answerAll } from '../answer-all.ts';
import { dayOf, kartsOf, quantityOption, surfacesOf } from '../choices.ts';
import { finish, refuse } from '../finish.ts';
import type { Words } from '../options.ts';
import { below, fill } from '../output/machine.ts';
import { table } from '../output/table.ts';
import { textPlot } from '../output/text-plot.ts';
import { loadProject } from '../project-files.ts';
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
  const head = [
    'gear',
    'overall',
    'at the limiter',
    'shift at',
    'engine before',
    'after',
    'top speed',
    'because',
    'steepest grade',
    'because',
    'over-revs above',
  ];
  const rows = (r: ThrustResult) =>
    r.gears.map((g) => [
      g.name,
      g.overall.toFixed(2),
      show.value(g.limitSpeed, 'speed', 0),
      show.value(g.upshiftSpeed, 'speed', 0),
      show.value(g.upshiftEngineSpeed, 'angularSpeed', 0),
      show.value(g.engineSpeedAfter, 'angularSpeed', 0),
      g.topSpeed > 0 ? show.value(g.topSpeed, 'speed', 0) : '-',
      g.topSpeedBecause,
      `${(g.steepestGrade * 100).toFixed(0)} %`,
      g.steepestBecause,
      show.value(g.safeDownshiftSpeed, 'speed', 0),
    ]);
  return finish(
    runs,
    problems,
    {
      text: () =>
        done
          .map(
            (d) =>
              `${title(d)}: top speed ${show.value(d.result.topSpeed, 'speed', 0)} in gear ${d.result.topGear}\n\n${table(head, rows(d.result))}\n${
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
                          label: `thrust in gear ${g.name}`,
                          x: d.result.speed.map((v) => show.number(v, 'speed')),
                          y: d.result.thrust[k]!,
                        })),
                      ],
                      terminal.wide,
                    )
                  : ''
              }`,
          )
          .join('\n') +
        'The limiter cannot prevent over-rev on a downshift: in the last column the road drives the engine past\nthe highest speed given for it.\n',
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
              d.result.gears.map((g, k) => [`thrust gear ${g.name} [N]`, d.result.thrust[k]!]),
            ),
          })),
        ),
      html: () => ({
        title: 'Speeds in gears',
        tables: done.map((d) => ({ title: title(d), head, rows: rows(d.result) })),
        plots: done.map((d) => {
          const x = d.result.speed.map((v) => show.number(v, 'speed'));
          return {
            title: `Thrust and resistance: ${title(d)}`,
            xLabel: `speed [${show.unit('speed')}]`,
            yLabel: 'force [N]',
            series: [
              { label: 'resistance', x, y: d.result.resistance },
              ...d.result.gears.map((g, k) => ({ label: `gear ${g.name}`, x, y: d.result.thrust[k]! })),
            ],
          };
        }),
        remarks: ['The limiter cannot prevent over-rev on a downshift.'],
      }),
    },
    options,
    terminal,
  );
}
