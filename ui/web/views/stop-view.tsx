/** Will it stop straight? Two grounds, each with the clutch in and left in gear. */
import { useMemo } from 'preact/hooks';
import type { ThrustResult } from '../../../sim/index.ts';
import { ChoiceField } from '../forms/choice-field.tsx';
import { QuantityField } from '../forms/quantity-field.tsx';
import { DataTable, TableOf } from '../plots/data-table.tsx';
import { LinePlot } from '../plots/line-plot.tsx';
import type { NamedStop } from '../plots/stop-plots.ts';
import { stopCourseTable, stopPlot, stopTable } from '../plots/stop-plots.ts';
import { groundsOf } from '../state/choice.ts';
import { useWorkbench } from '../state/context.ts';
import { ENGINE_CAUTION, stopCautions } from '../words/cautions.ts';
import { speed } from '../words/numbers.ts';
import { engineSentence, stopSentence } from '../words/stop-words.ts';
import { Answer } from './answer.tsx';

/** m/s; below walking pace a stop says nothing. */
const SLOWEST_STOP = 5 / 3.6;

export function StopView() {
  const workbench = useWorkbench();
  const { answers } = workbench;
  const choice = workbench.choice.value;
  const project = workbench.project.value;
  const unit = workbench.speedUnit.value;
  const gears = answers.top.value.result?.gears ?? [];
  return (
    <section class="card stop" aria-labelledby="stop-title">
      <h2 id="stop-title" class="question">
        Will it stop straight?
      </h2>
      <div class="inline-fields">
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
      </div>
      <Answer shown={answers.stopHereClutch.value}>
        <StopAnswer />
      </Answer>
    </section>
  );
}

function StopAnswer() {
  const workbench = useWorkbench();
  const { answers } = workbench;
  const unit = workbench.speedUnit.value;
  const hereClutch = answers.stopHereClutch.value;
  const hereGear = answers.stopHereGear.value;
  const thereClutch = answers.stopThereClutch.value;
  const thereGear = answers.stopThereGear.value;
  const bests = [
    answers.bestHereClutch.value.result,
    answers.bestHereGear.value.result,
    answers.bestThereClutch.value.result,
    answers.bestThereGear.value.result,
  ];
  const shown = [hereClutch, hereGear, thereClutch, thereGear];
  const stops = useMemo(
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
  const plot = useMemo(() => stopPlot(stops, unit), [stops, unit]);
  const clutch = hereClutch.result;
  if (clutch === undefined || hereClutch.basis === undefined) return null;
  const ground = stops[0]?.ground.toLowerCase() ?? '';
  const sentence = stopSentence(clutch, hereClutch.basis.choice.stopFrom, ground, unit);
  const refused = [hereGear, thereGear]
    .filter((s) => s.freshness === 'failed')
    .flatMap((s) => s.problems)
    .filter((p) => p.severity === 'problem')[0];
  return (
    <>
      <p>
        {sentence}{' '}
        {hereGear.result === undefined || hereGear.freshness === 'failed'
          ? ''
          : engineSentence(clutch, hereGear.result)}
      </p>
      {stopCautions(stops).map((caution) => (
        <p key={caution} class="caution">
          {caution}
        </p>
      ))}
      {refused === undefined ? null : (
        <p class="caution">
          No stop in gear: {refused.message} ({refused.value}; limit {refused.limit}). {refused.remedy}.
        </p>
      )}
      <LinePlot plot={plot} saying={sentence} />
      <TableOf table={stopTable(stops)} caption="The four stops" />
      <DataTable
        caption="The stops"
        table={(most) => stopCourseTable(stops, unit, Math.ceil(most / stops.length))}
        fileName="stops.csv"
      />
      <OverRevs top={answers.top.value.result} unit={unit} />
    </>
  );
}

function OverRevs({ top, unit }: { top: ThrustResult | undefined; unit: string }) {
  if (top === undefined) return null;
  const gears = top.gears.filter((g) => Number.isFinite(g.safeDownshiftSpeed));
  return (
    <>
      {gears.length < 2 ? null : (
        <p class="worked">
          On a downshift the engine reaches its limit at{' '}
          {gears
            .slice(0, -1)
            .map((gear) => `${speed(gear.safeDownshiftSpeed, unit)} in gear ${gear.name}`)
            .join(', ')}
          .
        </p>
      )}
      <p class="rests">{ENGINE_CAUTION}</p>
    </>
  );
}
