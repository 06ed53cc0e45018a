/** `match`: a log against the estimate: the raw gap, what the log can tell, the laps; values taken over on request. */
import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { basename } from 'node:path';
import type { FitId, FittedValue, MatchResult, Problem, Project } from '../../../sim/index.ts';
import {
  editsFor,
  FIT_IDS,
  isBlocking,
  matchLog,
  perform,
  readProjectValue,
  withEdits,
} from '../../../sim/index.ts';
import { COLUMN_TROUBLES, type ColumnChoices, LOG_ROLES, type LogRole } from '../../log-files/log-columns.ts';
import { type LogRead, MAX_LOG_BYTES, readLog } from '../../log-files/read-log.ts';
import {
  countedSentence,
  driverSentence,
  lapsSentence,
  leftOutSentence,
  matchSentence,
  mostFromWords,
  passedOverSentence,
  placeWords,
} from '../../web/words/match-words.ts';
import { dayOf, kartsOf, quantityOption, surfacesOf, tracksOf } from '../choices.ts';
import { refuse, tell, writeReport } from '../finish.ts';
import type { Options, Words } from '../options.ts';
import type { HtmlPlot, HtmlReport } from '../output/html-report.ts';
import { asCsv, below, fill, plainArrays } from '../output/machine.ts';
import { table } from '../output/table.ts';
import { textPlot } from '../output/text-plot.ts';
import { loadProject, loadRaw } from '../project-files.ts';
import type { Shown } from '../shown-units.ts';
import { shownUnits } from '../shown-units.ts';
import type { Terminal } from '../terminal.ts';
import { CommandLineError, EXIT } from '../terminal.ts';
import { wholeOption } from './unknowns.ts';

export async function matchVerb({ files, options }: Words, terminal: Terminal): Promise<number> {
  const logs = files.filter((name) => !/\.json$/i.test(name));
  const [logName] = logs;
  if (logName === undefined || logs.length > 1)
    throw new CommandLineError(
      'match takes one log (CSV, TSV, text or GPX), and project files ending in .json',
    );
  const projectFiles = files.filter((name) => name !== logName);
  const { project, problems, notes } = loadProject(projectFiles, options.set ?? []);
  if (project === undefined || isBlocking(problems)) return refuse(problems, options, terminal);
  const karts = kartsOf(project, options.kart);
  if (karts.length !== 1) throw new CommandLineError('match takes one kart');
  const [surface, ...more] = surfacesOf(project, karts, options.surface);
  if (more.length > 0) throw new CommandLineError('match takes one surface');
  const day = dayOf(project, options.day);
  const track = options.track === undefined ? undefined : tracksOf(project, options.track)[0];
  const fit = fitOption(options.fit);
  const seed = wholeOption(options.seed, '--seed', 0, 2 ** 31) ?? 1;
  const levelWithin = levelOption(options['level-within']);
  const speedWithin = quantityOption(options['speed-within'], 'loggedSpeedError', '--speed-within');
  const read = readLog(basename(logName), textOf(logName), columnsOption(options.columns));
  if (read.log === undefined) return refuse(read.problems.map(withColumnsOption), options, terminal);
  let runs = 0;
  const result = await matchLog(
    project,
    notes,
    read.log,
    {
      kart: karts[0]!,
      day,
      surface: surface!,
      seed,
      ...(track === undefined ? {} : { track }),
      ...(fit === undefined ? {} : { fit }),
      ...(levelWithin === undefined ? {} : { levelWithin }),
      ...(speedWithin === undefined ? {} : { speedWithin }),
    },
    async (changed, requests) => {
      const answers = requests.map((request) => {
        if (terminal.signal.aborted) return undefined;
        runs += 1;
        return perform(changed, request);
      });
      if (terminal.interactive) terminal.err(`\r${runs} runs`);
      // A turn of the loop, so that Ctrl-C is heard.
      await new Promise((resolve) => setImmediate(resolve));
      return answers;
    },
  );
  if (terminal.interactive) terminal.err('\r\u001b[K');
  const accepted = acceptedOf(result, options.accept);
  if (options.write !== undefined) write(projectFiles, options, accepted, basename(logName), terminal);
  else if (options.accept !== undefined)
    throw new CommandLineError('--accept needs --write FILE: the file read is left as it is');
  return print({ result, read, project, runs, stopped: terminal.signal.aborted }, options, terminal);
}

