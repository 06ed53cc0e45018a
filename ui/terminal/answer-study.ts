/**
 * Answers a study round by round and prints what it says, whole or as far as it came.
 *
 * In: project, planned study, forms. Out: an exit code. Ctrl-C leaves a partial result, marked as such.
 */
import type { Answer, Planned, Problem, Project } from '../../sim/index.ts';
import { isBlocking, MOST_ROUNDS, problem } from '../../sim/index.ts';
import { refuse, tell, writeReport } from './finish.ts';
import type { Options } from './options.ts';
import type { HtmlReport } from './output/html-report.ts';
import type { CsvColumn } from './output/machine.ts';
import { asCsv, plainArrays } from './output/machine.ts';
import type { StudyRunner } from './run-study.ts';
import { studyRunner } from './run-study.ts';
import type { Terminal } from './terminal.ts';
import { EXIT } from './terminal.ts';

export interface StudyForms<R> {
  readonly text: (result: R) => string;
  readonly csv: (result: R) => readonly CsvColumn[];
  readonly html: (result: R) => HtmlReport;
}

export async function answerStudy<R>(
  project: Project,
  { study, problems: planProblems }: Planned<R>,
  forms: StudyForms<R>,
  options: Options,
  terminal: Terminal,
): Promise<number> {
  if (study === undefined || isBlocking(planProblems)) return refuse(planProblems, options, terminal);
  const runner = studyRunner(terminal);
  try {
    const { answers, whole } = await allRounds(project, study, runner, terminal);
    const result = study.combine(answers);
    const problems: Problem[] = [...planProblems];
    if (!whole)
      problems.push(
        problem('stopped', '', 'stopped early: this rests on the runs made so far', {
          value: `${answers.filter((answer) => answer !== undefined).length} answers`,
        }),
      );
    if (result === undefined) {
      tell(problems, terminal);
      return EXIT.numbers;
    }
    if (options.json === true) {
      const object = {
        status: whole ? 'done' : 'partial',
        problems,
        result,
        diagnostics: { answers: answers.length },
      };
      terminal.out(`${JSON.stringify(object, plainArrays, 1)}\n`);
    } else if (options.csv === true) terminal.out(asCsv(forms.csv(result)));
    else terminal.out(forms.text(result));
    if (options.html !== undefined) writeReport(options.html, forms.html(result), terminal);
    tell(problems, terminal);
    return whole ? EXIT.done : EXIT.numbers;
  } finally {
    runner.dispose();
  }
}

async function allRounds<R>(
  project: Project,
  study: NonNullable<Planned<R>['study']>,
  runner: StudyRunner,
  terminal: Terminal,
): Promise<{ answers: (Answer | undefined)[]; whole: boolean }> {
  const answers: (Answer | undefined)[] = [];
  let round = study.requests;
  for (let rounds = 0; round.length > 0 && rounds < MOST_ROUNDS; rounds++) {
    const found = await runner.run(project, round, 'runs', (r) =>
      r.verb === 'sweep' ? r.variants.length : 1,
    );
    answers.push(...round.map((_, i) => found[i]));
    if (terminal.signal.aborted || answers.includes(undefined)) return { answers, whole: false };
    round = study.more?.(answers) ?? [];
  }
  return { answers, whole: true };
}
