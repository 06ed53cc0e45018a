/** A field for a quantity: text with a unit, echoed in other units; a refusal says limit and remedy, the text stays. */
import { useId } from 'preact/hooks';
import type { QuantityName } from '../../../sim/index.ts';
import { HowToMeasure } from './how-to-measure.tsx';
import type { Understood } from './quantity-text.ts';
import { echo, inShown, refusalSentence, understand } from './quantity-text.ts';
import { useTypedText } from './typed-text.ts';

export interface QuantityFieldProps {
  readonly label: string;
  readonly of: string;
  readonly name: QuantityName;
  /** Unit of a bare number. */
  readonly shown: string;
  readonly echoed?: readonly string[];
  readonly value: number;
  readonly narrow?: (understood: Understood) => Understood;
  readonly hint?: string;
  /** Says how it is measured, when asked. */
  readonly howTo?: boolean;
  readonly onValue: (value: number, text: string, gesture: string) => void;
  /** At every change of the text: can it be read? For a button that goes by the field. */
  readonly onReadable?: (isReadable: boolean) => void;
}

export function QuantityField(props: QuantityFieldProps) {
  const { label, of, name, shown, echoed = [], value, hint } = props;
  const narrow = props.narrow ?? ((understood) => understood);
  const id = useId();
  const field = useTypedText({
    of,
    value,
    format: (si) => inShown(si, name, shown),
    understand: (typed) => narrow(understand(typed, name, shown)),
    onValue: props.onValue,
    onReadable: props.onReadable,
  });
  const { understood } = field;
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="text"
        inputMode="text"
        autocomplete="off"
        spellcheck={false}
        value={field.text}
        aria-invalid={!understood.ok}
        aria-describedby={`${id}-says`}
        onFocus={field.onFocus}
        onInput={(event) => field.onInput(event.currentTarget.value)}
        onBlur={field.onLeave}
      />
      <p id={`${id}-says`} class={understood.ok ? 'field-says' : 'field-says refused'} role="status">
        {understood.ok
          ? [echo(understood.value, name, echoed), hint].filter((part) => part).join(' · ')
          : `${refusalSentence(understood)} Still reckoning with ${inShown(value, name, shown)}.`}
      </p>
      {props.howTo ? <HowToMeasure name={name} /> : null}
    </div>
  );
}
