/** Worksheet: front weight level and with the rear raised, to the height of the centre of gravity and its error. */
import type { PlacedPart, Project } from '../../../../sim/index.ts';
import { cgHeightFromLift, massWithout } from '../../../../sim/index.ts';
import { ChoiceField } from '../../forms/choice-field.tsx';
import { useKept } from '../../forms/kept-while-open.ts';
import { inShown } from '../../forms/quantity-text.ts';
import { useWorkbench } from '../../state/context.ts';
import { written } from '../../state/document.ts';
import { placeOf } from '../../state/input-commands.ts';
import { putValues, rounded } from './put.ts';
import { Result, useReadings, Worksheet } from './worksheet.tsx';

const HOW =
  'Lock the suspension with bars in place of the springs, tanks full or empty, brakes off, in neutral, front wheels free to roll on the scales. Weigh the front level; then raise the rear hubs, 0.5 m or so, and weigh it again. The more lift, the surer.';
const CAUTION =
  'Chocks before and behind the front wheels whenever you are not reading the scales; stands under the rear, never a jack alone; sandbags strapped into the seat, not a person; nobody under or beside a raised kart.';

/** Beside the readings of a kart: the height of the whole. */
export function KartHeightSheet({ path }: { readonly path: string }) {
  return <HeightSheet path={path} kartId={String(placeOf(path)[1])} />;
}

/** Beside a chassis: the height of the bare frame, other parts on the scales taken off. */
export function ChassisHeightSheet({ path }: { readonly path: string }) {
  const kartId = useWorkbench().choice.value.kart;
  return <HeightSheet path={path} kartId={kartId} ofChassis={String(placeOf(path)[1])} />;
}

interface HeightSheetProps {
  readonly path: string;
  readonly kartId: string;
  readonly ofChassis?: string;
}

