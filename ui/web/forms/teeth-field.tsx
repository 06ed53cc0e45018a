/** Teeth of a sprocket: two large buttons, a typed number, and the arrow keys in it. */
import { useId } from 'preact/hooks';
import type { Refusal, Understood } from './quantity-text.ts';
import { refusalSentence, understand } from './quantity-text.ts';
import { useTypedText } from './typed-text.ts';

export interface TeethFieldProps {
  readonly label: string;
  readonly of: string;
  readonly value: number;
  readonly hint: string;
  readonly onTeeth: (teeth: number, gesture: string) => void;
}

export function TeethField({ label, of, value, hint, onTeeth }: TeethFieldProps) {
  const id = useId();
  const read = (typed: string): Understood => understand(typed, 'teeth', '');
  const field = useTypedText({
    of,
    value,
    format: String,
    understand: read,
    onValue: (teeth, _text, gesture) => onTeeth(teeth, gesture),
  });
  /** One press is one undo step. */
  const step = (by: number): void => {
    field.onFocus();
    field.onInput(String(value + by));
  };
  const { understood } = field;
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <div class="stepper">
        <button type="button" aria-label={`${label}: one tooth less`} onClick={() => step(-1)}>
          −
        </button>
        <input
          id={id}
          type="text"
          inputMode="numeric"
          autocomplete="off"
          value={field.text}
          aria-invalid={!understood.ok}
          aria-describedby={`${id}-says`}
          onFocus={field.onFocus}
          onInput={(event) => field.onInput(event.currentTarget.value)}
          onKeyDown={(event) => {
            const by = event.key === 'ArrowUp' ? 1 : event.key === 'ArrowDown' ? -1 : 0;
            if (by === 0) return;
            event.preventDefault();
            step(by);
          }}
          onBlur={field.onLeave}
        />
        <button type="button" aria-label={`${label}: one tooth more`} onClick={() => step(1)}>
          +
        </button>
      </div>
      <p id={`${id}-says`} class={understood.ok ? 'field-says' : 'field-says refused'} role="status">
        {understood.ok ? hint : `${refusal(understood)} Still reckoning with ${value}.`}
      </p>
    </div>
  );
}

/** The column is narrow: limit and reason in as few words as will do. */
function refusal(refused: Refusal): string {
  return refused.limit === undefined ? refusalSentence(refused) : `A sprocket has ${refused.limit} teeth.`;
}
