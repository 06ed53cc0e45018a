/** The end of every verb that computes: the form asked for, problems on stderr, the exit code. */
import { writeFileSync } from 'node:fs';
import type { Problem, Request } from '../../sim/index.ts';
import { isBlocking, problemLine } from '../../sim/index.ts';
import type { Options } from './options.ts';
import type { HtmlReport } from './output/html-report.ts';
import { htmlReport } from './output/html-report.ts';
import type { Answered, CsvColumn } from './output/machine.ts';
import { asCsv, asJson, worst } from './output/machine.ts';
import type { Terminal } from './terminal.ts';
import { CommandLineError, EXIT } from './terminal.ts';

export interface Forms {
  readonly text: () => string;
  readonly csv: () => readonly CsvColumn[];
  readonly html: () => HtmlReport;
}

/** Prints the problems of a file that cannot be computed. */
export function refuse(problems: readonly Problem[], options: Options, terminal: Terminal): number {
  if (options.json === true) terminal.out(asJson([], problems));
  tell(problems, terminal);
  return EXIT.problems;
}

export function finish(
  runs: readonly Answered[],
  fileProblems: readonly Problem[],
  forms: Forms,
  options: Options,
  terminal: Terminal,
): number {
  const problems = runs.flatMap((r) => r.answer.problems);
  const usable = runs.some((r) => r.answer.result !== undefined);
  if (options.json === true)
    terminal.out(
      asJson(
        runs,
        fileProblems.filter((p) => p.severity === 'problem'),
      ),
    );
  else if (usable && options.csv === true) terminal.out(asCsv(forms.csv()));
  else if (usable) terminal.out(forms.text());
  if (usable && options.html !== undefined) writeReport(options.html, forms.html(), terminal);
  tellOfRuns(runs, terminal);
  switch (worst(runs)) {
    case 'problems':
      return EXIT.problems;
    case 'done':
      return isBlocking(problems) ? EXIT.numbers : EXIT.done;
    default:
      return EXIT.numbers;
  }
}

export function writeReport(file: string, report: HtmlReport, terminal: Terminal): void {
  try {
    writeFileSync(file, htmlReport(report));
  } catch (error) {
    throw new CommandLineError(`cannot write ${file}: ${error instanceof Error ? error.message : error}`);
  }
  terminal.err(`wrote ${file}\n`);
}

export function tell(problems: readonly Problem[], terminal: Terminal): void {
  for (const p of problems) terminal.err(`${p.severity}: ${problemLine(p)}\n`);
}

/** Each line once; of several runs, with the runs it belongs to. */
function tellOfRuns(runs: readonly Answered[], terminal: Terminal): void {
  const lines = new Map<string, { problem: Problem; requests: Set<Request> }>();
  for (const { request, answer } of runs)
    for (const p of answer.problems) {
      const line = `${p.severity} ${problemLine(p)}`;
      const entry = lines.get(line) ?? { problem: p, requests: new Set<Request>() };
      entry.requests.add(request);
      lines.set(line, entry);
    }
  for (const { problem, requests } of lines.values()) {
    const whose =
      runs.length === 1 ? '' : requests.size === runs.length ? 'every run: ' : `${runNames(requests)}: `;
    terminal.err(`${problem.severity}: ${whose}${problemLine(problem)}\n`);
  }
}

/** What tells these runs from the others of a command: `clodlet-four-asphalt, grass (in gear, shifting down)`. */
function runNames(requests: Iterable<Request>): string {
  const engines = new Map<string, string[]>();
  for (const asked of requests) {
    const request = asked.verb === 'sweep' ? asked.of : asked;
    const place = 'track' in request ? request.track : 'surface' in request ? request.surface : '';
    const who = place === '' ? request.kart : `${request.kart}, ${place}`;
    const of = engines.get(who) ?? [];
    if (request.verb === 'brake' && request.options.engine !== undefined) of.push(request.options.engine);
    engines.set(who, of);
  }
  return [...engines].map(([who, of]) => (of.length === 0 ? who : `${who} (${of.join(', ')})`)).join('; ');
}
