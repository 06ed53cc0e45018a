/** Slide or tip? Which comes first round a bend on two grounds, and how much is in hand round the lap. */
import { useMemo } from 'preact/hooks';
import { QuantityField } from '../forms/quantity-field.tsx';
import type { NamedCurve } from '../plots/corner-plots.ts';
import { accelerationsPlot, cornerPlot, cornerTable, loadTable } from '../plots/corner-plots.ts';
import { TableOf } from '../plots/data-table.tsx';
import { LinePlot } from '../plots/line-plot.tsx';
import { useWorkbench } from '../state/context.ts';
import { lapCautions, TIP_CAUTION } from '../words/cautions.ts';
import { cornerSentence, groundsSentence, marginSentence, stanceSentence } from '../words/corner-words.ts';
import { metres, percent } from '../words/numbers.ts';
import { Answer } from './answer.tsx';
import { PinsView, usePinned } from './pins.tsx';
import { QuestionFrame } from './question-frame.tsx';

export function SlideOrTip() {
  const workbench = useWorkbench();
  const { answers } = workbench;
  const unit = workbench.speedUnit.value;
  const project = workbench.project.value;
  const choice = workbench.choice.value;
  const corner = answers.corner.value.result;
  const sheet = answers.sheet.value.result;
  const lap = answers.lap.value.result;
  const groundName = (id: string): string => project.surfaces[id]?.name.toLowerCase() ?? id;
  return (
    <>
      <QuestionFrame
        question="slide-or-tip"
        sentence={corner === undefined ? undefined : cornerSentence(corner, groundName(corner.surface), unit)}
        controls={
          <QuantityField
            label="Radius of the bend"
            of="corner radius"
            name="radius"
            shown="m"
            echoed={['m', 'ft']}
            value={choice.radius}
            onValue={(radius) => workbench.choose({ radius })}
          />
        }
        {...(corner === undefined
          ? {}
          : {
              more: `${marginSentence(corner)} ${sheet === undefined ? '' : stanceSentence(sheet)} ${
                lap === undefined
                  ? ''
                  : `Round ${lap.track} the least in hand is ${percent(Math.max(0, lap.tipMargin))}, ${metres(lap.tipMarginAt)} from the start.`
              }`,
            })}
        cautions={[...(lap === undefined ? [] : lapCautions(lap)), TIP_CAUTION]}
      />
      <PinsView question="slide-or-tip" />
      <Curves />
      {lap === undefined ? null : <RoundTheLap />}
    </>
  );
}

function Curves() {
  const workbench = useWorkbench();
  const { answers } = workbench;
  const unit = workbench.speedUnit.value;
  const project = workbench.project.value;
  const hereShown = answers.cornersHere.value;
  const thereShown = answers.cornersThere.value;
  const sheet = answers.sheet.value.result;
  const pinned = usePinned('slide-or-tip', 'cornersHere');
  const named = (curve: NonNullable<typeof hereShown.result>): NamedCurve => ({
    name: project.surfaces[curve.surface]?.name ?? curve.surface,
    curve,
  });
  const here = hereShown.result === undefined ? undefined : named(hereShown.result);
  const there =
    thereShown.result === undefined || thereShown.result.surface === hereShown.result?.surface
      ? undefined
      : named(thereShown.result);
  const plot = useMemo(
    () =>
      here === undefined
        ? undefined
        : cornerPlot(
            [
              here,
              ...(there === undefined ? [] : [there]),
              ...pinned.map(({ letter, result }) => ({ name: `pin ${letter}`, curve: result })),
            ],
            unit,
          ),
    [here?.curve, there?.curve, unit, pinned],
  );
  if (here === undefined || plot === undefined) return null;
  const saying = [here, ...(there === undefined ? [] : [there])]
    .map(({ name, curve }) => groundsSentence(curve, name.toLowerCase()))
    .join(' ');
  return (
    <section class="card" aria-labelledby="curves-title">
      <h3 id="curves-title">Every radius</h3>
      <Answer shown={{ ...hereShown, problems: [] }}>
        <p>{saying}</p>
        <div class="two">
          <div>
            <LinePlot plot={plot} saying={saying} />
            {sheet === undefined ? null : <TableOf table={loadTable(here, sheet)} caption="Wheel loads" />}
          </div>
          <TableOf table={cornerTable(here, there, unit)} caption="Cornering speed by radius" />
        </div>
      </Answer>
    </section>
  );
}

function RoundTheLap() {
  const { answers } = useWorkbench();
  const shown = answers.lap.value;
  const lap = shown.result;
  const tipAt = answers.corner.value.result?.tipAt;
  const plot = useMemo(() => (lap === undefined ? undefined : accelerationsPlot(lap, tipAt)), [lap, tipAt]);
  if (lap === undefined || plot === undefined) return null;
  return (
    <section class="card" aria-labelledby="round-title">
      <h3 id="round-title">Round the lap</h3>
      <Answer shown={{ ...shown, problems: [] }}>
        <LinePlot
          plot={plot}
          saying={`The least in hand before the inner wheels lift is ${percent(Math.max(0, lap.tipMargin))}`}
        />
      </Answer>
    </section>
  );
}
