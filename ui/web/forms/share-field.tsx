/** A share between front and rear: a slider for the hand and a typed equivalent beside it. */
import { useId, useRef } from 'preact/hooks';
import type { QuantityName } from '../../../sim/index.ts';
import { inShown, refusalSentence, understand } from './quantity-text.ts';
import { useTypedText } from './typed-text.ts';

export interface ShareFieldProps {
  readonly label: string;
  readonly of: string;
  readonly name: QuantityName;
  readonly value: number;
  readonly onShare: (share: number, text: string, gesture: string) => void;
}

/** Steps of the slider, %: a turn of a balance bar's thread is about this much (common practice, no source). */
const STEP = 0.5;

export function ShareField({ label, of, name, value, onShare }: ShareFieldProps) {
  const id = useId();
  const drag = useRef(0);
  const field = useTypedText({
    of,
    value,
    format: (si) => inShown(si, name, '%', 3),
    understand: (typed) => understand(typed, name, '%'),
    onValue: onShare,
  });
  const { understood } = field;
  const percent = Math.round((value * 100) / STEP) * STEP;
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <div class="share">
        <input
          type="range"
          min={0}
          max={100}
          step={STEP}
          value={percent}
          aria-label={`${label}, slider`}
          aria-valuetext={`${percent} % front`}
          onPointerDown={() => {
            drag.current += 1;
          }}
          onKeyUp={() => {
            drag.current += 1;
          }}
          onInput={(event) => {
            const next = Number(event.currentTarget.value);
            onShare(next / 100, `${next} %`, `${of}~${drag.current}`);
          }}
        />
        <input
          id={id}
          type="text"
          inputMode="decimal"
          autocomplete="off"
          value={field.text}
          aria-invalid={!understood.ok}
          aria-describedby={`${id}-says`}
          onFocus={field.onFocus}
          onInput={(event) => field.onInput(event.currentTarget.value)}
          onBlur={field.onLeave}
        />
      </div>
      <p class="share-ends" aria-hidden="true">
        <span>all rear</span>
        <span>all front</span>
      </p>
      <p id={`${id}-says`} class={understood.ok ? 'field-says' : 'field-says refused'} role="status">
        {understood.ok
          ? ''
          : `${refusalSentence(understood)} Still reckoning with ${inShown(value, name, '%', 3)}.`}
      </p>
    </div>
  );
}
