/** Beside the hydraulics: the front share and the gain they give, as they change; the measured share where one is given. */
import { brakeGain } from '../../../../sim/index.ts';
import { useWorkbench } from '../../state/context.ts';
import { placeOf } from '../../state/input-commands.ts';
import { percent } from '../../words/numbers.ts';
import { putValues } from './put.ts';
import { Result, useReadings, Worksheet } from './worksheet.tsx';

/** N: a firm push with one leg (common practice, no source). */
const FIRM_PUSH = '300 N';

export function BrakeGainSheet({ path }: { readonly path: string }) {
  const workbench = useWorkbench();
  const id = String(placeOf(path)[1]);
  const brakes = workbench.project.value.brakes[id];
  const sheet = workbench.answers.sheet.value.result;
  const { values, fields } = useReadings(path, {
    push: { label: 'Push on the pedal', name: 'force', start: FIRM_PUSH },
  });
  const hydraulics = brakes?.hydraulics;
  if (hydraulics === undefined || sheet === undefined) return null;
  const { front, rear, ...pedal } = hydraulics;
  const gain = brakeGain(
    { ...pedal, ...(front === undefined ? {} : { front }), ...(rear === undefined ? {} : { rear }) },
    { front: sheet.radiusFront, rear: sheet.radiusRear },
  );
  const share = percent(gain.frontShare);
  const atGround = (perNewton: number): string =>
    `${Number(((values.push ?? 0) * perNewton).toPrecision(2))}\u00a0N`;
  return (
    <Worksheet
      title={`Worksheet: what the hydraulics give, ${share} to the front`}
      how="Bores are stamped on the castings; the pedal ratio is pad to pivot over rod to pivot; the disc’s radius is taken to the middle of the pads. Pad friction is the least sure of them."
    >
      {fields}
      <Result>
        <p>
          <b>{share} of the braking force goes to the front</b>; each newton on the pedal gives{' '}
          {(gain.front + gain.rear).toPrecision(2)} N at the ground
          {values.push === undefined
            ? ''
            : `, so that push gives ${atGround(gain.front)} in front and ${atGround(gain.rear)} behind, as long as no wheel locks`}
          .
        </p>
        {brakes?.frontShare === undefined ? (
          <p class="field-says">
            The kart brakes by this. A measured front share, given above, would stand over it.
          </p>
        ) : (
          <p>
            The front share given above, {percent(brakes.frontShare)}, stands over it.{' '}
            {Math.round(100 * brakes.frontShare) === Math.round(100 * gain.frontShare) ? (
              'Both agree.'
            ) : (
              <button
                type="button"
                onClick={() =>
                  workbench.edit(
                    putValues(`front share ${share} from the hydraulics`, [
                      [
                        `brakes.${id}.frontShare`,
                        {
                          value: share.replace('\u00a0', ' '),
                          origin: 'worked out',
                          note: 'from the hydraulics',
                        },
                      ],
                    ]),
                  )
                }
              >
                Put {share} into the kart
              </button>
            )}
          </p>
        )}
      </Result>
    </Worksheet>
  );
}
