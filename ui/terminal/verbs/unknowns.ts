/** `unknowns`: how sure an answer is, which kart is better and how surely, what to measure first. */
import type {
  Measuring,
  Project,
  RunRequest,
  Spread,
  UnknownsResult,
  VarianceOf,
} from '../../../sim/index.ts';
import {
  combineUnknowns,
  DEFAULT_DRAWS,
  isBlocking,
  LEAST_DRAWS,
  lineDriven,
  MOST_DRAWS,
  perform,
  planShares,
  planUnknowns,
  problem,
  quantity,
} from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';
import type { DoubtSay } from '../../words/doubt-words.ts';
import {
  aboutWords,
  chanceWords,
  DOUBT_HEADS,
  decisionSentence,
  narrowingSentence,
  narrowsSentence,
  notMeasuredLines,
  settlesSentence,
  settlingSentence,
  sharedBy,
} from '../../words/doubt-words.ts';
import { otherLineSentence } from '../../words/line-words.ts';
import {
  dayOf,
  kartsOf,
  lineChosen,
  oneOf,
  quantityOption,
  surfacesOf,
  tracksOf,
  warnOfLines,
} from '../choices.ts';
import { refuse, tell, writeReport } from '../finish.ts';
import type { Options, Words } from '../options.ts';
import type { HtmlPlot, HtmlReport } from '../output/html-report.ts';
import { asCsv, plainArrays } from '../output/machine.ts';
import { table } from '../output/table.ts';
import { textPlot } from '../output/text-plot.ts';
import { loadProject } from '../project-files.ts';
import { studyRunner } from '../run-study.ts';
import type { Shown } from '../shown-units.ts';
import { shownUnits } from '../shown-units.ts';
import type { Terminal } from '../terminal.ts';
import { CommandLineError, EXIT } from '../terminal.ts';

const ABOUT = ['lap', 'accelerate', 'brake', 'topspeed'] as const;
const MOST_KARTS = 6;
/** Lines of a table of unknowns. */
const SHOWN_UNKNOWNS = 10;

export async function unknownsVerb({ files, options }: Words, terminal: Terminal): Promise<number> {
  const { project, problems, notes } = loadProject(files, options.set ?? []);
  if (project === undefined || isBlocking(problems)) return refuse(problems, options, terminal);
  const about = oneOf(options.of, ABOUT, '--of') ?? 'lap';
  const karts = kartsOf(project, options.kart);
  if (karts.length > MOST_KARTS) throw new CommandLineError(`unknowns takes up to ${MOST_KARTS} karts`);
  const day = dayOf(project, options.day);
  const draws = wholeOption(options.draws, '--draws', LEAST_DRAWS, MOST_DRAWS) ?? DEFAULT_DRAWS;
  const seed = wholeOption(options.seed, '--seed', 0, 2 ** 31) ?? 1;
  const runs = runsOf(about, project, karts, day, options);
  for (const run of runs.slice(0, 1))
    if (run.verb === 'lap') warnOfLines(project, { ...run, ...lineChosen(options) }, [run.track], terminal);
  // A kart that cannot run as the file has it is told so before thousands of draws of it.
  const bases = runs.map((run) => perform(project, run));
  const blocked = bases.flatMap((base) => (base.result === undefined ? base.problems : []));
  if (blocked.length > 0) return refuse(blocked, options, terminal);
  const study = studyRunner(terminal);
  try {
    const plan = planUnknowns(project, notes, { runs, draws, seed });
    const answers = await study.run(project, plan.requests, 'draws', (r) => r.variants.length);
    const shares = terminal.signal.aborted ? undefined : planShares(plan, answers);
    const result =
      shares === undefined
        ? combineUnknowns(plan, answers)
        : combineUnknowns(plan, answers, {
            plan: shares,
            answers: await study.run(
              project,
              shares.requests,
              'runs to share the variance out',
              (r) => r.variants.length,
            ),
          });
    return print(result, { line: lineOfLaps(project, runs), show: shownUnits(project) }, options, terminal);
  } finally {
    study.dispose();
  }
}

