/** Beside the roll stiffness: springs and bars to the stiffness of each axle, the front share, and the lean per g. */
import type { KartSheet, Project } from '../../../../sim/index.ts';
import { inUnit, rollStiffness, rollStiffnessShare, transferHeights } from '../../../../sim/index.ts';
import { useWorkbench } from '../../state/context.ts';
import { placeOf } from '../../state/input-commands.ts';
import { percent } from '../../words/numbers.ts';
import { putValues } from './put.ts';
import { Result, useReadings, Worksheet } from './worksheet.tsx';

const AXLES = ['front', 'rear'] as const;
const SPRING = ['rate', 'motionRatio', 'bar'] as const;
type Key = `${(typeof AXLES)[number]} ${(typeof SPRING)[number]}`;

export function RollStiffnessSheet({ path }: { readonly path: string }) {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const id = String(placeOf(path)[1]);
  const chassis = project.chassis[id];
  const sheet = workbench.answers.sheet.value.result;
  const { values, texts, fields } = useReadings<Key>(path, {
    'front rate': { label: 'Front spring rate', name: 'springRate' },
    'front motionRatio': {
      label: 'Front motion ratio',
      name: 'motionRatio',
      start: '1',
      hint: 'spring over wheel travel',
    },
    'front bar': { label: 'Front anti-roll bar', name: 'rollStiffness', start: '0', hint: 'at the wheels' },
    'rear rate': { label: 'Rear spring rate', name: 'springRate' },
    'rear motionRatio': {
      label: 'Rear motion ratio',
      name: 'motionRatio',
      start: '1',
      hint: 'spring over wheel travel',
    },
    'rear bar': { label: 'Rear anti-roll bar', name: 'rollStiffness', start: '0', hint: 'at the wheels' },
  });
  if (chassis === undefined) return null;
  const { roll, track } = chassis;
  const stiffness = project.units['rollStiffness'] ?? 'N·m/°';
  const shown = (value: number): string =>
    `${Number(inUnit(value, 'rollStiffness', stiffness).toPrecision(3))} ${stiffness}`;
  const say = (axles: { readonly front: number; readonly rear: number }) => (
    <p>
      <b>{percent(rollStiffnessShare(axles.front, axles.rear))} of the roll stiffness in front</b>:{' '}
      {shown(axles.front)} and {shown(axles.rear)} behind{leanWords(project, id, sheet, axles)}.
    </p>
  );
  if ('front' in roll || 'frontStiffness' in roll) {
    const axles =
      'front' in roll
        ? { front: rollStiffness(roll.front, track.front), rear: rollStiffness(roll.rear, track.rear) }
        : { front: roll.frontStiffness, rear: roll.rearStiffness };
    return (
      <Worksheet
        title={`Worksheet: what springs and bars give, ${percent(rollStiffnessShare(axles.front, axles.rear))} in front`}
        how="Lift a wheel by 50 mm and measure how far its spring moves: that is the motion ratio. More stiffness in front takes grip from the front; the lean is in a steady corner on tyres that do not give."
      >
        <Result>{say(axles)}</Result>
      </Worksheet>
    );
  }
  const axle = (end: (typeof AXLES)[number]): number | undefined => {
    const [rate, motionRatio, bar] = SPRING.map((key) => values[`${end} ${key}`]);
    return rate === undefined || motionRatio === undefined || bar === undefined
      ? undefined
      : rollStiffness({ rate, motionRatio, bar }, track[end]);
  };
  const [front, rear] = [axle('front'), axle('rear')];
  const share =
    front === undefined || rear === undefined ? undefined : percent(rollStiffnessShare(front, rear));
  const springs = (end: (typeof AXLES)[number]) =>
    Object.fromEntries(
      SPRING.map((key) => [
        key,
        { value: texts[`${end} ${key}`], origin: key === 'rate' ? 'from papers' : 'measured' },
      ]),
    );
  return (
    <Worksheet
      title="Worksheet: front share from springs and bars"
      how="The rate is on the spring’s papers, or load it with a known weight. Lift a wheel by 50 mm and measure how far its spring moves: that is the motion ratio."
    >
      {fields}
      {front === undefined || rear === undefined || share === undefined ? (
        <p class="field-says">The springs of both axles give the share.</p>
      ) : (
        <Result>
          {say({ front, rear })}
          <p class="actions">
            <button
              type="button"
              onClick={() =>
                workbench.edit(
                  putValues(`front share of roll stiffness ${share}`, [
                    [
                      `${path}.frontShare`,
                      {
                        value: share.replace('\u00a0', ' '),
                        origin: 'worked out',
                        note: 'from springs and bars',
                      },
                    ],
                  ]),
                )
              }
            >
              Put {share} into the kart
            </button>
            <button
              type="button"
              onClick={() =>
                workbench.edit(
                  putValues('roll stiffness from springs and bars', [
                    [path, { front: springs('front'), rear: springs('rear') }],
                  ]),
                )
              }
            >
              Put the springs themselves in
            </button>
          </p>
          <p class="field-says">
            With the springs in, the lean counts too; with the share alone the kart stays upright.
          </p>
        </Result>
      )}
    </Worksheet>
  );
}

/** The steady lean of the kart in view with these axles; '' where the chassis is not the one in view. */
function leanWords(
  project: Project,
  chassisId: string,
  sheet: KartSheet | undefined,
  axles: { readonly front: number; readonly rear: number },
): string {
  const chassis = project.chassis[chassisId];
  if (sheet === undefined || chassis === undefined) return '';
  const nothing = { mass: 0, height: 0 };
  const { lean } = transferHeights({
    mass: sheet.mass,
    wheelbase: chassis.wheelbase,
    cg: {
      mass: sheet.mass,
      behindFrontAxle: (1 - sheet.frontWeightShare) * chassis.wheelbase,
      height: sheet.cgHeight,
    },
    frontShare: rollStiffnessShare(axles.front, axles.rear),
    stiffness: axles.front + axles.rear,
    rollCentres: chassis.rollCentres ?? { front: 0, rear: 0 },
    unsprung: chassis.unsprung ?? { front: nothing, rear: nothing },
    gravity: (sheet.frontLoad + sheet.rearLoad) / sheet.mass,
  });
  if (!Number.isFinite(lean) || lean < 0) return '; too soft to hold the frame upright';
  return `; it leans ${inUnit(lean, 'angle', '°').toFixed(1)}° per g`;
}
