/** Worksheet: four scales under the wheels to the place of the centre of gravity and the kart's readings. */
import { weighKart } from '../../../../sim/index.ts';
import { inShown } from '../../forms/quantity-text.ts';
import { useWorkbench } from '../../state/context.ts';
import { bareValue, written } from '../../state/document.ts';
import { placeOf } from '../../state/input-commands.ts';
import { percent } from '../../words/numbers.ts';
import { putValues } from './put.ts';
import { Result, useReadings, Worksheet } from './worksheet.tsx';

const WHEELS = {
  frontLeft: 'Front left',
  frontRight: 'Front right',
  rearLeft: 'Rear left',
  rearRight: 'Rear right',
} as const;
type Wheel = keyof typeof WHEELS;
const KEYS = Object.keys(WHEELS) as Wheel[];
/** m: an offset a bathroom scale cannot tell from none. */
const UNTOLD_OFFSET = 0.003;

export function CornerWeightsSheet({ path }: { readonly path: string }) {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const id = String(placeOf(path)[1]);
  const chassis = project.chassis[project.karts[id]?.chassis ?? ''];
  const sheet = workbench.answers.sheet.value.result;
  const given = (wheel: Wheel): string => {
    const value = bareValue(workbench.document.value, [...placeOf(path), wheel]);
    return value === undefined ? '' : String(value);
  };
  const { values, texts, fields } = useReadings(
    path,
    Object.fromEntries(
      KEYS.map((wheel) => [wheel, { label: WHEELS[wheel], name: 'cornerWeight', start: given(wheel) }]),
    ) as Record<Wheel, { label: string; name: 'cornerWeight'; start: string }>,
  );
  const length = project.units['length'] ?? 'mm';
  const mass = project.units['mass'] ?? 'kg';
  const isWhole = KEYS.every((wheel) => values[wheel] !== undefined);
  const found =
    isWhole && chassis !== undefined
      ? weighKart(values as Record<Wheel, number>, chassis.wheelbase, chassis.track)
      : undefined;
  const put = (): void => {
    const there = written(workbench.document.value, [...placeOf(path), 'cgHeight']);
    // Weighing needs a height as well: the one there is, else what the parts give.
    const height = there ?? {
      value: inShown(sheet?.cgHeight ?? 0.45, 'cgHeight', length, 3),
      origin: sheet === undefined ? 'assumed' : 'worked out',
      ...(sheet === undefined ? {} : { note: 'from the parts, until it is weighed' }),
    };
    workbench.edit(
      putValues('kart weighed on four scales', [
        [
          path,
          {
            ...Object.fromEntries(KEYS.map((wheel) => [wheel, { value: texts[wheel], origin: 'measured' }])),
            cgHeight: height,
          },
        ],
      ]),
    );
  };
  return (
    <Worksheet
      title="Worksheet: four scales under the wheels"
      how="Level ground, tyres at their pressure, driver in place and still, brakes off. One bathroom scale under a wheel and blocks of its height under the others will do, if you go round twice and the two rounds agree."
    >
      {fields}
      {found === undefined || !(found.mass > 0) ? (
        <p class="field-says">The four readings give the centre of gravity.</p>
      ) : (
        <Result>
          <p>
            <b>{inShown(found.mass, 'mass', mass, 4)}</b> in all, <b>{percent(found.frontShare)} in front</b>.
            The centre of gravity lies{' '}
            <b>{inShown(found.behindFrontAxle, 'behindFrontAxle', length, 3)} behind the front axle</b>,{' '}
            {Math.abs(found.leftOffset) < UNTOLD_OFFSET
              ? 'on the middle line'
              : `${inShown(Math.abs(found.leftOffset), 'behindFrontAxle', length, 2)} to the ${found.leftOffset > 0 ? 'left' : 'right'}`}
            . Front left and rear right together carry {percent(found.diagonalShare)}; half is square on its
            wheels.
          </p>
          <p>
            <button type="button" onClick={put}>
              Put these four readings into the kart
            </button>
          </p>
          <p class="field-says">
            They stand in place of the masses and places of its parts.
            {written(workbench.document.value, placeOf(path)) === undefined
              ? ' The height is taken from the parts until you weigh it.'
              : ''}
          </p>
        </Result>
      )}
    </Worksheet>
  );
}
