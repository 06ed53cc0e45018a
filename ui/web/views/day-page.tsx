/** The day: air, wind, and how the ground grips today; and what that does to engine and air drag. */
import { useWorkbench } from '../state/context.ts';
import { PartCard } from './parts/part-card.tsx';

export function DayPage() {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const { day: id } = workbench.choice.value;
  const sheet = workbench.answers.sheet.value.result;
  const day = project.days[id];
  if (day === undefined) return <p class="card">This project has no day.</p>;
  return (
    <div class="parts">
      <section class="headline" aria-labelledby="day-title">
        <h2 class="question" id="day-title">
          Day
        </h2>
        <p class="lap-time">{day.name}</p>
        {sheet === undefined ? null : (
          <p>
            Air of {sheet.airDensity.toFixed(3)} kg/m³ at {(sheet.airPressure / 100).toFixed(0)} hPa. The
            engine gives {(100 * sheet.torqueFactor).toFixed(1)} % of the torque on its sheet.
          </p>
        )}
      </section>
      <PartCard
        kind="days"
        id={id}
        label="Day"
        open={true}
        onChoose={(next) => workbench.choose({ day: next })}
      />
    </div>
  );
}
