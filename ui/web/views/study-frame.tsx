/** The head of a study: its question, the answer in words, how far it has come, what it lets one choose, cautions. */
import type { ComponentChildren } from 'preact';
import { useEffect, useMemo } from 'preact/hooks';
import type { Planned, Problem } from '../../../sim/index.ts';
import { useWorkbench } from '../state/context.ts';
import type { StudyOnPage } from '../state/study.ts';
import { STANDING_CAUTION, warningsOf } from '../words/cautions.ts';
import { ProblemList } from './problem-list.tsx';
import { StudyProgress } from './study-progress.tsx';

export interface StudyFrameProps {
  readonly id: string;
  readonly title: string;
  readonly sentence: string | undefined;
  readonly more?: string;
  readonly study: StudyOnPage<unknown>;
  readonly unit: string;
  readonly onAgain: () => void;
  readonly problems?: readonly Problem[];
  readonly controls?: ComponentChildren;
  readonly cautions?: readonly string[];
}

export function StudyFrame(props: StudyFrameProps) {
  const project = useWorkbench().project.value;
  const { id, title, sentence, more, study, unit, onAgain, problems = [], controls, cautions = [] } = props;
  return (
    <section class="headline" aria-labelledby={`${id}-title`}>
      <h2 class="question" id={`${id}-title`}>
        {title}
      </h2>
      {controls === undefined ? null : <div class="inline-fields">{controls}</div>}
      <ProblemList problems={problems.filter((p) => p.severity === 'problem')} project={project} />
      <p class={study.value.value.isOld ? 'lap-time stale' : 'lap-time'} id="study-sentence">
        {sentence ??
          (problems.some((p) => p.severity === 'problem') ? 'No answer yet.' : 'Being worked out …')}
      </p>
      {more === undefined ? null : <p>{more}</p>}
      <StudyProgress study={study} unit={unit} onAgain={onAgain} />
      {[...cautions, ...warningsOf(problems, true, project)].map((caution) => (
        <p key={caution} class="caution">
          {caution}
        </p>
      ))}
      <p class="standing">{STANDING_CAUTION}</p>
    </section>
  );
}

/** Plans a study for the state of the page named by `key` and starts it, and again when that changes. */
export function usePlanned<R>(study: StudyOnPage<R>, key: string, plan: () => Planned<R>) {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  // Of this project: by the time the study starts, another step may have been made.
  const revision = workbench.revision();
  const whole = `${revision} ${key}`;
  // Planning thousands of runs is no work for every repaint.
  const planned = useMemo(plan, [whole, project]);
  const start = (): void => {
    const { study: found } = planned;
    if (found !== undefined)
      study.start(whole, () => ({ project, revision: `study ${revision}`, study: found }));
  };
  useEffect(start, [whole, planned]);
  return { start, problems: planned.problems };
}
