/** `unknowns`: how sure an answer is, which kart is better and how surely, what to measure first. */
import type {
  Decision,
  Measuring,
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
  MOST_DRAWS,
  perform,
  planShares,
  planUnknowns,
  problem,
  quantity,
} from '../../../sim/index.ts';
import { dayOf, kartsOf, oneOf, quantityOption, surfacesOf, tracksOf } from '../choices.ts';
import { refuse, tell } from '../finish.ts';
import type { Options, Words } from '../options.ts';
import { asCsv, plainArrays } from '../output/machine.ts';
import { table } from '../output/table.ts';
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
    return print(result, shownUnits(project), options, terminal);
  } finally {
    study.dispose();
  }
}

function runsOf(
  about: (typeof ABOUT)[number],
  project: Parameters<typeof kartsOf>[0],
  karts: readonly string[],
  day: string,
  options: Options,
): RunRequest[] {
  if (about === 'lap') {
    const tracks = tracksOf(project, options.track);
    if (tracks.length !== 1) throw new CommandLineError('unknowns takes one track');
    return karts.map((kart) => ({ verb: 'lap', kart, day, track: tracks[0]! }));
  }
  const surfaces = surfacesOf(project, karts, options.surface);
  if (surfaces.length !== 1) throw new CommandLineError('unknowns takes one surface');
  const surface = surfaces[0]!;
  if (about === 'brake') {
    const fromSpeed = quantityOption(options.from, 'speed', '--from') ?? 60 / 3.6;
    return karts.map((kart) => ({ verb: 'brake', kart, day, surface, options: { fromSpeed } }));
  }
  return karts.map((kart) => ({ verb: about, kart, day, surface }));
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

function print(result: UnknownsResult, show: Shown, options: Options, terminal: Terminal): number {
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
  else terminal.out(textOf(result, show));
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

function textOf(result: UnknownsResult, show: Shown): string {
  const figure = result.mainFigure;
  const value = (name: string, x: number | null | undefined) => shownFigure(show, name, x);
  const parts = [`${sentence(result, show)}\n`];
  for (const { kart, figures } of result.karts) {
    const rows = figures.flatMap(({ figure: name, base, spread }) =>
      spread === undefined
        ? []
        : [
            [
              name,
              value(name, base),
              value(name, spread.p50),
              `${value(name, spread.p25)} to ${value(name, spread.p75)}`,
              `${value(name, spread.p5)} to ${value(name, spread.p95)}`,
              `± ${deltaOf(show, name, Math.max(spread.error.p5, spread.error.p95))}`,
            ],
          ],
    );
    parts.push(
      table([kart, 'as in the file', 'middle', 'half of the draws', 'nine in ten', 'known to'], rows),
    );
  }
  if (result.decisions.length > 0)
    parts.push(
      table(
        ['which is better', 'chance', 'difference, nine in ten', 'verdict'],
        result.decisions.map((d) => [
          `${d.figure}: ${d.second} over ${d.first}`,
          chance(d.secondBetter),
          `${deltaOf(show, d.figure, d.difference.p5)} to ${deltaOf(show, d.figure, d.difference.p95)}`,
          d.verdict === 'open'
            ? 'too close to call'
            : `${d.verdict === 'second' ? d.second : d.first} better`,
        ]),
      ),
    );
  for (const v of result.variance) parts.push(varianceTable(v, result));
  parts.push(
    `${result.draws} draws, seed ${result.seed}; each input normal about its value with its spread, cut off at its limits, independent of the others; karts share the draws of what they share.${result.refused > 0 ? ` In ${result.refused} draws a kart could not run; they are left out.` : ''}${figure === null ? ' No figure was reached.' : ''}\n`,
  );
  return parts.join('\n');
}

function sentence(result: UnknownsResult, show: Shown): string {
  const name = result.mainFigure;
  if (name === null) return 'Nothing could be computed.';
  const own = result.karts.map(({ kart, figures }) => {
    const spread = figures.find((f) => f.figure === name)?.spread;
    return `${kart}: ${name} ${interval(show, name, spread)}`;
  });
  const decided = result.decisions.filter((d) => d.figure === name).map((d) => verdict(d, show));
  return [...own, ...decided].join('.\n').concat('.');
}

function verdict(d: Decision, show: Shown): string {
  const better = d.secondBetter >= 0.5 ? d.second : d.first;
  const other = better === d.second ? d.first : d.second;
  const sure = Math.max(d.secondBetter, 1 - d.secondBetter);
  const size = deltaOf(show, d.figure, Math.abs(d.difference.p50));
  return d.verdict === 'open'
    ? `Too close to call: ${better} is ahead of ${other} in ${chance(sure)} of the draws, by ${size} in the middle`
    : `${better} beats ${other} in ${chance(sure)} of the draws, by ${size} in the middle`;
}

function varianceTable(v: VarianceOf, result: UnknownsResult): string {
  const head =
    v.against === undefined
      ? `what makes ${v.kart} uncertain`
      : `what makes ${v.kart} against ${v.against} uncertain`;
  const rows = v.shares
    .filter((s) => s.total >= 0.005)
    .slice(0, SHOWN_UNKNOWNS)
    .map((s) => [
      s.paths.length === 1 ? s.paths[0]! : `the other ${s.paths.length} together`,
      s.paths.length === 1 ? originOf(result, s.paths[0]!) : '',
      share(s.first, s.firstError),
      share(s.total, s.totalError),
    ]);
  const decided = result.decisions.some(
    (d) => d.figure === v.figure && d.second === v.kart && d.verdict !== 'open',
  );
  const measured = v.measuring.slice(0, 3).map((m) => `  ${measuringLine(m, result, decided)}\n`);
  const best =
    measured.length > 0
      ? `\nWorth measuring:\n${measured.join('')}`
      : '\nNothing that can be measured at home would narrow it by much.\n';
  return `${table([head, 'origin', 'alone', 'in all'], rows)}${best}`;
}

function measuringLine(m: Measuring, result: UnknownsResult, decided: boolean): string {
  const note = result.unknowns.find((u) => u.path === m.path);
  const settles =
    m.settles === undefined || decided ? '' : `; then decided with a chance of ${chance(m.settles)}`;
  return `${m.path} (${note === undefined ? '' : quantity(note.quantity).label}, ${m.effort}): ${m.how}. The interval gets ${(100 * m.narrower).toFixed(0)} % narrower${settles}.`;
}

function originOf(result: UnknownsResult, path: string): string {
  return result.unknowns.find((u) => u.path === path)?.origin ?? '';
}

function share(x: number, error: number): string {
  const percent = `${(100 * Math.min(1, Math.max(0, x))).toFixed(0)} %`;
  return error > 0.005 ? `${percent} ± ${(100 * error).toFixed(0)}` : percent;
}

/** Never 0 or 100 %: a finite number of draws cannot say so. */
function chance(p: number): string {
  return p > 0.995 ? 'over 99 %' : p < 0.005 ? 'under 1 %' : `${(100 * p).toFixed(0)} %`;
}

function interval(show: Shown, name: string, spread: Spread | undefined): string {
  return spread === undefined
    ? 'not reached'
    : `${shownFigure(show, name, spread.p50)}, nine in ten between ${shownFigure(show, name, spread.p5)} and ${shownFigure(show, name, spread.p95)}`;
}

const SPEEDS = ['top speed', 'average speed', 'cornering speed'];
const SHARES = ['tip margin', 'front grip used', 'rear grip used', 'engine share'];
const LENGTHS = ['stopping distance', 'limiter before braking'];

function unitOf(name: string): string {
  if (SPEEDS.includes(name)) return 'm/s';
  if (LENGTHS.includes(name)) return 'm';
  if (name === 'mean deceleration' || name === 'lateral acceleration') return 'm/s2';
  return SHARES.includes(name) || name === 'shifts' ? '-' : 's';
}

function shownFigure(show: Shown, name: string, x: number | null | undefined): string {
  if (x === null || x === undefined || !Number.isFinite(x)) return '-';
  switch (unitOf(name)) {
    case 'm/s':
      return show.value(x, 'speed', 1);
    case 'm':
      return show.value(x, 'length', 1);
    case 'm/s2':
      return show.value(x, 'acceleration', 2);
    case '-':
      return name === 'shifts' ? x.toFixed(0) : `${(100 * x).toFixed(0)} %`;
    default:
      return `${x.toFixed(2)} s`;
  }
}

function deltaOf(show: Shown, name: string, x: number): string {
  return shownFigure(show, name, x);
}
