/** How quick here? The lap in words; map and plots over distance below. */
import type { LineKind } from '../../../sim/index.ts';
import { LINE_KINDS } from '../../../sim/index.ts';
import { ChoiceField } from '../forms/choice-field.tsx';
import { lineOf } from '../state/choice.ts';
import { useWorkbench } from '../state/context.ts';
import { lapCautions } from '../words/cautions.ts';
import { gearSentence, lapHeadline, limitSentence, paceSentence } from '../words/lap-words.ts';
import { LapView } from './lap-view.tsx';
import { PinsView } from './pins.tsx';
import { QuestionFrame } from './question-frame.tsx';

export function HowQuick() {
  const workbench = useWorkbench();
  const { result: lap, basis } = workbench.answers.lap.value;
  const unit = workbench.speedUnit.value;
  const project = workbench.project.value;
  const { track } = workbench.choice.value;
  const kept = project.tracks[track]?.lines ?? [];
  const kinds = LINE_KINDS.filter((kind) => kind === 'as drawn' || kept.some((line) => line.kind === kind));
  return (
    <>
      <QuestionFrame
        question="how-quick"
        {...(kinds.length < 2
          ? {}
          : {
              controls: (
                <ChoiceField
                  label="Line"
                  value={lineOf(workbench.choice.value, project)}
                  options={kinds.map((kind) => ({ value: kind, text: kind }))}
                  onChoice={(line) => workbench.choose({ line: line as LineKind })}
                />
              ),
            })}
        sentence={
          lap === undefined || basis === undefined
            ? undefined
            : lapHeadline(lap, lineOf(basis.choice, basis.project))
        }
        {...(lap === undefined
          ? {}
          : {
              more: `${limitSentence(lap)} ${paceSentence(lap, unit)} ${gearSentence(lap)}`,
              cautions: lapCautions(lap),
            })}
      />
      <PinsView question="how-quick" />
      <LapView />
    </>
  );
}
