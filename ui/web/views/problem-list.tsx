/** What the reader or a run has to say: place, message, value, limit, remedy. */
import type { Problem, Project } from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';
import { placeWords } from '../words/field-words.ts';

export interface ProblemListProps {
  readonly problems: readonly Problem[];
  /** Places in it are said as the page says them; without it, those of a file, as they stand there. */
  readonly project?: Project;
}

export function ProblemList({ problems, project }: ProblemListProps) {
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
            <PlaceOf path={problem.path} project={project} />
          </li>
        ))}
      </ul>
    </div>
  );
}

function PlaceOf({ path, project }: { path: string; project: Project | undefined }) {
  if (path === '') return null;
  const words = project === undefined ? undefined : placeWords(path, project);
  return words === undefined ? <code>{path}</code> : <span class="place">{capital(words)}</span>;
}

const WORD: Readonly<Record<Problem['severity'], string>> = {
  problem: 'Stopped',
  warning: 'Look at this',
  repair: 'Put right',
};
