/** What don't I know? The spread of the answer, whether a comparison is decided, who is to blame, what to measure first. */
import { useSignal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import type { RunRequest, UnknownsResult } from '../../../sim/index.ts';
import { studyUnknowns } from '../../../sim/index.ts';
import { DOUBT_EXPLAINED } from '../../words/doubt-words.ts';
import { otherLineSentence } from '../../words/line-words.ts';
import { ChoiceField } from '../forms/choice-field.tsx';
import { TableOf } from '../plots/data-table.tsx';
import { LinePlot } from '../plots/line-plot.tsx';
import { unknownsPlot } from '../plots/unknowns-plots.ts';
import { useWorkbench } from '../state/context.ts';
import { MAIN_FIGURES } from '../state/main-figure.ts';
import { requestFor } from '../state/requests.ts';
import type { Question } from '../state/views.ts';
import { VIEW_WORDS } from '../state/views.ts';
import {
  belowHeadline,
  headline,
  intervalSentence,
  intervalTable,
  measuringTable,
  notMeasuredSaid,
  shareTable,
} from '../words/unknowns-words.ts';
import { StudyFrame, usePlanned } from './study-frame.tsx';

/** Questions whose run can be drawn thousands of times. */
const ABOUT = ['how-quick', 'off-the-line', 'stop', 'shift'] as const satisfies readonly Question[];
const DRAWS = [256, 1000, 2000, 8000] as const;

export function UnknownsPage() {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const { notes } = workbench.read.value;
  const choice = workbench.choice.value;
  const unit = workbench.speedUnit.value;
  const about = useSignal<(typeof ABOUT)[number]>('how-quick');
  const against = useSignal('');
  const draws = useSignal<number>(1000);
  const run = (kart: string): RunRequest =>
    requestFor(MAIN_FIGURES[about.value].slot, { ...choice, kart }, project);
  const karts = [choice.kart, ...(Object.hasOwn(project.karts, against.value) ? [against.value] : [])];
  const study = workbench.studies.unknowns;
  const { start } = usePlanned(
    study,
    `${about.value} ${karts.join()} ${draws.value} ${JSON.stringify(run(choice.kart))}`,
    () => studyUnknowns(project, notes, { runs: karts.map(run), draws: draws.value }),
  );
  const shown = study.value.value;
  const found = shown.result;
  const plot = useMemo(
    () => (found === undefined ? undefined : unknownsPlot(found, project, unit)),
    [found, unit],
  );
  const line = found?.verb === 'lap' ? otherLineSentence(project, choice, [choice.track]) : '';
  const look = shown.isOld ? 'card stale' : 'card';
  return (
    <div class="study">
      <StudyFrame
        id="unknowns"
        title={VIEW_WORDS.unknowns}
        sentence={found === undefined ? undefined : headline(found, project, unit)}
        more={found === undefined ? '' : `${belowHeadline(found, project, unit)} ${line}`.trim()}
        study={study}
        unit="batches"
        onAgain={start}
        controls={
          <>
            <ChoiceField
              label="About"
              value={about.value}
              options={ABOUT.map((value) => ({ value, text: VIEW_WORDS[value] }))}
              onChoice={(next) => {
                about.value = next as (typeof ABOUT)[number];
              }}
            />
            <ChoiceField
              label="Compared with"
              value={against.value}
              options={[
                { value: '', text: 'no other kart' },
                ...Object.entries(project.karts)
                  .filter(([id]) => id !== choice.kart)
                  .map(([value, { name }]) => ({ value, text: name })),
              ]}
              onChoice={(next) => {
                against.value = next;
              }}
            />
            <ChoiceField
              label="Draws: more are steadier and slower"
              value={String(draws.value)}
              options={DRAWS.map((n) => ({ value: String(n), text: String(n) }))}
              onChoice={(next) => {
                draws.value = Number(next);
              }}
            />
          </>
        }
        cautions={[
          'The interval is no surer than the spreads that went in: a guess taken for certain makes it too narrow.',
        ]}
      />
      {found === undefined ? null : (
        <>
          <section class={look} aria-labelledby="unknowns-intervals">
            <h3 id="unknowns-intervals">How far to trust each figure</h3>
            {plot === undefined ? null : (
              <LinePlot plot={plot} saying={intervalSentence(found, 0, project, unit)} />
            )}
            <TableOf table={intervalTable(found, project, unit)} caption="Intervals of the figures" />
          </section>
          {shownOrder(found).map(([variance, v], place) => (
            <section
              key={`${variance.kart} ${variance.against ?? ''}`}
              class={look}
              aria-labelledby={`unknowns-variance-${v}`}
            >
              <h3 id={`unknowns-variance-${v}`}>
                {variance.against === undefined
                  ? `Who is to blame, ${project.karts[variance.kart]?.name}`
                  : `Who is to blame for the difference between ${project.karts[variance.kart]?.name} and ${project.karts[variance.against]?.name}`}
              </h3>
              {variance.from === 'sampled' ? null : (
                <p class="field-says">
                  {variance.shares.length === 0
                    ? 'The draws come first; each unknown moved alone follows.'
                    : 'By moving each alone so far; the draws that tell what acts together follow.'}
                </p>
              )}
              {variance.shares.length === 0 ? null : (
                <>
                  <TableOf table={shareTable(found, v, project)} caption={`Shares of the doubt ${v + 1}`} />
                  {place === 0 ? <p class="field-says">{DOUBT_EXPLAINED}</p> : null}
                </>
              )}
              {variance.measuring.length + variance.notMeasured.length === 0 ? null : (
                <h4>What to measure first</h4>
              )}
              {variance.measuring.length === 0 ? null : (
                <TableOf table={measuringTable(found, v, project)} caption={`What to measure ${v + 1}`} />
              )}
              {variance.notMeasured.length === 0 ? null : (
                <>
                  <p>To blame, but not to be measured by itself:</p>
                  <ul class="worked">
                    {notMeasuredSaid(found, v, project).map((line) => (
                      <li key={line}>{line}</li>
                    ))}
                  </ul>
                </>
              )}
            </section>
          ))}
        </>
      )}
    </div>
  );
}

/** With its place in the result; what two karts differ in first, for that is what was asked. */
function shownOrder({ variance }: UnknownsResult): (readonly [UnknownsResult['variance'][number], number])[] {
  const places = variance.map((one, v) => [one, v] as const);
  return [
    ...places.filter(([{ against }]) => against !== undefined),
    ...places.filter(([{ against }]) => against === undefined),
  ];
}