function levelOption(word: string | undefined): number | undefined {
  const within = quantityOption(word, 'grade', '--level-within');
  if (within !== undefined && within < 0)
    throw new CommandLineError(
      `--level-within is how far off level either way, not below nothing ('${word}')`,
    );
  return within;
}

interface Printed {
  readonly result: MatchResult;
  readonly read: LogRead;
  readonly project: Project;
  readonly runs: number;
  readonly stopped: boolean;
}

function print(all: Printed, options: Options, terminal: Terminal): number {
  const { result, read, project, runs, stopped } = all;
  const show = shownUnits(project);
  const failed = stopped || (result.segments.length === 0 && (result.laps?.logged.length ?? 0) === 0);
  if (options.json === true) {
    const { problems, ...rest } = result;
    const object = {
      status: failed ? 'failed' : 'done',
      problems,
      result: { ...rest, columns: read.columns, remarks: read.remarks },
      diagnostics: { runs, rows: read.log?.time.length ?? 0 },
    };
    terminal.out(`${JSON.stringify(object, plainArrays, 1)}\n`);
  } else if (options.csv === true)
    terminal.out(
      asCsv(
        below(
          result.segments.map((s, k) => ({
            segment: fill(String(k + 1), s.time.length),
            kind: fill(s.kind, s.time.length),
            'time [s]': s.time,
            'logged [m/s]': s.speed,
            'as in the file [m/s]': s.before.length > 0 ? s.before : fill('', s.time.length),
            'fitted [m/s]': s.after.length > 0 ? s.after : fill('', s.time.length),
          })),
        ),
      ),
    );
  else {
    const plot = plotOf(result, show);
    const drawn =
      options.plot === true
        ? `\n${textPlot(plot.title, 's', show.unit('speed'), plot.series, terminal.wide)}`
        : '';
    terminal.out(`${textFor(all, show, options.write !== undefined)}${drawn}`);
  }
  if (options.html !== undefined) writeReport(options.html, reportOf(all, show), terminal);
  tell(result.problems, terminal);
  return failed ? EXIT.numbers : EXIT.done;
}

function textFor({ result, read, project }: Printed, show: Shown, written: boolean): string {
  const segments = segmentTable(result, show);
  const values = valueTable(result, project);
  return [
    `${read.remarks.join('\n')}\n`,
    `${sentence(result, project, show)}\n`,
    ...(segments.rows.length === 0 ? [] : [table(segments.head, segments.rows)]),
    ...(result.leftOut === null ? [] : [`${leftOutSentence(result)}\n`]),
    ...(passedOverSentence(result) === '' ? [] : [`${passedOverSentence(result)}\n`]),
    ...(values.rows.length === 0 ? [] : [table(values.head, values.rows)]),
    ...howSure(result, project).map((line) => `${line}\n`),
    ...notFitted(result).map((line) => `${line}\n`),
    ...(result.laps === null ? [] : [`${lapLines(result, project).join('\n')}\n`]),
    `${[...(values.rows.length === 0 ? [] : [countedSentence(result)]), ...(written ? [] : [NOTHING_CHANGED])].join('\n')}\n`,
  ].join('\n');
}

function reportOf({ result, read, project }: Printed, show: Shown): HtmlReport {
  const values = valueTable(result, project);
  return {
    title: 'Does it match?',
    answer: [
      sentence(result, project, show),
      ...(result.leftOut === null ? [] : [leftOutSentence(result)]),
      ...(passedOverSentence(result) === '' ? [] : [passedOverSentence(result)]),
      ...lapLines(result, project),
    ],
    tables: [
      ...(result.segments.length === 0 ? [] : [{ title: 'Found in the log', ...segmentTable(result, show) }]),
      ...(values.rows.length === 0 ? [] : [{ title: 'What the log says', ...values }]),
    ],
    plots: result.segments.length === 0 ? [] : [plotOf(result, show)],
    remarks: [
      ...howSure(result, project),
      ...notFitted(result),
      ...read.remarks,
      ...(values.rows.length === 0 ? [] : [countedSentence(result)]),
    ],
  };
}

