/** Rules of thumb, put to the test for this kart: the rule, whether it holds here, by how much, when it turns. */
import { useEffect } from 'preact/hooks';
import { planRules } from '../../../sim/index.ts';
import { otherLineSentence } from '../../words/line-words.ts';
import { TableOf } from '../plots/data-table.tsx';
import { useWorkbench } from '../state/context.ts';
import { STANDING_CAUTION } from '../words/cautions.ts';
import { saidRules } from '../words/rules-words.ts';
import { StudyProgress } from './study-progress.tsx';

export function RulesPage() {
  const workbench = useWorkbench();
  const study = workbench.studies.rules;
  const project = workbench.project.value;
  const { kart, day, stopFrom, line } = workbench.choice.value;
  // Of this project: by the time the study starts, another step may have been made.
  const revision = workbench.revision();
  const key = `${revision} ${kart} ${day} ${line} ${stopFrom}`;
  const start = (): void =>
    study.start(key, () => {
      const plan = planRules(project, { kart, day, line, tracks: Object.keys(project.tracks), stopFrom });
      return { project, revision: `study ${revision}`, study: plan };
    });
  useEffect(start, [key]);
  const shown = study.value.value;
  const rules = shown.result === undefined ? [] : saidRules(shown.result, project);
  return (
    <div class="rules">
      <section class="headline" aria-labelledby="rules-title">
        <h2 class="question" id="rules-title">
          Rules of thumb
        </h2>
        <p class="lap-time" id="rules-sentence">
          {rules.length === 0 ? 'Being put to the test …' : tally(rules.map((rule) => rule.verdict))}
        </p>
        <p>
          Sayings of the trade, common practice without a source, worked out for {project.karts[kart]?.name}{' '}
          on every track of this project.{' '}
          {otherLineSentence(project, { kart, day, line }, Object.keys(project.tracks))}
        </p>
        <StudyProgress study={study} unit="runs" onAgain={start} />
        <p class="standing">{STANDING_CAUTION}</p>
      </section>
      {rules.map(({ rule, verdict, sentence, table }) => (
        <section key={rule} class={shown.isOld ? 'card rule stale' : 'card rule'} aria-label={rule}>
          <h3>
            “{rule}” <span class={`rule-verdict ${verdict === 'holds here' ? '' : 'not'}`}>{verdict}</span>
          </h3>
          <p>{sentence}</p>
          {table.rows.length === 0 ? null : (
            <details class="behind">
              <summary>The numbers</summary>
              <TableOf table={table} caption={`Numbers of the rule: ${rule}`} />
            </details>
          )}
        </section>
      ))}
    </div>
  );
}

function tally(verdicts: readonly string[]): string {
  const count = (word: string): number => verdicts.filter((verdict) => verdict === word).length;
  const parts = [
    [count('holds here'), 'hold here'],
    [count('holds in part'), 'in part'],
    [count('does not hold here'), 'not'],
    [count('cannot be said'), 'cannot be said'],
  ] as const;
  return `Of ${verdicts.length} rules ${parts
    .filter(([n]) => n > 0)
    .map(([n, word]) => `${n} ${word}`)
    .join(', ')}.`;
}
