/** `brake`: stops side by side, clutch in against the engine's help. */
import type { BrakeMode, BrakeResult, EngineMode, Project, Request } from '../../../sim/index.ts';
import { isBlocking } from '../../../sim/index.ts';
import { gearCell } from '../../words/gear-words.ts';
import { answerAll } from '../answer-all.ts';
import { dayOf, gearOption, kartsOf, oneOf, quantityOption, surfacesOf } from '../choices.ts';
import { finish, refuse } from '../finish.ts';
import type { Words } from '../options.ts';
import { below, fill } from '../output/machine.ts';
import { table } from '../output/table.ts';
import { textPlot } from '../output/text-plot.ts';
import { loadProject } from '../project-files.ts';
import { shownUnits } from '../shown-units.ts';
import type { Terminal } from '../terminal.ts';
import { CommandLineError } from '../terminal.ts';

const BRAKES: readonly BrakeMode[] = ['threshold', 'held', 'locked', 'ideal', 'none'];
const ENGINES: readonly EngineMode[] = ['clutch in', 'in gear', 'shifting down'];
const DEFAULT_SPEED = 60 / 3.6;

export async function brakeVerb({ files, options }: Words, terminal: Terminal): Promise<number> {
  const { project, problems } = loadProject(files, options.set ?? []);
  if (project === undefined || isBlocking(problems)) return refuse(problems, options, terminal);
  const karts = kartsOf(project, options.kart);
  const day = dayOf(project, options.day);
  const surfaces = surfacesOf(project, karts, options.surface);
  const brakes = oneOf(options.brakes, BRAKES, '--brakes');
  const engine = oneOf(options.engine, ENGINES, '--engine');
  const pedalForce = quantityOption(options.pedal, 'force', '--pedal');
  if (brakes === 'held' && pedalForce === undefined)
    throw new CommandLineError('--brakes held needs --pedal, such as --pedal "200 N"');
  const gear = gearOption(options.gear);
  const grade = quantityOption(options.grade, 'grade', '--grade');
  const toSpeed = quantityOption(options.to, 'speed', '--to');
  const fromSpeed = quantityOption(options.from, 'speed', '--from') ?? DEFAULT_SPEED;
  if (fromSpeed <= (toSpeed ?? 0))
    throw new CommandLineError(
      toSpeed === undefined
        ? '--from must be above standing still: a stop needs a speed to begin at'
        : '--from must be above --to',
    );
  const requests = surfaces.flatMap((surface) =>
    karts.flatMap((kart) =>
      enginesOf(project, kart, engine).map(
        (mode): Extract<Request, { verb: 'brake' }> => ({
          verb: 'brake',
          kart,
          day,
          surface,
          options: {
            fromSpeed,
            engine: mode,
            ...(brakes === undefined ? {} : { brakes }),
            ...(pedalForce === undefined ? {} : { pedalForce }),
            ...(gear === undefined ? {} : { gear }),
            ...(grade === undefined ? {} : { grade }),
            ...(toSpeed === undefined ? {} : { toSpeed }),
          },
        }),
      ),
    ),
  );
  const runs = await answerAll(project, requests, terminal);
  const show = shownUnits(project);
  const done = runs.flatMap(({ request, answer }) =>
    answer.result === undefined
      ? []
      : [{ request: request as (typeof requests)[number], result: answer.result as BrakeResult }],
  );
  const head = [
    'kart',
    'surface',
    'engine',
    'distance',
    'time',
    'mean decel.',
    'first at its limit',
    'engine does',
    'gear at first',
    'front share set',
    'front share at first',
    'pedal at first',
  ];
  const rows = () =>
    done.map(({ request, result: r }) => [
      request.kart,
      request.surface,
      r.engine,
      show.value(r.distance, 'length', 1),
      `${r.time.toFixed(2)} s`,
      show.value(r.meanDeceleration, 'acceleration', 2),
      r.firstToLock,
      `${(100 * r.engineShare).toFixed(0)} %`,
      r.columns.gear[0] ? gearCell(r.gearNames[r.columns.gear[0] - 1]!) : '-',
      `${(100 * r.frontShare).toFixed(0)} %`,
      `${(100 * r.frontShareWithEngine).toFixed(0)} %`,
      show.value(r.pedalForce, 'force', 0),
    ]);
  const title = `Braking from ${show.value(fromSpeed, 'speed', 0)}, ${brakes ?? 'threshold'}, ${project.days[day]!.name}`;
  const label = (d: (typeof done)[number]) => `${d.request.kart}, ${d.request.surface}, ${d.result.engine}`;
  return finish(
    runs,
    problems,
    {
      text: () =>
        `${title}\n\n${table(head, rows())}\n"engine does": the engine's share of the work of brakes and engine together.\n"at first": at the start of full braking, the engine's part in the front share included. Engine braking is not a brake.\n${
          options.plot === true
            ? textPlot(
                'Speed over distance',
                'm',
                show.unit('speed'),
                done.map((d) => ({
                  label: label(d),
                  x: d.result.columns.distance,
                  y: d.result.columns.speed.map((v) => show.number(v, 'speed')),
                })),
                terminal.wide,
              )
            : ''
        }`,
      csv: () =>
        below(
          done.map((d) => {
            const c = d.result.columns;
            const n = c.time.length;
            return {
              kart: fill(d.request.kart, n),
              surface: fill(d.request.surface, n),
              engine: fill(d.result.engine, n),
              'time [s]': c.time,
              'distance [m]': c.distance,
              'speed [m/s]': c.speed,
              'deceleration [m/s2]': c.deceleration,
              'front force [N]': c.frontForce,
              'rear force [N]': c.rearForce,
              'engine force [N]': c.engineForce,
              'front grip used [-]': c.useFront,
              'rear grip used [-]': c.useRear,
              'gear [-]': Array.from(c.gear, (g) => (g === 0 ? '0' : d.result.gearNames[g - 1]!)),
              'engine speed [rad/s]': c.engineSpeed,
            };
          }),
        ),
      html: () => ({
        title,
        tables: [{ title: 'Stops', head, rows: rows() }],
        plots: [
          {
            title: 'Speed over distance',
            xLabel: 'distance [m]',
            yLabel: `speed [${show.unit('speed')}]`,
            series: done.map((d) => ({
              label: label(d),
              x: d.result.columns.distance,
              y: d.result.columns.speed.map((v) => show.number(v, 'speed')),
            })),
          },
        ],
        remarks: ['Engine braking is not a brake. New pads need bedding before they give these figures.'],
      }),
    },
    options,
    terminal,
  );
}

/** The one asked for, or all there are side by side: nobody shifts a belt down. */
function enginesOf(project: Project, kart: string, asked: EngineMode | undefined): readonly EngineMode[] {
  if (asked !== undefined) return [asked];
  const isBelt = project.donors[project.karts[kart]!.donor]!.belt !== undefined;
  return isBelt ? ENGINES.filter((mode) => mode !== 'shifting down') : ENGINES;
}
