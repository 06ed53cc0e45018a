/** Which unit the page shows each kind of quantity in; a field keeps the unit its value is written in. */
import { DIMENSIONS, QUANTITIES, unitsOf } from '../../../../sim/index.ts';
import { ChoiceField } from '../../forms/choice-field.tsx';
import { useWorkbench } from '../../state/context.ts';
import { setValue } from '../../state/input-commands.ts';

export function UnitsCard() {
  const workbench = useWorkbench();
  const { units } = workbench.project.value;
  return (
    <details class="card part">
      <summary>
        <span class="part-role">Units</span> shown where a value is not written in one
      </summary>
      <div class="fields">
        {DIMENSIONS.filter((dimension) => unitsOf(dimension).length > 1 && dimension !== 'ratio').map(
          (dimension) => (
            <ChoiceField
              key={dimension}
              label={WORDS[dimension] ?? dimension}
              value={units[dimension] ?? ''}
              options={[
                { value: '', text: `as usual (${usual(dimension)})` },
                ...unitsOf(dimension).map(({ label }) => ({
                  value: label,
                  text: label === '' ? 'plain' : label,
                })),
              ]}
              onChoice={(unit) =>
                workbench.edit(
                  setValue(
                    `units.${dimension}`,
                    `${WORDS[dimension] ?? dimension} in ${unit}`,
                    unit || usual(dimension),
                  ),
                )
              }
            />
          ),
        )}
      </div>
    </details>
  );
}

/** The unit most quantities of a dimension are shown in. */
function usual(dimension: string): string {
  return Object.values(QUANTITIES).find((row) => row.dimension === dimension)?.shown ?? '';
}

const WORDS: Readonly<Record<string, string>> = {
  angularSpeed: 'Engine speed',
  length: 'Length',
  area: 'Area',
  volume: 'Volume',
  mass: 'Mass',
  force: 'Force',
  torque: 'Torque',
  power: 'Power',
  speed: 'Speed',
  pressure: 'Pressure',
  temperature: 'Temperature',
  time: 'Time',
  angle: 'Angle',
  acceleration: 'Acceleration',
  stiffness: 'Spring rate',
  rollStiffness: 'Roll stiffness',
  inertia: 'Inertia',
  density: 'Density',
};
