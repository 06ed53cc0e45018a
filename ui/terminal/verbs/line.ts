/** `line`: the drawn, the smoothest and the fastest line of a track, and where the fastest gains. */
import type { Answer, LineResult, LineState, Project, Request } from '../../../sim/index.ts';
import { isBlocking, perform } from '../../../sim/index.ts';
import { dayOf, kartsOf, oneOf, quantityOption, tracksOf } from '../choices.ts';
import { finish, refuse } from '../finish.ts';
import type { Words } from '../options.ts';
import { below, fill } from '../output/machine.ts';
import { table } from '../output/table.ts';
import { textPlot } from '../output/text-plot.ts';
import { loadProject } from '../project-files.ts';
import { shownUnits } from '../shown-units.ts';
import type { Terminal } from '../terminal.ts';

type LineRequest = Extract<Request, { verb: 'line' }>;

const STARTS = ['flying', 'standing', 'rolling'] as const;
const ENGINES = ['as it pays', 'always', 'never'] as const;
/** Stations of work between two looks at the keyboard: some 50 ms. */
const SLICE = 10_000;
/** Parts of the track that the gain is told for. */
const PARTS = 8;

export async function lineVerb({ files, options }: Words, terminal: Terminal): Promise<number> {
  const { project, problems } = loadProject(files, options.set ?? []);
  if (project === undefined || isBlocking(problems)) return refuse(problems, options, terminal);
  const karts = kartsOf(project, options.kart);
  const tracks = tracksOf(project, options.track);
  const day = dayOf(project, options.day);
  const start = oneOf(options.start, STARTS, '--start');
  const engineBraking = oneOf(options.engine, ENGINES, '--engine');
  const margin = quantityOption(options.margin, 'straightLength', '--margin');
  const requests = tracks.flatMap((track) =>
    karts.map(
      (kart): LineRequest => ({
        verb: 'line',
        kart,
        day,
        track,
        options: {
          ...(start === undefined ? {} : { start }),
          ...(engineBraking === undefined ? {} : { engineBraking }),
          ...(margin === undefined ? {} : { margin }),
        },
      }),
    ),
  );
  const runs: { request: LineRequest; answer: Answer }[] = [];
  for (const request of requests)
    runs.push({
      request,
      answer: await searched(project, request, terminal, `${request.kart}, ${request.track}`),
    });
  const show = shownUnits(project);
  const done = runs.flatMap(({ request, answer }) =>
    answer.result === undefined ? [] : [{ request, result: answer.result as LineResult }],
  );
  const heading = ({ result }: (typeof done)[number]) =>
    `${result.track}, ${result.kart}, ${project.days[day]!.name}${result.finished ? '' : ' - stopped: the best so far'}`;
  const rowsOf = (result: LineResult) =>
    result.lines.map((line) => [
      line.kind,
      `${line.time.toFixed(2)} s`,
      `${(line.time - result.lines[0]!.time).toFixed(2)} s`,
      show.value(line.length, 'length', 0),
      show.value(line.tightest, 'length', 1),
      show.value(Math.max(...line.speed), 'speed', 1),
      show.value(Math.min(...line.speed), 'speed', 1),
    ]);
  const HEAD = ['line', 'time', 'against drawn', 'length', 'tightest radius', 'top speed', 'slowest'];
  const gainRows = ({ gain }: LineResult) => {
    const last = gain.along.length - 1;
    return Array.from({ length: PARTS }, (_, part) => {
      const from = Math.round((part * last) / PARTS);
      const to = Math.round(((part + 1) * last) / PARTS);
      const gained = gain.seconds[to]! - gain.seconds[from]!;
      return [
        `${show.value(gain.along[from]!, 'length', 0)} to ${show.value(gain.along[to]!, 'length', 0)}`,
        `${gained.toFixed(2)} s`,
      ];
    });
  };
  const gainSeries = (list: typeof done) =>
    list.map(({ request, result }) => ({
      label: `${request.kart}, ${request.track}`,
      x: result.gain.along,
      y: Array.from(result.gain.seconds),
    }));
  return finish(
    runs,
    problems,
    {
      text: () =>
        done
          .map(
            (d) =>
              `${heading(d)}\n\n${table(HEAD, rowsOf(d.result))}\n${table(['of the drawn line', 'gained by the fastest'], gainRows(d.result))}${options.plot === true ? textPlot('Gained by the fastest over distance', 'm', 's', gainSeries([d]), terminal.wide) : ''}`,
          )
          .join('\n') +
        '\nEach line for this kart on this day, at the share of grip its driver uses; no other karts, ruts or kerbs.\n',
      csv: () =>
        below(
          done.flatMap(({ request, result }) =>
            result.lines.map((line) => {
              const n = line.along.length;
              return {
                kart: fill(request.kart, n),
                track: fill(request.track, n),
                line: fill(line.kind, n),
                'along the drawn line [m]': line.along,
                'offset to the left [m]': line.offset,
                'x [m]': line.x,
                'y [m]': line.y,
                'distance [m]': line.distance,
                'time [s]': line.clock,
                'speed [m/s]': line.speed,
              };
            }),
          ),
        ),
      html: () => ({
        title: 'Lines',
        tables: done.flatMap((d) => [
          { title: heading(d), head: HEAD, rows: rowsOf(d.result) },
          {
            title: `${heading(d)}: where the fastest gains`,
            head: ['of the drawn line', 'gained'],
            rows: gainRows(d.result),
          },
        ]),
        plots: done.flatMap((d) => [
          {
            title: `${heading(d)}: the lines`,
            xLabel: 'x [m]',
            yLabel: 'y [m]',
            map: true as const,
            series: d.result.lines.map((line) => ({ label: line.kind, x: line.x, y: line.y })),
          },
          {
            title: `${heading(d)}: speed along the drawn line`,
            xLabel: 'distance [m]',
            yLabel: `speed [${show.unit('speed')}]`,
            series: d.result.lines.map((line) => ({
              label: line.kind,
              x: line.along,
              y: Array.from(line.speed, (v) => show.number(v, 'speed')),
            })),
          },
          {
            title: `${heading(d)}: time gained by the fastest`,
            xLabel: 'distance [m]',
            yLabel: 's',
            series: gainSeries([d]),
          },
        ]),
        remarks: [
          'Each line for this kart on this day, at the share of grip its driver uses; no other karts, ruts or kerbs.',
        ],
      }),
    },
    options,
    terminal,
  );
}

/** Slice by slice, with progress; a stop keeps the best so far. */
async function searched(
  project: Project,
  request: LineRequest,
  terminal: Terminal,
  name: string,
): Promise<Answer> {
  let from: LineState | undefined;
  for (;;) {
    const answer = perform(project, {
      ...request,
      options: { ...request.options, slice: SLICE, ...(from === undefined ? {} : { from }) },
    });
    const { result } = answer;
    if (result === undefined || result.finished || terminal.signal.aborted) {
      if (terminal.interactive) terminal.err('\r\u001b[K');
      return answer;
    }
    from = result.state;
    if (terminal.interactive) {
      const best = result.lines.at(-1)!.time;
      terminal.err(`\r\u001b[K${name}: ${(100 * result.share).toFixed(0)} %, ${best.toFixed(2)} s`);
    }
    // Signals are heard between slices.
    await new Promise((resolve) => setImmediate(resolve));
  }
}
