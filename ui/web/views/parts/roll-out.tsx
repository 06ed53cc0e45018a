/** Worksheet: ground covered by several turns of a loaded wheel to its roll-out and rolling radius. */
import { rollingRadius } from '../../../../sim/index.ts';
import { inShown } from '../../forms/quantity-text.ts';
import { useWorkbench } from '../../state/context.ts';
import { putValues, rounded } from './put.ts';
import { Result, useReadings, Worksheet } from './worksheet.tsx';

export function RollOutSheet({ path }: { readonly path: string }) {
  const workbench = useWorkbench();
  const length = workbench.project.value.units['length'] ?? 'mm';
  const { values, fields } = useReadings(path, {
    distance: { label: 'Ground covered', name: 'straightLength', shown: length },
    turns: { label: 'Turns of the wheel', name: 'count', shown: '', start: '3', hint: 'whole turns' },
    error: {
      label: 'Give or take',
      name: 'straightLength',
      shown: length,
      start: '5 mm',
      hint: 'chalk and tape',
    },
  });
  return (
    <Worksheet
      title="Worksheet: roll it several turns"
      how="Driver aboard, tyres at their pressure. Chalk the tyre and the ground, push the kart straight over three turns or so on firm ground, chalk again and measure between the marks."
    >
      {fields}
      {outcome()}
    </Worksheet>
  );

  function outcome() {
    const { distance, turns, error } = values;
    if (distance === undefined || turns === undefined || !(distance > 0) || turns < 1)
      return <p class="field-says">The ground covered and the turns give the roll-out.</p>;
    const radius = rollingRadius(distance, turns);
    const rollOut = 2 * Math.PI * radius;
    const spread = (error ?? 0) / turns;
    const value = rounded(rollOut, spread, 'rollOut', length);
    if (rollOut < 0.1 || rollOut > 10)
      return (
        <p class="field-says refused" role="status">
          {value} in one turn is no kart’s wheel: check the turns and the unit.
        </p>
      );
    return (
      <Result>
        <p>
          Roll-out <b>{value}</b> a turn
          {spread > 0 ? `, give or take ${inShown(spread, 'rollOut', length, 2)}` : ''}; rolling radius{' '}
          {inShown(radius, 'rollOut', length, 3)}.
        </p>
        <p>
          <button
            type="button"
            onClick={() =>
              workbench.edit(
                putValues(`roll-out ${value}`, [
                  [
                    path,
                    {
                      value,
                      ...(spread > 0 ? { spread: inShown(spread, 'rollOut', length, 2) } : {}),
                      origin: 'measured',
                      note: `${turns} ${turns === 1 ? 'turn' : 'turns'}, driver aboard`,
                    },
                  ],
                ]),
              )
            }
          >
            Put {value} into the kart
          </button>
        </p>
      </Result>
    );
  }
}
