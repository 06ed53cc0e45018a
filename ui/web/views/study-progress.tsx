/** How far a study has come: count, Stop, go on; what went wrong; whether what is shown is of an older question. */
import type { StudyOnPage } from '../state/study.ts';
import { clockTime } from '../words/numbers.ts';

export interface StudyProgressProps {
  readonly study: StudyOnPage<unknown>;
  /** What is counted: "runs", "pairs of sprockets". */
  readonly unit: string;
  /** Asks again, after Stop or a failure. */
  readonly onAgain: () => void;
}

export function StudyProgress({ study, unit, onAgain }: StudyProgressProps) {
  const { state, done, total, isOld, at, problems } = study.value.value;
  return (
    <div class="study-progress" role="status">
      {state === 'working' ? (
        <>
          <span>
            {done} of {total} {unit}
            {isOld && at !== undefined ? `; below is the answer of ${clockTime(at)}` : ''}
          </span>
          <progress max={Math.max(1, total)} value={done} aria-label={`${unit} worked out`} />
          <button type="button" onClick={() => study.stop()}>
            Stop
          </button>
        </>
      ) : null}
      {state === 'stopped' || state === 'failed' ? (
        <>
          <span>
            {state === 'stopped' ? 'Stopped' : `Not finished: ${problems[0] ?? 'the numbers failed'}`},{' '}
            {total === 0 ? `before the first of the ${unit}` : `with ${done} of ${total} ${unit}`}.
          </span>
          <button type="button" onClick={onAgain}>
            Go on
          </button>
        </>
      ) : null}
    </div>
  );
}
