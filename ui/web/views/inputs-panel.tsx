/** What a builder changes most, beside the question it moves: teeth, brakes, tyres and weight. */
import type { Project } from '../../../sim/index.ts';
import { bestFrontShare } from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';
import { ChoiceField, named } from '../forms/choice-field.tsx';
import { QuantityField } from '../forms/quantity-field.tsx';
import { ShareField } from '../forms/share-field.tsx';
import { TeethField } from '../forms/teeth-field.tsx';
import {
  brakeSharePlace,
  setBallast,
  setBrakeShare,
  setDriverMass,
  setFinalRatio,
  setTeeth,
  setTyre,
} from '../state/commands.ts';
import { useWorkbench } from '../state/context.ts';
import type { Question } from '../state/views.ts';
import { hrefOf } from '../state/views.ts';
import { list } from '../words/lap-words.ts';
import { percent } from '../words/numbers.ts';
import { gearShareSentence, shareSentence, triedSettings } from '../words/stop-words.ts';

const PARTS = { teeth: TeethPart, brakes: BrakePart, tyres: TyrePart, weight: WeightPart } as const;

/** Only what can move the answer of the question. */
const PARTS_OF: Readonly<Record<Question, readonly (keyof typeof PARTS)[]>> = {
  'how-quick': ['teeth', 'brakes', 'tyres', 'weight'],
  'off-the-line': ['teeth', 'tyres', 'weight'],
  stop: ['brakes', 'tyres', 'weight'],
  'slide-or-tip': ['tyres', 'weight'],
  shift: ['teeth', 'tyres', 'weight'],
};

export function InputsPanel({ question }: { question: Question }) {
  return (
    <form class="panel" aria-label="What goes in" onSubmit={(event) => event.preventDefault()}>
      {PARTS_OF[question].map((part) => {
        const Part = PARTS[part];
        return <Part key={part} />;
      })}
      <p class="field-says">
        Everything else of it: <a href={hrefOf('kart')}>the kart</a>, <a href={hrefOf('track')}>the track</a>,{' '}
        <a href={hrefOf('day')}>the day</a>.
      </p>
    </form>
  );
}

function TeethPart() {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const id = workbench.choice.value.kart;
  const kart = project.karts[id];
  if (kart === undefined) return null;
  const { sprockets } = kart;
  return (
    <fieldset>
      <legend>Which teeth?</legend>
      {sprockets === undefined ? (
        <QuantityField
          label="Final drive"
          of={`${id} final`}
          name="ratio"
          shown=""
          value={kart.finalRatio ?? 1}
          hint="this kart’s file gives a ratio and no sprockets"
          onValue={(_value, text, gesture) => workbench.edit(setFinalRatio(id, text), gesture)}
        />
      ) : (
        <>
          <div class="pair">
            {(['front', 'rear'] as const).map((axle) => (
              <TeethField
                key={axle}
                label={axle === 'front' ? 'Front sprocket' : 'Rear sprocket'}
                of={`${id} ${axle} sprocket`}
                value={sprockets[axle]}
                hint={ownedHint(project, axle, sprockets[axle])}
                onTeeth={(teeth, gesture) => workbench.edit(setTeeth(id, axle, teeth), gesture)}
              />
            ))}
          </div>
          <p class="worked">
            {sprockets.rear}/{sprockets.front} = {(sprockets.rear / sprockets.front).toFixed(2)} to one. A
            rear tooth is {(100 / sprockets.rear).toFixed(1)} %, a front tooth{' '}
            {(100 / sprockets.front).toFixed(1)} %.
          </p>
        </>
      )}
    </fieldset>
  );
}

