/** The kart as it is built: which parts, and every number of each; what it amounts to beside it. */
import { useWorkbench } from '../state/context.ts';
import { setValue } from '../state/input-commands.ts';
import { stanceSentence } from '../words/corner-words.ts';
import { engineSpeed, percent } from '../words/numbers.ts';
import { BESIDE, INSTEAD } from './parts/editors.ts';
import { PartCard } from './parts/part-card.tsx';
import { SprocketBox } from './parts/sprocket-box.tsx';
import { UnitsCard } from './parts/units-card.tsx';

export function KartPage() {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const { kart: id } = workbench.choice.value;
  const kart = project.karts[id];
  if (kart === undefined) return <p class="card">This project has no kart.</p>;
  const put =
    (place: string, role: string, kind: 'chassis' | 'donors' | 'brakes' | 'tyres') => (part: string) =>
      workbench.edit(setValue(`karts.${id}.${place}`, `${role} ${project[kind][part]?.name ?? part}`, part));
  const special = { instead: INSTEAD, beside: BESIDE };
  return (
    <div class="parts">
      <section class="headline" aria-labelledby="kart-title">
        <h2 class="question" id="kart-title">
          Kart
        </h2>
        <p class="lap-time">{kart.name}</p>
        <KartAmounts />
      </section>
      <PartCard
        kind="karts"
        id={id}
        label="Kart"
        {...special}
        onChoose={(next) => workbench.choose({ kart: next, gear: 0 })}
      />
      <PartCard
        kind="chassis"
        id={kart.chassis}
        label="Chassis"
        {...special}
        onChoose={put('chassis', 'chassis', 'chassis')}
      />
      <PartCard
        kind="donors"
        id={kart.donor}
        label="Donor"
        {...special}
        onChoose={put('donor', 'donor', 'donors')}
      />
      <PartCard
        kind="brakes"
        id={kart.brakes}
        label="Brakes"
        {...special}
        onChoose={put('brakes', 'brakes', 'brakes')}
      />
      <PartCard
        kind="tyres"
        id={kart.tyres.front}
        label="Front tyres"
        {...special}
        onChoose={put('tyres.front', 'front tyres', 'tyres')}
      />
      {kart.tyres.rear === kart.tyres.front ? null : (
        <PartCard
          kind="tyres"
          id={kart.tyres.rear}
          label="Rear tyres"
          {...special}
          onChoose={put('tyres.rear', 'rear tyres', 'tyres')}
        />
      )}
      <SprocketBox />
      <UnitsCard />
    </div>
  );
}

/** What the parts amount to together, from the solver. */
function KartAmounts() {
  const { answers } = useWorkbench();
  const sheet = answers.sheet.value.result;
  if (sheet === undefined) return null;
  return (
    <p>
      {sheet.mass.toFixed(0)} kg with driver, {percent(sheet.frontWeightShare)} in front; centre of gravity{' '}
      {(sheet.cgHeight * 1000).toFixed(0)} mm high. {stanceSentence(sheet)} The engine makes{' '}
      {sheet.peakTorque.toFixed(0)} N·m at {engineSpeed(sheet.peakTorqueAt)} and{' '}
      {(sheet.peakPower / 1000).toFixed(0)} kW at {engineSpeed(sheet.peakPowerAt)} at the crank on the day.{' '}
      {percent(sheet.brakeFrontShare)} of the braking force goes to the front.
    </p>
  );
}
