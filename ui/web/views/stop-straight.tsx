/** Will it stop straight? Two grounds, each with the clutch in and left in gear; the rear's budget; the balance. */
import { useMemo } from 'preact/hooks';
import { ChoiceField } from '../forms/choice-field.tsx';
import { QuantityField } from '../forms/quantity-field.tsx';
import { balancePlot, budgetPlot, budgetTable } from '../plots/brake-plots.ts';
import { TableOf } from '../plots/data-table.tsx';
import { LinePlot } from '../plots/line-plot.tsx';
import type { NamedStop } from '../plots/stop-plots.ts';
import { stopCourseTable, stopPlot, stopTable } from '../plots/stop-plots.ts';
import { downshiftTable } from '../plots/thrust-plots.ts';
import { groundsOf } from '../state/choice.ts';
import { useWorkbench } from '../state/context.ts';
import { BELT_ENGINE_CAUTION, ENGINE_CAUTION, stopCautions } from '../words/cautions.ts';
import { percent, speed } from '../words/numbers.ts';
import { beltOverRevSentence, isBelt } from '../words/shift-words.ts';
import { engineSentence, stopSentence } from '../words/stop-words.ts';
import { Answer } from './answer.tsx';
import { loadedView } from './loaded-view.tsx';
import { PinsView, usePinned } from './pins.tsx';
import { QuestionFrame } from './question-frame.tsx';

const BalanceStudy = loadedView(() => import('./balance-study.tsx').then((m) => m.BalanceStudy));

/** m/s; below walking pace a stop says nothing. */
const SLOWEST_STOP = 5 / 3.6;

export function StopStraight() {
  const workbench = useWorkbench();
  const { answers } = workbench;
  const unit = workbench.speedUnit.value;
  const stops = useStops();
  const hereClutch = answers.stopHereClutch.value;
  const hereGear = answers.stopHereGear.value;
  const clutch = hereClutch.result;
  const top = answers.top.value.result;
  const basis = hereClutch.basis;
  const ground = stops[0]?.ground.toLowerCase() ?? '';
  const sentence =
    clutch === undefined || basis === undefined
      ? undefined
      : stopSentence(clutch, basis.choice.stopFrom, ground, unit);
  const refused = [hereGear, answers.stopThereGear.value]
    .filter((s) => s.freshness === 'failed')
    .flatMap((s) => s.problems)
    .filter((p) => p.severity === 'problem')[0];
  return (
    <>
      <QuestionFrame
        question="stop"
        sentence={sentence}
        controls={<StopControls />}
        more={
          clutch === undefined || hereGear.result === undefined || hereGear.freshness === 'failed'
            ? ''
            : engineSentence(clutch, hereGear.result)
        }
        cautions={[
          ...stopCautions(stops),
          ...(refused === undefined
            ? []
            : [
                `No stop in gear: ${refused.message} (${refused.value}; limit ${refused.limit}). ${refused.remedy}.`,
              ]),
          top !== undefined && isBelt(top) ? BELT_ENGINE_CAUTION : ENGINE_CAUTION,
        ]}
      />
      <PinsView question="stop" />
      {sentence === undefined ? null : (
        <>
          <StopsCard stops={stops} sentence={sentence} />
          <BalanceStudy />
          <BalanceCard />
          <BudgetCard stops={stops} />
        </>
      )}
    </>
  );
}

function StopControls() {
  const workbench = useWorkbench();
  const choice = workbench.choice.value;
  const project = workbench.project.value;
  const unit = workbench.speedUnit.value;
  const top = workbench.answers.top.value.result;
  const gears = top?.gears ?? [];
  return (
    <>
      <QuantityField
        label="Stop from"
        of="stop from"
        name="speed"
        shown={unit}
        echoed={unit === 'mph' ? ['mph', 'km/h'] : ['km/h', 'mph']}
        value={choice.stopFrom}
        narrow={(read) =>
          read.ok && read.value < SLOWEST_STOP
            ? {
                ok: false,
                message: 'too slow to call it a stop',
                limit: `${speed(SLOWEST_STOP, unit)} or more`,
              }
            : read
        }
        onValue={(stopFrom) => workbench.choose({ stopFrom })}
      />
      {top !== undefined && isBelt(top) ? null : (
        <ChoiceField
          label="In gear means"
          value={String(choice.gear)}
          options={[
            { value: '0', text: 'the one you would be in' },
            ...gears.map((gear, i) => ({
              value: String(i + 1),
              text: `gear ${gear.name}, limit at ${speed(gear.safeDownshiftSpeed, unit)}`,
            })),
          ]}
          onChoice={(gear) => workbench.choose({ gear: Number(gear) })}
        />
      )}
      <ChoiceField
        label="Compared on"
        value={choice.otherGround}
        options={[
          {
            value: 'other',
            text: `other: ${project.surfaces[workbench.otherGround.value]?.name ?? ''}`,
          },
          ...groundsOf(choice.kart, project).map((id) => ({
            value: id,
            text: project.surfaces[id]?.name ?? id,
          })),
        ]}
        onChoice={(otherGround) => workbench.choose({ otherGround })}
      />
    </>
  );
}

