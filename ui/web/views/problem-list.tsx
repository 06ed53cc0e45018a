/** What the reader or a run has to say: place, message, value, limit, remedy. */
import type { Problem } from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';

export function ProblemList({ problems }: { problems: readonly Problem[] }) {
  if (problems.length === 0) return null;
  return (
    <div role="status">
      <ul class="problems">
        {problems.map((problem) => (
          <li key={`${problem.path} ${problem.code} ${problem.message}`} class={problem.severity}>
            <strong>{WORD[problem.severity]}:</strong> {capital(problem.message)}
            {problem.value === undefined ? '' : ` (${problem.value})`}.
            {problem.limit === undefined ? '' : ` Limit: ${problem.limit}.`}
            {problem.remedy === undefined ? '' : ` ${capital(problem.remedy)}.`}
            {problem.path === '' ? null : <code>{problem.path}</code>}
          </li>
        ))}
      </ul>
    </div>
  );
}

const WORD: Readonly<Record<Problem['severity'], string>> = {
  problem: 'Stopped',
  warning: 'Look at this',
  repair: 'Put right',
};