const NOTHING_CHANGED = 'Nothing has been changed; take values over with --accept and --write.';

function segmentTable({ segments }: MatchResult, show: Shown) {
  const speed = (v: number) => show.value(v, 'speed', 0);
  return {
    head: ['found in the log', 'at', 'speeds', 'logged', 'as in the file', 'gap', 'fitted'],
    rows: segments.map((s) => [
      `${s.kind}${s.gear === undefined ? '' : `, gear ${s.gear}`}`,
      `${s.start.toFixed(0)} s`,
      `${speed(s.fromSpeed)} to ${speed(s.toSpeed)}`,
      `${s.logged.toFixed(2)} s`,
      s.estimated === null ? '-' : `${s.estimated.toFixed(2)} s`,
      s.estimated === null ? '-' : `${signed(100 * (s.estimated / s.logged - 1))} %`,
      s.fitted === null ? '-' : `${s.fitted.toFixed(2)} s`,
    ]),
  };
}

function valueTable({ values }: MatchResult, project: Project) {
  return {
    head: [
      'the log says',
      'times the file',
      'nine in ten',
      'by the log alone',
      'by the runs',
      'place',
      'in the file',
      'now',
    ],
    rows: values.flatMap((v) =>
      v.places.map((place, k) => {
        const { before, after, spread } = placeWords(place, project);
        return [
          k === 0 ? v.id : '',
          k === 0 ? v.factor.toFixed(3) : '',
          k === 0 ? `${v.low.toFixed(3)} to ${v.high.toFixed(3)}` : '',
          k === 0 ? `± ${v.fromLog.spread.toFixed(4)}` : '',
          k === 0
            ? v.fromLog.spreadByResampling === null
              ? '-'
              : `± ${v.fromLog.spreadByResampling.toFixed(4)}`
            : '',
          place.path,
          before,
          `${after} ± ${spread}`,
        ];
      }),
    ),
  };
}

/** Value by value, where most of the interval comes from. */
function howSure({ values }: MatchResult, project: Project): string[] {
  return values.map(
    (v) =>
      `${v.id}: nine in ten between ${v.low.toFixed(3)} and ${v.high.toFixed(3)} times the file, ${mostFromWords(v, project)}; by the log alone ${v.fromLog.low.toFixed(3)} to ${v.fromLog.high.toFixed(3)}.`,
  );
}

function notFitted({ refused }: MatchResult): string[] {
  return refused.map(({ ids, why }) => `Not fitted: ${ids.join(' and ')} - ${why}`);
}

/** What is left between log and estimate, run after run. */
function plotOf({ segments }: MatchResult, show: Shown): HtmlPlot {
  const x = segments.flatMap((s) => Array.from(s.time));
  return {
    title: 'Logged less estimated speed, as in the file and fitted',
    xLabel: 'time [s]',
    yLabel: `logged less estimated [${show.unit('speed')}]`,
    series: [['as in the file', 'before'] as const, ['fitted', 'after'] as const].map(([label, key]) => ({
      label,
      x,
      y: segments.flatMap((s) =>
        Array.from(s.time, (_, i) =>
          show.number((s.speed[i] ?? 0) - (s[key][i] ?? s.speed[i] ?? 0), 'speed'),
        ),
      ),
    })),
  };
}

function sentence(result: MatchResult, project: Project, show: Shown): string {
  return matchSentence(result, project, show.unit('speed'));
}

function lapLines(result: MatchResult, project: Project): string[] {
  return [lapsSentence(result, project), driverSentence(result, project)].filter((line) => line !== '');
}

function acceptedOf(result: MatchResult, word: string | undefined): readonly (FittedValue | DriverValue)[] {
  if (word === undefined) return [];
  const driver: DriverValue[] =
    result.laps?.driver === null || result.laps?.driver === undefined
      ? []
      : [{ id: 'driver', places: [result.laps.driver], atBound: result.laps.driver.atBound, isBetter: true }];
  const all = [...result.values, ...driver];
  if (word === 'all') return all.filter(({ atBound, isBetter }) => atBound === null && isBetter);
  return word.split(',').map((name) => {
    const found = all.find(({ id }) => id === name.trim());
    if (found === undefined)
      throw new CommandLineError(
        `'${name.trim()}' was not fitted; fitted: ${all.map(({ id }) => id).join(', ') || 'nothing'}`,
      );
    return found;
  });
}

