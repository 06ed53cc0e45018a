/** The sprockets at hand: in the box or to be bought, with their price. */

import { QuantityInput } from '../../forms/quantity-input.tsx';
import { useWorkbench } from '../../state/context.ts';
import { written } from '../../state/document.ts';
import { removeValue, setValue } from '../../state/input-commands.ts';

export function SprocketBox() {
  return (
    <details class="card part">
      <summary>
        <span class="part-role">Sprockets</span> in the box and to be bought
      </summary>
      <div class="pair">
        <Row axle="front" />
        <Row axle="rear" />
      </div>
    </details>
  );
}

function Row({ axle }: { axle: 'front' | 'rear' }) {
  const workbench = useWorkbench();
  const path = `sprockets.${axle}`;
  const found = written(workbench.document.value, ['sprockets', axle]);
  const rows = Array.isArray(found) ? found : [];
  const most = Math.max(
    ...rows.map((row) => Number((row as { teeth?: unknown }).teeth)),
    axle === 'front' ? 13 : 39,
  );
  return (
    <fieldset>
      <legend>{axle === 'front' ? 'Front' : 'Rear'}</legend>
      {rows.map((row, i) => {
        const { teeth, owned } = row as { teeth?: unknown; owned?: unknown };
        return (
          <div key={i} class="list-entry sprocket">
            <QuantityInput path={`${path}[${i}].teeth`} name="teeth" label="teeth" required={true} />
            <QuantityInput path={`${path}[${i}].price`} name="price" label="price" required={false} />
            <label class="tick">
              <input
                type="checkbox"
                checked={owned === true}
                onChange={(event) => {
                  const on = event.currentTarget.checked;
                  workbench.edit(
                    setValue(
                      `${path}[${i}].owned`,
                      `${String(teeth)} teeth ${on ? 'in the box' : 'to be bought'}`,
                      on,
                    ),
                  );
                }}
              />
              <span>in the box</span>
            </label>
            <button
              type="button"
              class="quiet"
              aria-label={`Take away the ${axle} sprocket of ${String(teeth)} teeth`}
              onClick={() =>
                workbench.edit(removeValue(`${path}[${i}]`, `${axle} sprocket ${String(teeth)} taken away`))
              }
            >
              Take away
            </button>
          </div>
        );
      })}
      <button
        type="button"
        onClick={() =>
          workbench.edit(
            setValue(path, `one more ${axle} sprocket`, [...rows, { teeth: most + 1, owned: false }]),
          )
        }
      >
        One more {axle} sprocket
      </button>
    </fieldset>
  );
}
