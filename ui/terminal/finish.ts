/** The end of every verb that computes: the form asked for, problems on stderr, the exit code. */
import { writeFileSync } from 'node:fs';
import type { Problem } from '../../sim/index.ts';
import { isBlocking, problemLine } from '../../sim/index.ts';
import type { Options } from './command.ts';
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
  const problems = unique(runs.flatMap((r) => r.answer.problems));
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
  if (usable && options.html !== undefined) {
    try {
      writeFileSync(options.html, htmlReport(forms.html()));
    } catch (error) {
      throw new CommandLineError(
        `cannot write ${options.html}: ${error instanceof Error ? error.message : error}`,
      );
    }
    terminal.err(`wrote ${options.html}\n`);
  }
  tell(problems, terminal);
  switch (worst(runs)) {
    case 'problems':
      return EXIT.problems;
    case 'done':
      return isBlocking(problems) ? EXIT.numbers : EXIT.done;
    default:
      return EXIT.numbers;
  }
}

export function tell(problems: readonly Problem[], terminal: Terminal): void {
  for (const p of problems) terminal.err(`${p.severity}: ${problemLine(p)}\n`);
}

function unique(problems: readonly Problem[]): Problem[] {
  const seen = new Set<string>();
  return problems.filter((p) => {
    const key = problemLine(p);
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}