interface DriverValue {
  readonly id: 'driver';
  readonly places: FittedValue['places'];
  readonly atBound: FittedValue['atBound'];
  readonly isBetter: boolean;
}

function write(
  projectFiles: readonly string[],
  options: Options,
  accepted: readonly (FittedValue | DriverValue)[],
  log: string,
  terminal: Terminal,
): void {
  if (accepted.length === 0)
    throw new CommandLineError(
      options.accept === undefined
        ? '--write needs --accept: all, or the names of fitted values'
        : 'nothing that was found is both to be trusted and better known than in the file: there is nothing to take over',
    );
  const raw = loadRaw(projectFiles, options.set ?? []);
  const date = options.date ?? new Date().toISOString().slice(0, 10);
  if (!/^\d{4}-\d{2}-\d{2}$/.test(date))
    throw new CommandLineError(`--date is written 2026-05-17, not '${date}'`);
  const changed = withEdits(raw, editsFor(raw, accepted, { date, log }), 'after');
  const { problems } = readProjectValue(changed);
  if (isBlocking(problems))
    throw new CommandLineError(`the changed file would not be valid: ${problems[0]?.message ?? ''}`);
  try {
    writeFileSync(options.write!, `${JSON.stringify(changed, null, 2)}\n`, { flag: 'wx' });
  } catch (error) {
    const exists = (error as NodeJS.ErrnoException).code === 'EEXIST';
    throw new CommandLineError(
      exists
        ? `${options.write} is there already: name another file`
        : `cannot write ${options.write}: ${error}`,
    );
  }
  terminal.err(`wrote ${options.write}: ${accepted.map(({ id }) => id).join(', ')} taken over\n`);
}

function fitOption(word: string | undefined): FitId[] | undefined {
  return word?.split(',').map((name) => {
    const found = FIT_IDS.find((id) => id === name.trim());
    if (found === undefined)
      throw new CommandLineError(`--fit takes ${FIT_IDS.join(', ')}; not '${name.trim()}'`);
    return found;
  });
}

/** What to do about columns nobody can tell, here: name them. */
function withColumnsOption(found: Problem): Problem {
  return COLUMN_TROUBLES.includes(found.code)
    ? { ...found, remedy: 'say which column is what, such as --columns "time=Stamp:ms,speed=Vel:km/h"' }
    : found;
}

/** `time=Stamp:ms,speed=Vel:km/h` */
function columnsOption(word: string | undefined): ColumnChoices {
  const choices: { [R in LogRole]?: { column?: string; unit?: string } } = {};
  for (const part of word?.split(',') ?? []) {
    const [role, rest = ''] = part.split('=', 2) as [string, string?];
    const found = LOG_ROLES.find((r) => r === role.trim());
    if (found === undefined || rest === '')
      throw new CommandLineError(
        `--columns is written "speed=HEADER:UNIT,time=HEADER"; roles are ${LOG_ROLES.join(', ')}`,
      );
    const at = rest.lastIndexOf(':');
    const column = (at < 0 ? rest : rest.slice(0, at)).trim();
    choices[found] = {
      ...(column === '' ? {} : { column }),
      ...(at < 0 ? {} : { unit: rest.slice(at + 1).trim() }),
    };
  }
  return choices;
}

function textOf(name: string): string {
  try {
    if (statSync(name).size > MAX_LOG_BYTES)
      throw new CommandLineError(
        `${name} is larger than ${MAX_LOG_BYTES / 1e6} MB: cut out the runs that matter`,
      );
    return readFileSync(name, 'utf8');
  } catch (error) {
    if (error instanceof CommandLineError) throw error;
    const missing = (error as NodeJS.ErrnoException).code === 'ENOENT';
    throw new CommandLineError(missing ? `${name} does not exist` : `${name} cannot be read: ${error}`);
  }
}

function signed(x: number): string {
  return `${x > 0 ? '+' : ''}${x.toFixed(0)}`;
}
