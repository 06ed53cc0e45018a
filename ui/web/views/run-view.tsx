/** Off the line: the run from standing on one ground. */
import { useMemo } from 'preact/hooks';
import type { AccelerationResult, ThrustResult } from '../../../sim/index.ts';
import { DataTable, TableOf } from '../plots/data-table.tsx';
import { LinePlot } from '../plots/line-plot.tsx';
import { markTable, runPlot, runTable } from '../plots/run-plots.ts';
import { useWorkbench } from '../state/context.ts';
import { runSentence, topSpeedSentence, tractionSentence } from '../words/run-words.ts';
import { Answer } from './answer.tsx';

export function RunView() {
  const workbench = useWorkbench();
  const shown = workbench.answers.run.value;
  const { result: run, basis } = shown;
  const unit = workbench.speedUnit.value;
  const ground = basis?.project.surfaces[run?.surface ?? '']?.name.toLowerCase() ?? '';
  return (
    <section class="card" aria-labelledby="run-title">
      <h2 id="run-title" class="question">
        Off the line
      </h2>
      <Answer shown={shown}>
        {run === undefined ? null : (
          <RunAnswer run={run} top={workbench.answers.top.value.result} ground={ground} unit={unit} />
        )}
      </Answer>
    </section>
  );
}

interface RunAnswerProps {
  readonly run: AccelerationResult;
  readonly top: ThrustResult | undefined;
  readonly ground: string;
  readonly unit: string;
}

function RunAnswer({ run, top, ground, unit }: RunAnswerProps) {
  const plot = useMemo(() => runPlot(run, unit), [run, unit]);
  const sentence = runSentence(run, ground, unit);
  return (
    <>
      <p>
        {sentence} {tractionSentence(run, unit)}{' '}
        {top === undefined ? '' : topSpeedSentence(top, ground, unit)}
      </p>
      <LinePlot plot={plot} saying={sentence} />
      <TableOf table={markTable(run, unit)} caption="Marks of the run from standing" />
      <DataTable
        caption="The run"
        table={(most) => runTable(run, unit, most)}
        fileName="run-from-standing.csv"
      />
    </>
  );
}
