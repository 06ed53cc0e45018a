/** `accelerate`: starts side by side. */
import type { AccelerationResult, Request } from '../../../sim/index.ts';
import { findUnit, isBlocking, parseQuantity, quantity } from '../../../sim/index.ts';
import { answerAll } from '../answer-all.ts';
import { dayOf, gearOption, kartsOf, quantityOption, surfacesOf } from '../choices.ts';
import { finish, refuse } from '../finish.ts';
import type { Words } from '../options.ts';
import { below, fill } from '../output/machine.ts';
import { table } from '../output/table.ts';
import { textPlot } from '../output/text-plot.ts';
import { loadProject } from '../project-files.ts';
import { shownUnits } from '../shown-units.ts';
import type { Terminal } from '../terminal.ts';
import { CommandLineError } from '../terminal.ts';

export async function accelerateVerb({ files, options }: Words, terminal: Terminal): Promise<number> {
  const { project, problems } = loadProject(files, options.set ?? []);
  if (project === undefined || isBlocking(problems)) return refuse(problems, options, terminal);
  const karts = kartsOf(project, options.kart);
  const day = dayOf(project, options.day);
  const surfaces = surfacesOf(project, karts, options.surface);
  const fromSpeed = quantityOption(options.from, 'speed', '--from');
  const gear = gearOption(options.gear);
  const grade = quantityOption(options.grade, 'grade', '--grade');
  const runOptions = {
    ...(fromSpeed === undefined ? {} : { fromSpeed }),
    ...(gear === undefined ? {} : { gear }),
    ...(grade === undefined ? {} : { grade }),
    ...(options.rollout === true ? { oneFootRollout: true } : {}),
    ...endOf(options.to),
  };
  const requests = surfaces.flatMap((surface) =>
    karts.map(
      (kart): Extract<Request, { verb: 'accelerate' }> => ({
        verb: 'accelerate',
        kart,
        day,
        surface,
        options: runOptions,
      }),
    ),
  );
  const runs = await answerAll(project, requests, terminal);
  const show = shownUnits(project);
  const done = runs.flatMap(({ request, answer }) =>
    answer.result === undefined
      ? []
      : [{ request: request as (typeof requests)[number], result: answer.result as AccelerationResult }],
  );
  const label = (r: (typeof requests)[number]) =>
    surfaces.length > 1 ? `${r.kart} on ${r.surface}` : r.kart;
  const head = () => ['', ...done.map((d) => label(d.request))];
  const rows = () => {
    const marks = done[0]?.result.marks.map((m) => m.label) ?? [];
    const line = (name: string, pick: (r: AccelerationResult) => string) => [
      name,
      ...done.map((d) => pick(d.result)),
    ];
    return [
      ...marks
        .filter((mark) => done.some((d) => d.result.marks.some((m) => m.label === mark && m.time !== null)))
        .map((mark) =>
          line(mark, (r) => {
            const m = r.marks.find((x) => x.label === mark);
            if (m === undefined || m.time === null) return '-';
            return m.kind === 'distance'
              ? `${m.time.toFixed(2)} s at ${show.value(m.speed, 'speed', 1)}`
              : `${m.time.toFixed(2)} s after ${show.value(m.distance, 'length', 0)}`;
          }),
        ),
      line(takesHold(done.map((d) => d.result.shifts === null)), (r) =>
        show.value(r.clutchLocksAt, 'time', 2),
      ),
      line('tyres set the pace up to', (r) =>
        r.tractionLimited.time > 0 ? show.value(r.tractionLimited.untilSpeed, 'speed', 0) : 'never',
      ),
      line('upshifts', (r) => (r.shifts === null ? 'belt' : String(r.shifts.length))),
      line('at the end', (r) => show.value(r.speed, 'speed', 1)),
    ];
  };
  return finish(
    runs,
    problems,
    {
      text: () =>
        `Acceleration${surfaces.length === 1 ? ` on ${project.surfaces[surfaces[0]!]!.name}` : ''}, ${project.days[day]!.name}\n\n${table(head(), rows())}${
          options.plot === true
            ? textPlot(
                'Speed over time',
                's',
                show.unit('speed'),
                done.map((d) => ({
                  label: label(d.request),
                  x: d.result.columns.time,
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
              'time [s]': c.time,
              'distance [m]': c.distance,
              'speed [m/s]': c.speed,
              'acceleration [m/s2]': c.acceleration,
              'gear [-]': Array.from(c.gear, (g) => d.result.gearNames[g] ?? ''),
              'engine speed [rad/s]': c.engineSpeed,
              limit: Array.from(c.limit, (l) => d.result.limits[l] ?? ''),
            };
          }),
        ),
      html: () => ({
        title: 'Acceleration',
        tables: [{ title: `${project.days[day]!.name}`, head: head(), rows: rows() }],
        plots: [
          {
            title: 'Speed over time',
            xLabel: 'time [s]',
            yLabel: `speed [${show.unit('speed')}]`,
            series: done.map((d) => ({
              label: label(d.request),
              x: d.result.columns.time,
              y: d.result.columns.speed.map((v) => show.number(v, 'speed')),
            })),
          },
          {
            title: 'Engine speed over time',
            xLabel: 'time [s]',
            yLabel: `engine speed [${show.unit('angularSpeed')}]`,
            series: done.map((d) => ({
              label: label(d.request),
              x: d.result.columns.time,
              y: d.result.columns.engineSpeed.map((v) => show.number(v, 'angularSpeed')),
            })),
          },
        ],
        remarks: [],
      }),
    },
    options,
    terminal,
  );
}

/** What the row is about: a clutch that somebody lets out, or a belt that takes up the drive by itself. */
function takesHold(belts: readonly boolean[]): string {
  if (!belts.includes(true)) return 'clutch locks after';
  return belts.includes(false) ? 'clutch or belt holds after' : 'belt holds after';
}

/** --to takes a speed or a distance; the unit decides. */
function endOf(word: string | undefined): { toSpeed?: number; toDistance?: number } {
  if (word === undefined) return {};
  const speed = parseQuantity(word, 'speed', quantity('speed'));
  const distance = parseQuantity(word, 'length', quantity('distance'));
  const unit = /[^\d.,\s+-].*$/.exec(word)?.[0] ?? '';
  if (unit !== '' && findUnit('speed', unit) !== undefined && speed.ok && speed.value > 0)
    return { toSpeed: speed.value };
  if (unit !== '' && findUnit('length', unit) !== undefined && distance.ok && distance.value > 0)
    return { toDistance: distance.value };
  throw new CommandLineError(
    `--to needs a speed or a distance with its unit, such as "100 km/h" or "200 m", not '${word}'`,
  );
}