function runsOf(
  about: (typeof ABOUT)[number],
  project: Project,
  karts: readonly string[],
  day: string,
  options: Options,
): RunRequest[] {
  if (about === 'lap') {
    const tracks = tracksOf(project, options.track);
    if (tracks.length !== 1) throw new CommandLineError('unknowns takes one track');
    const track = tracks[0]!;
    return karts.map((kart) => {
      const line = lineDriven(project, { kart, day, ...lineChosen(options) }, track);
      return { verb: 'lap', kart, day, track, ...(line === 'as drawn' ? {} : { options: { line } }) };
    });
  }
  if (options.line !== undefined) throw new CommandLineError('--line is of a lap: leave it out, or --of lap');
  const surfaces = surfacesOf(project, karts, options.surface);
  if (surfaces.length !== 1) throw new CommandLineError('unknowns takes one surface');
  const surface = surfaces[0]!;
  if (about === 'brake') {
    const fromSpeed = quantityOption(options.from, 'speed', '--from') ?? 60 / 3.6;
    return karts.map((kart) => ({ verb: 'brake', kart, day, surface, options: { fromSpeed } }));
  }
  return karts.map((kart) => ({ verb: about, kart, day, surface }));
}

/** '' where they are driven as drawn, or are no laps. */
function lineOfLaps(project: Project, [run]: readonly RunRequest[]): string {
  const line = run?.verb === 'lap' ? run.options?.line : undefined;
  return run?.verb !== 'lap' || typeof line !== 'string'
    ? ''
    : otherLineSentence(project, { ...run, line }, [run.track]);
}

