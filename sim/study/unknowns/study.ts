/**
 * The unknowns as a study like the others: draws first, then the runs that share the variance out.
 *
 * In: project, notes, options. Out: what to ask and what the answers so far say; or why there is nothing to ask.
 */
import type { InputNote } from '../../project/origins.ts';
import { problem } from '../../project/problem.ts';
import type { Project } from '../../project/schema.ts';
import type { Answers, Planned } from '../study.ts';
import type { SweepAnswers } from './answers.ts';
import { combineUnknowns, type UnknownsResult } from './combine.ts';
import type { UnknownsOptions } from './plan.ts';
import { planUnknowns } from './plan.ts';
import type { SharesPlan } from './plan-shares.ts';
import { planShares } from './plan-shares.ts';

export function studyUnknowns(
  project: Project,
  notes: readonly InputNote[],
  options: UnknownsOptions,
): Planned<UnknownsResult> {
  if (options.runs.length === 0)
    return { problems: [problem('nothing-asked', '', 'there is no run to ask about')] };
  const plan = planUnknowns(project, notes, options);
  const drawn = plan.requests.length;
  // Follows from the first answers alone, and is asked for again and again while the others come in.
  let kept: SharesPlan | undefined;
  const sharesOf = (answers: Answers) => {
    kept ??= planShares(plan, answers.slice(0, drawn) as SweepAnswers);
    return kept;
  };
  return {
    problems: [],
    study: {
      requests: plan.requests,
      more: (answers) => (answers.length > drawn ? [] : (sharesOf(answers)?.requests ?? [])),
      combine: (answers) => {
        const first = answers.slice(0, drawn) as SweepAnswers;
        if (!first.some((answer) => answer?.result !== undefined)) return undefined;
        const shares = answers.length > drawn ? sharesOf(answers) : undefined;
        return shares === undefined
          ? combineUnknowns(plan, first)
          : combineUnknowns(plan, first, { plan: shares, answers: answers.slice(drawn) as SweepAnswers });
      },
    },
  };
}
