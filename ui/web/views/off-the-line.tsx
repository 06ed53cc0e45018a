/** Off the line: the run from standing on one ground. */
import { useMemo } from 'preact/hooks';
import { TableOf } from '../plots/data-table.tsx';
import { LinePlot } from '../plots/line-plot.tsx';
import { markTable, runEnginePlot, runPlot, runTable } from '../plots/run-plots.ts';
import { useWorkbench } from '../state/context.ts';
import { clutchSentence, runSentence, topSpeedSentence, tractionSentence } from '../words/run-words.ts';
import { Answer } from './answer.tsx';
import { PinsView, usePinned } from './pins.tsx';
import { QuestionFrame } from './question-frame.tsx';

export function OffTheLine() {
  const workbench = useWorkbench();
  const shown = workbench.answers.run.value;
  const top = workbench.answers.top.value.result;
  const { result: run, basis } = shown;
  const unit = workbench.speedUnit.value;
  const pinned = usePinned('off-the-line', 'run');
  const ground = basis?.project.surfaces[run?.surface ?? '']?.name.toLowerCase() ?? '';
  const donor = basis?.project.donors[basis.project.karts[basis.choice.kart]?.donor ?? ''];
  const plot = useMemo(
    () => (run === undefined ? undefined : runPlot(run, unit, pinned)),
    [run, unit, pinned],
  );
  const enginePlot = useMemo(
    () => (run === undefined ? undefined : runEnginePlot(run, donor?.revLimit ?? 0)),
    [run, donor],
  );
  const sentence = run === undefined ? undefined : runSentence(run, ground, unit);
  return (
    <>
      <QuestionFrame
        question="off-the-line"
        sentence={sentence}
        {...(run === undefined
          ? {}
          : {
              more: `${tractionSentence(run, unit)} ${clutchSentence(run)} ${top === undefined ? '' : topSpeedSentence(top, ground, unit)}`,
            })}
      />
      <PinsView question="off-the-line" />
      {run === undefined ||
      plot === undefined ||
      enginePlot === undefined ||
      sentence === undefined ? null : (
        <section class="card wide" aria-label="The run from standing">
          <Answer shown={{ ...shown, problems: [] }}>
            <div class="two">
              <LinePlot plot={plot} saying={sentence} table={(most) => runTable(run, unit, most)} />
              <LinePlot
                plot={enginePlot}
                saying={`${run.shifts === null ? 'Engine speed' : 'Engine speed and gear'} over the run`}
              />
            </div>
            <TableOf table={markTable(run, unit)} caption="Marks of the run from standing" />
          </Answer>
        </section>
      )}
    </>
  );
}
