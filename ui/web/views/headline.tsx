/** The answer in words, first on the page; and a short form that stays in sight while scrolling on a phone. */
import { useWorkbench } from '../state/context.ts';
import { LEFT_OUT, lapCautions, STANDING_CAUTION } from '../words/cautions.ts';
import { originSentence } from '../words/inputs-words.ts';
import {
  changeSentence,
  gearSentence,
  lapHeadline,
  limitSentence,
  paceSentence,
} from '../words/lap-words.ts';
import { seconds, speed } from '../words/numbers.ts';
import { Answer } from './answer.tsx';
import { useLate } from './late.ts';

export function Headline() {
  const workbench = useWorkbench();
  const shown = workbench.answers.lap.value;
  const unit = workbench.speedUnit.value;
  const lap = shown.result;
  const before = workbench.before.value;
  const basis = shown.basis;
  const notes = workbench.read.value.notes;
  return (
    <section class="headline" aria-labelledby="headline-title">
      <h2 id="headline-title" class="question">
        How quick here?
      </h2>
      <Answer shown={shown}>
        {lap === undefined || basis === undefined ? null : (
          <>
            <div class="verdict">
              <p class="lap-time" id="lap-sentence">
                {lapHeadline(lap)}
              </p>
              <p class="change" role="status">
                {before !== undefined && shown.freshness !== 'failed'
                  ? changeSentence(before.label, before.time, lap.time)
                  : ''}
              </p>
            </div>
            <p>
              {limitSentence(lap)} {paceSentence(lap, unit)} {gearSentence(lap)}
            </p>
            {lapCautions(lap).map((caution) => (
              <p key={caution} class="caution">
                {caution}
              </p>
            ))}
            <details class="rests">
              <summary>
                {STANDING_CAUTION} <b>What it rests on</b>
              </summary>
              <p>
                {originSentence(notes, basis.choice, basis.project)} {LEFT_OUT}
              </p>
            </details>
          </>
        )}
      </Answer>
    </section>
  );
}

/** One line for small screens. */
export function HeadlineStrip() {
  const workbench = useWorkbench();
  const shown = workbench.answers.lap.value;
  const lap = shown.result;
  const late = useLate(shown.freshness === 'updating') || shown.freshness === 'failed';
  if (lap === undefined) return null;
  const before = workbench.before.value;
  const change = before === undefined ? 0 : lap.time - before.time;
  return (
    <div class={late ? 'strip stale' : 'strip'} aria-hidden="true">
      <span>{lap.track}</span>
      <strong>{seconds(lap.time)}</strong>
      <span>
        {before === undefined || Math.abs(change) < 0.005
          ? `${speed(lap.topSpeed, workbench.speedUnit.value)} at most`
          : `${change < 0 ? '−' : '+'}${Math.abs(change).toFixed(2)} s`}
      </span>
    </div>
  );
}