export function wholeOption(
  word: string | undefined,
  option: string,
  least: number,
  most: number,
): number | undefined {
  if (word === undefined) return undefined;
  const n = Number(word.replaceAll(/[ _']/g, ''));
  if (!Number.isInteger(n) || n < least || n > most)
    throw new CommandLineError(`${option} is a whole number from ${least} to ${most}, not '${word}'`);
  return n;
}

interface Saying {
  readonly show: Shown;
  readonly line: string;
}

function print(result: UnknownsResult, { show, line }: Saying, options: Options, terminal: Terminal): number {
  const partial = result.answered < result.draws;
  const problems = [
    ...(partial
      ? [
          problem('stopped', '', 'stopped early: this rests on the draws made so far', {
            value: `${result.answered} of ${result.draws} draws`,
          }),
        ]
      : []),
  ];
  const { draws, answered, refused, seed } = result;
  if (options.json === true) {
    const object = {
      status: partial ? 'partial' : 'done',
      problems,
      result,
      diagnostics: { draws, answered, refused, seed },
    };
    terminal.out(`${JSON.stringify(object, plainJson, 1)}\n`);
  } else if (options.csv === true) terminal.out(asCsv(csvOf(result)));
  else
    terminal.out(
      `${textOf(result, { show, line })}${options.plot === true ? plotText(plotOf(result, show), terminal) : ''}`,
    );
  if (options.html !== undefined) writeReport(options.html, reportOf(result, { show, line }), terminal);
  tell(problems, terminal);
  return partial ? EXIT.numbers : EXIT.done;
}

/** JSON has no word for a draw in which the kart could not run but null. */
function plainJson(key: string, value: unknown): unknown {
  const plain = plainArrays(key, value);
  return Array.isArray(plain) ? plain.map((x) => (Number.isNaN(x) ? null : x)) : plain;
}

function csvOf(result: UnknownsResult) {
  const name = result.mainFigure ?? 'figure';
  return [
    { head: 'draw', values: Array.from({ length: result.draws }, (_, n) => n + 1) },
    ...result.karts.map(({ kart, sample }) => ({
      head: `${kart}: ${name} [${unitOf(name)}]`,
      values: Array.from(sample, (x) => (Number.isNaN(x) ? '' : x)),
    })),
  ];
}

function textOf(result: UnknownsResult, { show, line }: Saying): string {
  const decisions = decisionTable(result, show);
  return [
    `${[...sentences(result, show), ...(line === '' ? [] : [line])].join('\n')}\n`,
    ...result.karts.map((kart) => {
      const { head, rows } = intervalTable(kart, show);
      return table([kart.kart, ...head.slice(1)], rows);
    }),
    ...(decisions.rows.length === 0 ? [] : [table(decisions.head, decisions.rows)]),
    ...result.variance.map((v) => {
      const { head, rows } = varianceTable(v, result);
      const worth = measuringLines(v, result);
      const not = notMeasuredLines(v, sayOf(result, show));
      return `${table([varianceTitle(v), ...head.slice(1)], rows)}\n${
        worth.length === 0 ? `${NOTHING_TO_MEASURE}\n` : listed('Worth measuring:', worth)
      }${not.length === 0 ? '' : listed(NOT_MEASURED, not)}`;
    }),
    `${howDrawn(result)}\n`,
  ].join('\n');
}

function listed(head: string, lines: readonly string[]): string {
  return `${head}\n${lines.map((line) => `  ${line}\n`).join('')}`;
}

function reportOf(result: UnknownsResult, { show, line }: Saying): HtmlReport {
  const decisions = decisionTable(result, show);
  const worth = result.variance.flatMap((v) =>
    measuringLines(v, result).map(
      (line) => `${v.against === undefined ? v.kart : `${v.kart} against ${v.against}`}: ${line}`,
    ),
  );
  const plot = plotOf(result, show);
  return {
    title: 'How sure is it?',
    answer: [
      ...sentences(result, show),
      ...(worth.length === 0 ? [NOTHING_TO_MEASURE] : worth.map((line) => `Worth measuring: ${line}`)),
      ...result.variance.flatMap((v) =>
        notMeasuredLines(v, sayOf(result, show)).map((line) => `${NOT_MEASURED} ${line}`),
      ),
    ],
    tables: [
      ...result.karts.map((kart) => ({ title: kart.kart, ...intervalTable(kart, show) })),
      ...(decisions.rows.length === 0 ? [] : [{ title: 'Which is better', ...decisions }]),
      ...result.variance.map((v) => ({ title: capital(varianceTitle(v)), ...varianceTable(v, result) })),
    ],
    plots: plot.series.length === 0 ? [] : [plot],
    remarks: [...(line === '' ? [] : [line]), howDrawn(result)],
  };
}

const NOT_MEASURED = 'To blame, but not to be measured by itself:';
const NOTHING_TO_MEASURE = 'Nothing that can be measured at home would narrow it by much.';

function howDrawn({ draws, seed, refused, mainFigure }: UnknownsResult): string {
  return `${draws} draws, seed ${seed}; each input normal about its value with its spread, cut off at its limits, independent of the others; karts share the draws of what they share.${refused > 0 ? ` In ${refused} draws a kart could not run; they are left out.` : ''}${mainFigure === null ? ' No figure was reached.' : ''}`;
}

function intervalTable({ figures }: UnknownsResult['karts'][number], show: Shown) {
  const value = (name: string, x: number | null) => shownFigure(show, name, x);
  return {
    head: ['figure', 'as in the file', 'middle', 'half of the draws', 'nine in ten', 'known to'],
    rows: figures.flatMap(({ figure: name, base, spread }) =>
      spread === undefined
        ? []
        : [
            [
              name,
              value(name, base),
              value(name, spread.p50),
              `${value(name, spread.p25)} to ${value(name, spread.p75)}`,
              `${value(name, spread.p5)} to ${value(name, spread.p95)}`,
              `± ${value(name, Math.max(spread.error.p5, spread.error.p95))}`,
            ],
          ],
    ),
  };
}

function decisionTable({ decisions }: UnknownsResult, show: Shown) {
  return {
    head: ['which is better', 'chance', 'difference, nine in ten', 'verdict'],
    rows: decisions.map((d) => [
      `${d.figure}: ${d.second} over ${d.first}`,
      d.sureness === 'no difference' ? '-' : chanceWords(d.secondBetter),
      `${shownFigure(show, d.figure, d.difference.p5)} to ${shownFigure(show, d.figure, d.difference.p95)}`,
      d.sureness === 'decided' || d.sureness === 'likely' ? `${ahead(d)} better: ${d.sureness}` : d.sureness,
    ]),
  };
}

function plotText({ title, xLabel, series }: HtmlPlot, terminal: Terminal): string {
  return series.length === 0 ? '' : `\n${textPlot(title, xLabel, '%', series, terminal.wide)}`;
}

/** Of the draws, the share at or below each value of the main figure. */
function plotOf({ karts, mainFigure }: UnknownsResult, show: Shown): HtmlPlot {
  const name = mainFigure ?? 'figure';
  const { dimension } = AS_SHOWN[unitOf(name)];
  return {
    title: `${capital(name)}: share of the draws at or below`,
    xLabel: `${name} [${name === 'shifts' ? '-' : show.unit(dimension)}]`,
    yLabel: 'share of the draws [%]',
    series: karts.flatMap(({ kart, sample }) => {
      const sorted = sample.filter((x) => Number.isFinite(x)).toSorted((a, b) => a - b);
      return sorted.length < 2
        ? []
        : [
            {
              label: kart,
              x: Array.from(sorted, (x) => (name === 'shifts' ? x : show.number(x, dimension))),
              y: Array.from(sorted, (_, i) => (100 * (i + 0.5)) / sorted.length),
            },
          ];
    }),
  };
}

function sayOf(result: UnknownsResult, show: Shown): DoubtSay {
  return {
    kart: (id) => id,
    input: (path) => nameOf(path, result),
    size: (difference, figure) => shownFigure(show, figure, Math.abs(difference)),
  };
}

/** Of karts compared the comparison first: it is what was asked. */
function sentences(result: UnknownsResult, show: Shown): string[] {
  const name = result.mainFigure;
  if (name === null) return ['Nothing could be computed.'];
  const say = sayOf(result, show);
  const decided = result.decisions
    .filter((d) => d.figure === name)
    .flatMap((d) => [
      decisionSentence(d, say),
      settlingSentence(d, result, say),
      narrowingSentence(d, result, say),
    ])
    .filter((line) => line !== '');
  const own = result.karts.map(({ kart, figures }) => {
    const spread = figures.find((f) => f.figure === name)?.spread;
    return `${kart}: ${name} ${interval(show, name, spread)}.`;
  });
  return [...decided, ...own];
}

/** The place in the file; of a driver in several karts what they share. */
function nameOf(path: string, result: UnknownsResult): string {
  const shared = sharedBy(path, result);
  return shared === undefined ? path : `${path.replace(/^karts\.[^.]+\./, '')} of ${shared}`;
}

function ahead(d: UnknownsResult['decisions'][number]): string {
  return d.secondBetter >= 0.5 ? d.second : d.first;
}

function varianceTitle({ kart, against }: VarianceOf): string {
  return against === undefined
    ? `what makes ${kart} uncertain`
    : `what makes ${kart} against ${against} uncertain`;
}

function varianceTable({ shares }: VarianceOf, result: UnknownsResult) {
  return {
    head: ['unknown', 'origin', ...DOUBT_HEADS],
    rows: shares
      .filter((s) => s.total >= 0.005)
      .slice(0, SHOWN_UNKNOWNS)
      .map((s) => [
        s.paths.length === 1 ? nameOf(s.paths[0]!, result) : `the other ${s.paths.length} together`,
        s.paths.length === 1 ? originOf(result, s.paths[0]!) : '',
        aboutWords(s.first, s.firstError),
        aboutWords(Math.min(1, s.total), s.totalError),
      ]),
  };
}

function measuringLines({ figure, kart, measuring }: VarianceOf, result: UnknownsResult): string[] {
  const decided = result.decisions.some(
    (d) => d.figure === figure && d.second === kart && d.verdict !== 'open',
  );
  return measuring.slice(0, 3).map((m) => measuringLine(m, result, decided));
}

function measuringLine(m: Measuring, result: UnknownsResult, decided: boolean): string {
  const note = result.unknowns.find((u) => u.path === m.path);
  const settles = m.settles === undefined || decided ? '' : ` ${settlesSentence(m)}`;
  return `${nameOf(m.path, result)} (${note === undefined ? '' : quantity(note.quantity).label}, ${m.effort}): ${m.how}. ${narrowsSentence('The interval gets narrower', m)}${settles}`;
}

function originOf(result: UnknownsResult, path: string): string {
  return result.unknowns.find((u) => u.path === path)?.origin ?? '';
}

function interval(show: Shown, name: string, spread: Spread | undefined): string {
  return spread === undefined
    ? 'not reached'
    : `in the middle ${shownFigure(show, name, spread.p50)}, nine in ten between ${shownFigure(show, name, spread.p5)} and ${shownFigure(show, name, spread.p95)}`;
}

const SPEEDS = ['top speed', 'average speed', 'cornering speed'];
const SHARES = ['tip margin', 'front grip used', 'rear grip used', 'engine share'];
const LENGTHS = ['stopping distance', 'limiter before braking'];

function unitOf(name: string): keyof typeof AS_SHOWN {
  if (SPEEDS.includes(name)) return 'm/s';
  if (LENGTHS.includes(name)) return 'm';
  if (name === 'mean deceleration' || name === 'lateral acceleration') return 'm/s2';
  return SHARES.includes(name) || name === 'shifts' ? '-' : 's';
}

function shownFigure(show: Shown, name: string, x: number | null | undefined): string {
  if (x === null || x === undefined || !Number.isFinite(x)) return '-';
  if (name === 'shifts') return x.toFixed(0);
  const { dimension, decimals } = AS_SHOWN[unitOf(name)];
  return show.value(x, dimension, decimals);
}

const AS_SHOWN = {
  'm/s': { dimension: 'speed', decimals: 1 },
  m: { dimension: 'length', decimals: 1 },
  'm/s2': { dimension: 'acceleration', decimals: 2 },
  s: { dimension: 'time', decimals: 2 },
  '-': { dimension: 'ratio', decimals: 0 },
} as const;
