/** `lap`: laps side by side, per track. */
import type {
  EngineBraking,
  LapResult,
  LapStart,
  LineChoice,
  LineKind,
  Project,
  Request,
} from '../../../sim/index.ts';
import { isBlocking, keptLineOf, LINE_KINDS, lineAge, perform } from '../../../sim/index.ts';
import { gearCell } from '../../words/gear-words.ts';
import { answerAll } from '../answer-all.ts';
import { dayOf, kartsOf, oneOf, quantityOption, tracksOf } from '../choices.ts';
import { finish, refuse } from '../finish.ts';
import type { Words } from '../options.ts';
import { below, fill } from '../output/machine.ts';
import { table } from '../output/table.ts';
import { textPlot } from '../output/text-plot.ts';
import { loadProject } from '../project-files.ts';
import { shownUnits } from '../shown-units.ts';
import type { Terminal } from '../terminal.ts';
import { CommandLineError } from '../terminal.ts';

const STARTS: readonly LapStart[] = ['flying', 'standing', 'rolling'];
/** m. Finer, and a lap of 1 km would take more stations than the simulator holds (200,000). */
const LEAST_SPACING = 0.005;
const ENGINES: readonly EngineBraking[] = ['as it pays', 'always', 'never'];

export async function lapVerb({ files, options }: Words, terminal: Terminal): Promise<number> {
  const { project, problems } = loadProject(files, options.set ?? []);
  if (project === undefined || isBlocking(problems)) return refuse(problems, options, terminal);
  const karts = kartsOf(project, options.kart);
  const tracks = tracksOf(project, options.track);
  const day = dayOf(project, options.day);
  const start = oneOf(options.start, STARTS, '--start');
  const engineBraking = oneOf(options.engine, ENGINES, '--engine');
  const line = oneOf(options.line, LINE_KINDS, '--line') ?? 'as drawn';
  const spacing = quantityOption(options.spacing, 'straightLength', '--spacing');
  if (spacing !== undefined && spacing < LEAST_SPACING)
    throw new CommandLineError(`--spacing '${options.spacing}' is too small: ${LEAST_SPACING} m or more`);
  const requests = tracks.flatMap((track) =>
    karts.map(
      (kart): Extract<Request, { verb: 'lap' }> => ({
        verb: 'lap',
        kart,
        day,
        track,
        ...(spacing === undefined ? {} : { spacing }),
        options: {
          ...(start === undefined ? {} : { start }),
          ...(engineBraking === undefined ? {} : { engineBraking }),
          ...(line === 'as drawn' ? {} : { line: lineFor(project, kart, day, track, line) }),
        },
      }),
    ),
  );
  const runs = await answerAll(project, requests, terminal);
  const show = shownUnits(project);
  const done = runs.flatMap(({ request, answer }) =>
    answer.result === undefined
      ? []
      : [{ request: request as (typeof requests)[number], result: answer.result as LapResult }],
  );
  const label = (d: (typeof done)[number]) =>
    tracks.length > 1 ? `${d.request.kart} at ${d.request.track}` : d.request.kart;
  const rowsOf = (list: typeof done) => {
    const line = (name: string, pick: (r: LapResult) => string) => [name, ...list.map((d) => pick(d.result))];
    const limits = list[0]?.result.limits ?? [];
    return [
      line('time', (r) => `${r.time.toFixed(2)} s`),
      line('start', (r) => r.start),
      line('average speed', (r) => show.value(r.averageSpeed, 'speed', 1)),
      line(
        'top speed',
        (r) => `${show.value(r.topSpeed, 'speed', 1)} at ${show.value(r.topSpeedAt, 'length', 0)}`,
      ),
      line(
        'slowest',
        (r) => `${show.value(r.lowestSpeed, 'speed', 1)} at ${show.value(r.lowestSpeedAt, 'length', 0)}`,
      ),
      line('shifts', (r) => (r.shifts === null ? 'belt' : String(r.shifts))),
      line("engine's share of slowing", (r) => `${(100 * r.engineShareOfSlowing).toFixed(0)} %`),
      line(
        'least tip margin',
        (r) => `${(100 * r.tipMargin).toFixed(0)} % at ${show.value(r.tipMarginAt, 'length', 0)}`,
      ),
      line(list.every((d) => d.result.shifts === null) ? 'time in ratios' : 'time in gears', (r) =>
        r.gearNames
          .flatMap((g, k) =>
            r.timeInGear[k]! > 0.005 ? [`${gearCell(g)}: ${r.timeInGear[k]!.toFixed(1)}`] : [],
          )
          .join('  '),
      ),
      ...limits.flatMap((limit, k) =>
        list.some((d) => d.result.timeAtLimit[k]! > 0.005)
          ? [line(`held by ${limit}`, (r) => `${r.timeAtLimit[k]!.toFixed(1)} s`)]
          : [],
      ),
    ];
  };
  const lengthOf = (track: string) => done.find((d) => d.request.track === track)?.result.length;
  const perTrack = tracks
    .map((track) => ({ track, list: done.filter((d) => d.request.track === track) }))
    .filter((t) => t.list.length > 0);
  const heading = (track: string) =>
    `${project.tracks[track]!.name}, ${show.value(lengthOf(track), 'length', 0)}, ${project.days[day]!.name}${line === 'as drawn' ? '' : `, on the ${line} line`}`;
  const speedSeries = (list: typeof done) =>
    list.map((d) => ({
      label: label(d),
      x: d.result.columns.distance,
      y: d.result.columns.speed.map((v) => show.number(v, 'speed')),
    }));
  return finish(
    runs,
    problems,
    {
      text: () =>
        perTrack
          .map(
            ({ track, list }) =>
              `${heading(track)}\n\n${table(['', ...list.map((d) => d.request.kart)], rowsOf(list))}${options.plot === true ? textPlot('Speed over distance', 'm', show.unit('speed'), speedSeries(list), terminal.wide) : ''}`,
          )
          .join('\n') +
        "\nOne driven line at the driver's share of grip; no warm-up, traffic, ruts or jumps. The tip margin ignores ruts and kerbs.\n",
      csv: () =>
        below(
          done.map((d) => {
            const c = d.result.columns;
            const n = c.time.length;
            return {
              kart: fill(d.request.kart, n),
              track: fill(d.request.track, n),
              'distance [m]': c.distance,
              'time [s]': c.time,
              'speed [m/s]': c.speed,
              'gear [-]': Array.from(c.gear, (g) => d.result.gearNames[g] ?? ''),
              'engine speed [rad/s]': c.engineSpeed,
              'throttle [-]': c.throttle,
              'brake [N]': c.brake,
              'longitudinal [m/s2]': c.longitudinal,
              'lateral [m/s2]': c.lateral,
              'front left [N]': c.frontLeft,
              'front right [N]': c.frontRight,
              'rear left [N]': c.rearLeft,
              'rear right [N]': c.rearRight,
              'front grip used [-]': c.useFront,
              'rear grip used [-]': c.useRear,
              limit: Array.from(c.limit, (l) => d.result.limits[l] ?? ''),
              'x [m]': c.x,
              'y [m]': c.y,
              surface: Array.from(c.surface, (s) => d.result.surfaces[s] ?? ''),
            };
          }),
        ),
      html: () => ({
        title: 'Laps',
        tables: perTrack.map(({ track, list }) => ({
          title: heading(track),
          head: ['', ...list.map((d) => d.request.kart)],
          rows: rowsOf(list),
        })),
        plots: perTrack.flatMap(({ track, list }) => [
          {
            title: `${project.tracks[track]!.name}: the line`,
            xLabel: 'x [m]',
            yLabel: 'y [m]',
            map: true as const,
            series: [
              {
                label: `line ${line === 'as drawn' ? line : `(${line})`}`,
                x: list[0]!.result.columns.x,
                y: list[0]!.result.columns.y,
              },
            ],
          },
          {
            title: `${project.tracks[track]!.name}: speed over distance`,
            xLabel: 'distance [m]',
            yLabel: `speed [${show.unit('speed')}]`,
            series: speedSeries(list),
          },
          {
            title: `${project.tracks[track]!.name}: engine speed over distance`,
            xLabel: 'distance [m]',
            yLabel: `engine speed [${show.unit('angularSpeed')}]`,
            series: list.map((d) => ({
              label: label(d),
              x: d.result.columns.distance,
              y: d.result.columns.engineSpeed.map((v) => show.number(v, 'angularSpeed')),
            })),
          },
        ]),
        remarks: [
          "One driven line at the driver's share of grip; no warm-up, traffic, ruts or jumps. The tip margin ignores ruts and kerbs.",
        ],
      }),
    },
    options,
    terminal,
  );
}

/** The line kept with the track for this kart where it still holds; else found now. */
function lineFor(project: Project, kart: string, day: string, track: string, kind: LineKind): LineChoice {
  const kept = keptLineOf(project.tracks[track]!, kind, { kart, day });
  if (kept !== undefined && lineAge(project, { kart, day, track }, kept)?.state !== 'stale') return kept;
  const { result } = perform(project, {
    verb: 'line',
    kart,
    day,
    track,
    options: { smoothestOnly: kind === 'smoothest' },
  });
  return result?.keep.find((line) => line.kind === kind) ?? kind;
}