function HeightSheet({ path, kartId, ofChassis }: HeightSheetProps) {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const sheet = workbench.answers.sheet.value.result;
  const length = project.units['length'] ?? 'mm';
  const onScales = useKept(`${path} on the scales`, 'whole');
  const isWhole = ofChassis === undefined || onScales.value === 'whole';
  const chassisId = ofChassis ?? project.karts[kartId]?.chassis ?? '';
  const chassis = project.chassis[chassisId];
  const parts =
    ofChassis === undefined ? [] : partsOf(project, kartId, isWhole, sheet, workbench.read.value.notes);
  const startMass =
    sheet === undefined || chassis === undefined
      ? undefined
      : isWhole
        ? sheet.mass
        : chassis.mass + parts.reduce((sum, part) => sum + part.mass, 0);
  const hub = (radius: number | undefined): string | undefined =>
    radius === undefined ? undefined : inShown(radius, 'cgHeight', length, 3);
  const { values, fields } = useReadings(`${path} height${isWhole ? '' : ' frame'}`, {
    mass: {
      label: 'Total',
      name: 'mass',
      start:
        startMass === undefined ? undefined : inShown(startMass, 'mass', project.units['mass'] ?? 'kg', 4),
    },
    frontLevel: { label: 'Front axle, level', name: 'cornerWeight', hint: 'both front scales together' },
    frontRaised: { label: 'Front axle, rear raised', name: 'cornerWeight' },
    lift: { label: 'Rise of the rear hubs', name: 'cgHeight', hint: '0.5 m or more is worth doing' },
    hubFront: { label: 'Front hub height', name: 'cgHeight', start: hub(sheet?.radiusFront) },
    hubRear: { label: 'Rear hub height', name: 'cgHeight', start: hub(sheet?.radiusRear) },
    scaleError: {
      label: 'Change of weight, give or take',
      name: 'cornerWeight',
      start: '1 kg',
      hint: 'how far two rounds differ',
    },
    liftError: { label: 'Rise, give or take', name: 'cgHeight', start: '5 mm' },
  });
  return (
    <Worksheet
      title="Worksheet: height of the centre of gravity, by raising the rear"
      how={HOW}
      caution={CAUTION}
    >
      {ofChassis === undefined ? null : (
        <div class="pair">
          <ChoiceField
            label="On the scales"
            value={onScales.value}
            options={[
              {
                value: 'whole',
                text: `the whole kart, ${project.karts[kartId]?.name ?? ''}, with its driver’s weight`,
              },
              { value: 'frame', text: 'the frame on its wheels, without donor and driver' },
            ]}
            hint="The other parts are taken off by their own masses and heights."
            onChoice={(next) => {
              onScales.value = next;
            }}
          />
        </div>
      )}
      {fields}
      {outcome()}
    </Worksheet>
  );

  function outcome() {
    const { mass, frontLevel, frontRaised, lift, hubFront, hubRear, scaleError, liftError } = values;
    if (
      mass === undefined ||
      frontLevel === undefined ||
      frontRaised === undefined ||
      lift === undefined ||
      hubFront === undefined ||
      hubRear === undefined ||
      chassis === undefined
    )
      return <p class="field-says">Both front weights, the rise and the total give the height.</p>;
    const { wheelbase } = chassis;
    if (!(lift > 0 && lift < wheelbase))
      return refusal(
        `The rise must lie between nought and the wheelbase, ${inShown(wheelbase, 'wheelbase', length)}.`,
      );
    if (!(mass > 0) || frontLevel > mass || frontRaised > mass)
      return refusal('A front weight cannot be more than the total: check the readings.');
    const whole = cgHeightFromLift({
      mass,
      wheelbase,
      frontLevel,
      frontRaised,
      lift,
      hubHeight: { front: hubFront, rear: hubRear },
      changeSpread: scaleError ?? 0,
      liftSpread: liftError ?? 0,
    });
    const placed: PlacedPart = {
      mass,
      behindFrontAxle: (wheelbase * (mass - frontLevel)) / mass,
      height: whole.height,
      heightSpread: whole.spread,
    };
    const left = ofChassis === undefined ? undefined : massWithout(placed, parts);
    if (ofChassis !== undefined && left === undefined)
      return refusal(
        'The parts on it weigh as much as the whole: check the total and the masses of the parts.',
      );
    const height = left?.height ?? whole.height;
    const spread = left?.heightSpread ?? whole.spread;
    if (!(height > 0))
      return refusal('That puts the centre of gravity below the ground: check which reading was which.');
    const value = rounded(height, spread, 'cgHeight', length);
    const giveOrTake = inShown(spread, 'cgHeight', length, 2);
    const target = ofChassis === undefined ? `${path}.cgHeight` : `${path}.height`;
    const isThere = ofChassis !== undefined || written(workbench.document.value, placeOf(path)) !== undefined;
    return (
      <Result>
        <p>
          {ofChassis === undefined
            ? ''
            : `The whole of it ${rounded(whole.height, whole.spread, 'cgHeight', length)} high; `}
          {ofChassis === undefined ? 'Centre of gravity' : 'the bare chassis'}{' '}
          <b>
            {value} high, give or take {giveOrTake}
          </b>
          . {spread > 0.25 * height ? 'That is too loose to lean on: more lift, or better scales.' : ''}
        </p>
        <p>
          <button
            type="button"
            disabled={!isThere}
            onClick={() =>
              workbench.edit(
                putValues(`centre of gravity ${value} high`, [
                  [
                    target,
                    {
                      value,
                      spread: giveOrTake,
                      origin: 'worked out',
                      note: `weighed level and with the rear raised ${inShown(lift, 'cgHeight', length, 3)}`,
                    },
                  ],
                ]),
              )
            }
          >
            Put {value} into the kart
          </button>
        </p>
        {isThere ? null : (
          <p class="field-says">It stands beside the four weights: put those into the kart first.</p>
        )}
      </Result>
    );
  }
}

function refusal(text: string) {
  return (
    <p class="field-says refused" role="status">
      {text}
    </p>
  );
}

/** What stood on the scales besides the bare chassis, by the project. */
function partsOf(
  project: Project,
  kartId: string,
  isWhole: boolean,
  sheet: { readonly radiusFront: number; readonly radiusRear: number } | undefined,
  notes: readonly { readonly path: string; readonly spread: number }[],
): PlacedPart[] {
  const kart = project.karts[kartId];
  const chassis = project.chassis[kart?.chassis ?? ''];
  if (kart === undefined || chassis === undefined || sheet === undefined) return [];
  const spreadOf = (path: string): { heightSpread: number } => ({
    heightSpread: notes.find((note) => note.path === path)?.spread ?? 0,
  });
  const tyres = [
    { mass: 2 * (project.tyres[kart.tyres.front]?.mass ?? 0), behindFrontAxle: 0, height: sheet.radiusFront },
    {
      mass: 2 * (project.tyres[kart.tyres.rear]?.mass ?? 0),
      behindFrontAxle: chassis.wheelbase,
      height: sheet.radiusRear,
    },
  ];
  if (!isWhole) return tyres;
  const at = `chassis.${kart.chassis}`;
  return [
    ...tyres,
    {
      mass: project.donors[kart.donor]?.mass ?? 0,
      ...chassis.donorAt,
      ...spreadOf(`${at}.donorAt.height`),
    },
    { mass: kart.driver.mass, ...chassis.driverAt, ...spreadOf(`${at}.driverAt.height`) },
    ...kart.ballast,
  ];
}
