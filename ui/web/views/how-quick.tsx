/** How quick here? The lap in words; map and plots over distance below. */
import { useWorkbench } from '../state/context.ts';
import { lapCautions } from '../words/cautions.ts';
import { gearSentence, lapHeadline, limitSentence, paceSentence } from '../words/lap-words.ts';
import { LapView } from './lap-view.tsx';
import { PinsView } from './pins.tsx';
import { QuestionFrame } from './question-frame.tsx';

export function HowQuick() {
  const workbench = useWorkbench();
  const lap = workbench.answers.lap.value.result;
  const unit = workbench.speedUnit.value;
  return (
    <>
      <QuestionFrame
        question="how-quick"
        sentence={lap === undefined ? undefined : lapHeadline(lap)}
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
