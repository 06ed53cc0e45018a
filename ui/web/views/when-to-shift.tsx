/** When do I shift? Thrust in each gear, where the next one pulls as hard, and the speeds in the gears. */
import { useMemo } from 'preact/hooks';
import { TableOf } from '../plots/data-table.tsx';
import { LinePlot } from '../plots/line-plot.tsx';
import {
  downshiftTable,
  engineCurvePlot,
  shiftTable,
  speedsInGearsTable,
  thrustPlot,
} from '../plots/thrust-plots.ts';
import { useWorkbench } from '../state/context.ts';
import { BELT_CAUTION, OVER_REV_CAUTION } from '../words/cautions.ts';
import { topSpeedSentence } from '../words/run-words.ts';
import { beltOverRevSentence, dropSentence, isBelt, shiftSentence } from '../words/shift-words.ts';
import { Answer } from './answer.tsx';
import { PinsView } from './pins.tsx';
import { QuestionFrame } from './question-frame.tsx';

export function WhenToShift() {
  const workbench = useWorkbench();
  const { answers } = workbench;
  const unit = workbench.speedUnit.value;
  const shown = answers.top.value;
  const top = shown.result;
  const sheet = answers.sheet.value.result;
  const basis = shown.basis;
  const donor = basis?.project.donors[basis.project.karts[basis.choice.kart]?.donor ?? ''];
  const ground = basis?.project.surfaces[top?.surface ?? '']?.name.toLowerCase() ?? '';
  const plot = useMemo(() => (top === undefined ? undefined : thrustPlot(top, unit)), [top, unit]);
  const curve = useMemo(() => (sheet === undefined ? undefined : engineCurvePlot(sheet)), [sheet]);
  const sentence = top === undefined ? undefined : shiftSentence(top, unit);
  return (
    <>
      <QuestionFrame
        question="shift"
        sentence={sentence}
        {...(top === undefined
          ? {}
          : { more: `${dropSentence(top)} ${topSpeedSentence(top, ground, unit)}` })}
        cautions={[top !== undefined && isBelt(top) ? BELT_CAUTION : OVER_REV_CAUTION]}
      />
      <PinsView question="shift" />
      {top === undefined || plot === undefined || sentence === undefined ? null : (
        <>
          <section class="card" aria-labelledby="thrust-title">
            <h3 id="thrust-title">{isBelt(top) ? 'How the belt pulls' : 'Which gear pulls'}</h3>
            <Answer shown={{ ...shown, problems: [] }}>
              <div class="two">
                <LinePlot plot={plot} saying={sentence} />
                <TableOf table={shiftTable(top, unit)} caption={isBelt(top) ? 'The belt' : 'Shift points'} />
              </div>
            </Answer>
          </section>
          <section class="card" aria-labelledby="gears-title">
            <h3 id="gears-title">
              {isBelt(top) ? 'Speeds at either end of the belt' : 'Speeds in the gears'}
            </h3>
            <div class="two">
              <div>
                <TableOf
                  table={speedsInGearsTable(top, donor?.revLimit ?? 0, unit)}
                  caption={`Road speed in each ${isBelt(top) ? 'ratio' : 'gear'} by engine speed`}
                  keepsColumns
                />
                {isBelt(top) ? (
                  <p class="worked">{beltOverRevSentence(top, unit)}</p>
                ) : (
                  <>
                    <h4>Highest speed to change down at</h4>
                    <TableOf table={downshiftTable(top, unit)} caption="Highest safe speed into each gear" />
                  </>
                )}
              </div>
              {curve === undefined ? null : (
                <LinePlot
                  plot={curve}
                  saying="Torque and power at the crank at full throttle in the air of the day"
                />
              )}
            </div>
          </section>
        </>
      )}
    </>
  );
}
