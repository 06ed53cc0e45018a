/** Frame of an answer: greyed while a newer one is worked out, dated when the newer one failed. */
import type { ComponentChildren } from 'preact';
import type { Shown } from '../state/answers.ts';
import { useWorkbench } from '../state/context.ts';
import { clockTime } from '../words/numbers.ts';
import { useLate } from './late.ts';
import { ProblemList } from './problem-list.tsx';

export interface AnswerProps {
  readonly shown: Shown<unknown>;
  readonly children: ComponentChildren;
}

export function Answer({ shown, children }: AnswerProps) {
  const project = useWorkbench().project.value;
  const waiting = useLate(shown.freshness === 'updating');
  const failed = shown.freshness === 'failed';
  const look = failed ? 'answer kept' : waiting ? 'answer stale' : 'answer';
  return (
    <div class={look} aria-busy={waiting}>
      {failed ? (
        <>
          <ProblemList problems={shown.problems.filter((p) => p.severity === 'problem')} project={project} />
          {shown.basis === undefined ? null : (
            <p class="dated">
              Below is the last answer there was, of {clockTime(shown.basis.at)}, {basisWords(shown)}.
            </p>
          )}
        </>
      ) : null}
      {shown.result === undefined && !failed ? <p class="dated">Working it out …</p> : children}
    </div>
  );
}

function basisWords({ basis }: Shown<unknown>): string {
  const kart = basis?.project.karts[basis.choice.kart];
  if (kart === undefined) return '';
  const teeth = kart.sprockets;
  return teeth === undefined ? `for ${kart.name}` : `for ${kart.name} on ${teeth.front}/${teeth.rear}`;
}
