/** The gears of a box: a ratio or a tooth pair each, the drop of each shift up, and a list pasted in one step. */
import { useId } from 'preact/hooks';
import { useKept } from '../../forms/kept-while-open.ts';
import { readGears, stepsOf } from '../../forms/paste-gears.ts';
import { QuantityInput } from '../../forms/quantity-input.tsx';
import { understand } from '../../forms/quantity-text.ts';
import { useWorkbench } from '../../state/context.ts';
import { bareValue, written } from '../../state/document.ts';
import { placeOf, removeValue, setValue } from '../../state/input-commands.ts';
import { percent } from '../../words/numbers.ts';

/** Gears the file takes. */
const MOST = 12;
/** A further gear starts this much taller than the last: the middle of usual boxes (assumed, to be written over). */
const NEXT_STEP = 0.85;

export function GearEditor({ path }: { readonly path: string }) {
  const workbench = useWorkbench();
  const found = written(workbench.document.value, placeOf(path));
  const gears = Array.isArray(found) ? found : [];
  const ratios = gears.map((_, i) =>
    ratioOf(bareValue(workbench.document.value, [...placeOf(path), i]) ?? ''),
  );
  const steps = stepsOf(ratios);
  const [first, last] = [ratios[0], ratios.at(-1)];
  const addGear = (): void => {
    const ratio = Number(((last ?? 3 / NEXT_STEP) * NEXT_STEP).toFixed(2));
    workbench.edit(
      setValue(path, `gear ${gears.length + 1} added`, [
        ...gears,
        { value: String(ratio), origin: 'assumed' },
      ]),
    );
  };
  return (
    <fieldset class="group">
      <legend>Gears</legend>
      {gears.length === 0 ? (
        <p class="field-says">No gearbox given. Paste its ratios, or add them one by one.</p>
      ) : (
        <p class="field-says">A ratio, or driven over driving teeth: 39/14. First gear first.</p>
      )}
      <ol class="gears">
        {gears.map((_, i) => (
          <li key={`${path}[${i}]`} class="gear">
            <QuantityInput path={`${path}[${i}]`} name="ratio" label={`gear ${i + 1}`} required={true} />
            <p class="gear-step">
              {i === 0 || steps[i - 1] === undefined
                ? ''
                : steps[i - 1]! > 0
                  ? `shifting up drops the engine by ${percent(steps[i - 1]!)}`
                  : 'not taller than the gear before'}
            </p>
            <button
              type="button"
              class="quiet"
              disabled={gears.length === 1}
              aria-label={`Take gear ${i + 1} away`}
              onClick={() => workbench.edit(removeValue(`${path}[${i}]`, `gear ${i + 1} taken away`))}
            >
              ×
            </button>
          </li>
        ))}
      </ol>
      {gears.length > 1 && first !== undefined && last !== undefined && last > 0 ? (
        <p class="field-says">
          First to last: {(first / last).toFixed(2)} to 1, over {gears.length} gears.
        </p>
      ) : null}
      <p>
        <button type="button" disabled={gears.length >= MOST} onClick={addGear}>
          One more gear
        </button>
      </p>
      <PasteGears path={path} />
      {gears.length === 0 ? null : (
        <button
          type="button"
          class="quiet"
          onClick={() => workbench.edit(removeValue(path, 'gearbox taken away'))}
        >
          Take the gearbox away
        </button>
      )}
    </fieldset>
  );
}

function PasteGears({ path }: { readonly path: string }) {
  const workbench = useWorkbench();
  const text = useKept(`${path} pasted`, '');
  const id = useId();
  const read = text.value.trim() === '' ? undefined : readGears(text.value);
  const steps = read === undefined ? [] : stepsOf(read.gears.map(ratioOf));
  return (
    <details class="tool">
      <summary>Paste a list of ratios</summary>
      <div class="tool-body">
        <div class="field">
          <label for={id}>Ratios, from first gear on</label>
          <textarea
            id={id}
            rows={3}
            spellcheck={false}
            value={text.value}
            placeholder="2.70 1.98 1.62   or   39/14, 36/17   or one a line"
            onInput={(event) => {
              text.value = event.currentTarget.value;
            }}
          />
        </div>
        {read === undefined ? null : (
          <div role="status">
            <ol class="understood">
              {read.gears.map((gear, i) => {
                const ratio = ratioOf(gear);
                const step = i === 0 ? undefined : steps[i - 1];
                return (
                  // The place in the box is what a gear is known by.
                  <li key={`${i} ${gear}`}>
                    <b>{gear}</b>
                    {gear.includes('/') && ratio !== undefined ? ` = ${ratio.toFixed(3)}` : ''}
                    {step === undefined ? '' : `, drops ${percent(step)}`}
                  </li>
                );
              })}
            </ol>
            {read.remarks.map((remark) => (
              <p key={remark} class={read.refused ? 'field-says refused' : 'field-says'}>
                {remark}
              </p>
            ))}
          </div>
        )}
        <p class="actions">
          <button
            type="button"
            disabled={read === undefined || read.refused}
            onClick={() => {
              if (read === undefined) return;
              workbench.edit(setValue(path, `${read.gears.length} gears pasted`, read.gears));
              text.value = '';
            }}
          >
            {read === undefined || read.refused ? 'Use these gears' : `Use these ${read.gears.length} gears`}
          </button>
        </p>
      </div>
    </details>
  );
}

function ratioOf(written: string | number): number | undefined {
  const read = understand(String(written), 'ratio', '');
  return read.ok ? read.value : undefined;
}