function BrakePart() {
  const workbench = useWorkbench();
  const { answers } = workbench;
  const project = workbench.project.value;
  const kart = project.karts[workbench.choice.value.kart];
  const brakes = kart === undefined ? undefined : project.brakes[kart.brakes];
  if (kart === undefined || brakes === undefined) return null;
  const place = brakeSharePlace(workbench.document.value, kart.brakes);
  const isBar = place.at(-1) === 'barFrontShare';
  const value = isBar ? (brakes.hydraulics?.barFrontShare ?? 0.5) : (brakes.frontShare ?? 0.5);
  const bar = isBar ? value : undefined;
  const sharing = Object.values(project.karts).filter((other) => other.brakes === kart.brakes).length;
  const share = answers.sheet.value.result?.brakeFrontShare;
  const clutch = answers.bestHereClutch.value.result;
  const gear = answers.bestHereGear.value.result;
  const surface = workbench.ground.value;
  const ground = project.surfaces[surface]?.name.toLowerCase() ?? '';
  const { kart: id, day, stopFrom, gear: chosenGear } = workbench.choice.value;
  const study = workbench.studies.balance.value.value;
  const tried = (inGear: number | null) =>
    triedSettings(study, workbench.revision(), { kart: id, day, fromSpeed: stopFrom, surface, gear: inGear });
  return (
    <fieldset>
      <legend>Brakes front to rear</legend>
      <ShareField
        label={isBar ? 'Balance bar, front share' : 'Front share of braking force'}
        of={`${kart.brakes} share`}
        name={isBar ? 'share' : 'brakeShare'}
        value={value}
        onShare={(_share, text, gesture) => workbench.edit(setBrakeShare(kart.brakes, text), gesture)}
      />
      {share === undefined ? null : (
        <ul class="worked">
          {isBar ? <li>{percent(share)} of the braking force goes to the front.</li> : null}
          {clutch === undefined ? null : (
            <li>{capital(shareSentence({ share, bar }, bestFrontShare(clutch), ground, tried(null)))}</li>
          )}
          {gear === undefined ? null : (
            <li>{capital(gearShareSentence({ share, bar }, gear, ground, tried(chosenGear)))}</li>
          )}
        </ul>
      )}
      <p class="field-says">
        {brakes.name}
        {sharing > 1 ? `; fitted to ${sharing} karts of this project, and changed for all` : ''}.
      </p>
    </fieldset>
  );
}

function TyrePart() {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const id = workbench.choice.value.kart;
  const kart = project.karts[id];
  if (kart === undefined) return null;
  return (
    <fieldset>
      <legend>Tyres</legend>
      {(['front', 'rear'] as const).map((axle) => (
        <ChoiceField
          key={axle}
          label={axle === 'front' ? 'Front tyres' : 'Rear tyres'}
          value={kart.tyres[axle]}
          options={named(project.tyres)}
          hint={tyreHint(project, kart.tyres[axle])}
          onChoice={(tyre) => workbench.edit(setTyre(id, axle, tyre, project.tyres[tyre]?.name ?? tyre))}
        />
      ))}
    </fieldset>
  );
}

function WeightPart() {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const id = workbench.choice.value.kart;
  const kart = project.karts[id];
  const sheet = workbench.answers.sheet.value.result;
  if (kart === undefined) return null;
  const ballast = kart.ballast[0]?.mass ?? 0;
  return (
    <fieldset>
      <legend>Weight</legend>
      {kart.weighed === undefined ? (
        <>
          <QuantityField
            label="Driver with kit"
            of={`${id} driver`}
            name="driverMass"
            shown="kg"
            echoed={['kg', 'lb']}
            value={kart.driver.mass}
            onValue={(_value, text, gesture) => workbench.edit(setDriverMass(id, text), gesture)}
          />
          <QuantityField
            label="Ballast at the seat"
            of={`${id} ballast`}
            name="mass"
            shown="kg"
            echoed={['kg', 'lb']}
            value={ballast}
            narrow={(read) =>
              read.ok && read.value > MOST_BALLAST
                ? { ok: false, message: 'more than a seat would carry', limit: `0 to ${MOST_BALLAST} kg` }
                : read
            }
            onValue={(value, text, gesture) => workbench.edit(setBallast(id, value, text), gesture)}
          />
        </>
      ) : (
        <p class="worked">
          This kart was weighed whole, with its driver: the four readings stand, not its parts.
        </p>
      )}
      {sheet === undefined ? null : (
        <p class="worked">
          {sheet.mass.toFixed(0)} kg with driver, {percent(sheet.frontWeightShare)} of it in front.{' '}
          {sheet.tipAt === null
            ? 'It would not lift its inner wheels.'
            : `Its inner wheels lift at ${sheet.tipAt.toFixed(2)} g, if the tyres hold that.`}
        </p>
      )}
    </fieldset>
  );
}

/** kg. A single seat's mounts are not meant for more (assumed). */
const MOST_BALLAST = 200;

function ownedHint(project: Project, axle: 'front' | 'rear', teeth: number): string {
  const box = 'sprockets' in project ? project.sprockets : {};
  const rows =
    (axle in box ? (box as Record<typeof axle, readonly { teeth: number; owned: boolean }[]>)[axle] : []) ??
    [];
  const owned = rows.filter((s) => s.owned).map((s) => s.teeth);
  if (owned.length === 0) return '';
  const have = owned.includes(teeth) ? 'in your box' : 'not in your box';
  return `${have} (${list(owned.map(String))})`;
}

function tyreHint(project: Project, id: string): string | undefined {
  const tyre = project.tyres[id];
  if (tyre === undefined) return undefined;
  const rollOut = tyre.rollOut === undefined ? '' : `, ${(tyre.rollOut * 1000).toFixed(0)} mm a turn`;
  return `${tyre.size ?? 'no size code'}${rollOut}`;
}
