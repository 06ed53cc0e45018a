/** What is looked at: kart, track, day, the ground of straight-line runs, the unit of speeds. */
import { ChoiceField, named } from '../forms/choice-field.tsx';
import { groundsOf } from '../state/choice.ts';
import { setSpeedUnit } from '../state/commands.ts';
import { useWorkbench } from '../state/context.ts';

export function PlaceBar() {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const choice = workbench.choice.value;
  return (
    <form class="place" aria-label="Kart, track and day" onSubmit={(event) => event.preventDefault()}>
      <ChoiceField
        label="Kart"
        value={choice.kart}
        options={named(project.karts)}
        onChoice={(kart) => workbench.choose({ kart, gear: 0 })}
      />
      <ChoiceField
        label="Track"
        value={choice.track}
        options={named(project.tracks)}
        onChoice={(track) => workbench.choose({ track })}
      />
      <ChoiceField
        label="Day"
        value={choice.day}
        options={named(project.days)}
        onChoice={(day) => workbench.choose({ day })}
      />
      <ChoiceField
        label="Straight-line runs on"
        value={choice.ground}
        options={[
          {
            value: 'track',
            // The ground first: a narrow list shows the beginning.
            text: `${project.surfaces[project.tracks[choice.track]?.surface ?? '']?.name ?? ''}, as the track`,
          },
          ...groundsOf(choice.kart, project).map((id) => ({
            value: id,
            text: project.surfaces[id]?.name ?? id,
          })),
        ]}
        onChoice={(ground) => workbench.choose({ ground })}
      />
      <ChoiceField
        label="Speeds in"
        value={workbench.speedUnit.value}
        options={['km/h', 'mph', 'm/s'].map((unit) => ({ value: unit, text: unit }))}
        onChoice={(unit) => workbench.edit(setSpeedUnit(unit))}
      />
    </form>
  );
}