/** The four stops that have an answer, with the share that would suit each. */
function useStops(): readonly NamedStop[] {
  const { answers } = useWorkbench();
  const shown = [
    answers.stopHereClutch.value,
    answers.stopHereGear.value,
    answers.stopThereClutch.value,
    answers.stopThereGear.value,
  ];
  const bests = [
    answers.bestHereClutch.value.result,
    answers.bestHereGear.value.result,
    answers.bestThereClutch.value.result,
    answers.bestThereGear.value.result,
  ];
  return useMemo(
    () =>
      shown.flatMap(({ result, basis, freshness }, i): NamedStop[] => {
        const best = bests[i];
        if (result === undefined || basis === undefined || freshness === 'failed') return [];
        return [
          {
            stop: result,
            ground: basis.project.surfaces[result.surface]?.name ?? result.surface,
            place: i < 2 ? 'here' : 'there',
            ...(best === undefined ? {} : { best }),
          },
        ];
      }),
    [...shown.map((s) => s.result), ...shown.map((s) => s.freshness === 'failed'), ...bests],
  );
}

function StopsCard({ stops, sentence }: { stops: readonly NamedStop[]; sentence: string }) {
  const workbench = useWorkbench();
  const unit = workbench.speedUnit.value;
  const pinned = usePinned('stop', 'stopHereClutch');
  const plot = useMemo(() => stopPlot(stops, unit, pinned), [stops, unit, pinned]);
  return (
    <section class="card" aria-labelledby="stops-title">
      <h3 id="stops-title">The four stops</h3>
      <Answer shown={{ ...workbench.answers.stopHereClutch.value, problems: [] }}>
        <div class="two">
          <LinePlot
            plot={plot}
            saying={sentence}
            table={(most) => stopCourseTable(stops, unit, Math.ceil(most / Math.max(1, stops.length)))}
          />
          <TableOf table={stopTable(stops)} caption="The four stops side by side" />
        </div>
      </Answer>
    </section>
  );
}

/** What the engine takes of the rear tyres in each gear, and how fast one may still be going to change down. */
function BudgetCard({ stops }: { stops: readonly NamedStop[] }) {
  const workbench = useWorkbench();
  const top = workbench.answers.top.value.result;
  const unit = workbench.speedUnit.value;
  const from = workbench.choice.value.stopFrom;
  const budgets = useMemo(
    () =>
      stops.flatMap(({ stop, ground, best }) =>
        best === undefined || stop.engine !== 'clutch in' ? [] : [{ ground: ground.toLowerCase(), best }],
      ),
    [stops],
  );
  const plot = useMemo(
    () => (top === undefined ? undefined : budgetPlot(top, budgets, unit)),
    [top, budgets, unit],
  );
  if (top === undefined || plot === undefined) return null;
  const downshifts = downshiftTable(top, unit);
  return (
    <section class="card" aria-labelledby="budget-title">
      <h3 id="budget-title">What the engine takes of the rear</h3>
      <p>
        A closed throttle brakes the rear wheels alone. What it takes of their grip the rear brakes cannot
        have; where it takes all, staying in gear locks the rear by itself. The harder the stop, the more of
        the drag goes into slowing the engine’s own flywheel: that part is left out.
      </p>
      <div class="two">
        <LinePlot
          plot={plot}
          saying={`Engine braking at the wheels${isBelt(top) ? '' : ' in each gear'}, against all the rear tyres can take`}
        />
        <div>
          <TableOf
            table={budgetTable(top, budgets, from, unit)}
            caption={isBelt(top) ? 'Engine braking' : 'Engine braking per gear'}
          />
          {isBelt(top) ? <p class="worked">{beltOverRevSentence(top, unit)}</p> : null}
          {downshifts.rows.length === 0 ? null : (
            <p class="worked">
              Highest speed to change down at:{' '}
              {downshifts.rows.map(([gear, most]) => `into ${gear} ${most}`).join(', ')}. Above it the engine
              is driven past what it survives.
            </p>
          )}
        </div>
      </div>
    </section>
  );
}

function BalanceCard() {
  const workbench = useWorkbench();
  const here = workbench.answers.balanceHere.value;
  const there = workbench.answers.balanceThere.value;
  const project = workbench.project.value;
  const plot = useMemo(() => {
    if (here.result === undefined) return undefined;
    const named = [here.result, ...(there.result === undefined ? [] : [there.result])].map((curve) => ({
      ground: project.surfaces[curve.surface]?.name ?? curve.surface,
      curve,
    }));
    return balancePlot(here.result, named);
  }, [here.result, there.result]);
  if (plot === undefined || here.result === undefined) return null;
  const { frontLocksAt, rearLocksAt, frontShare } = here.result;
  const ground = project.surfaces[here.result.surface]?.name.toLowerCase() ?? '';
  const g = (rate: number | null): string => (rate === null ? 'never' : `at ${rate.toFixed(2)} g`);
  return (
    <section class="card" aria-labelledby="balance-title">
      <h3 id="balance-title">The balance</h3>
      <p>
        With {percent(frontShare)} in front, on {ground}, clutch in: the front would lock {g(frontLocksAt)},
        the rear {g(rearLocksAt)}; the lower of the two comes first. That is of the brakes alone: rolling and
        air slow the kart beside them, so that a whole stop comes out harder. Below the line the rear locks
        first, above it the front.
      </p>
      <LinePlot
        plot={plot}
        saying={`The harder it brakes, the more the front should do; set is ${percent(frontShare)}`}
      />
      <p class="rests">
        Bed new pads and discs before trusting any setting, and try it at walking pace first. Uneven left and
        right is not in this: a pull to one side is a fault to find, not a setting.
      </p>
    </section>
  );
}
