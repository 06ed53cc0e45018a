/** A labelled list to choose one entry from. */
import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';

export interface ChoiceFieldProps {
  readonly label: string;
  readonly value: string;
  readonly options: readonly { readonly value: string; readonly text: string }[];
  readonly hint?: string | undefined;
  /** A sign beside the label that says the same as the chosen word. */
  readonly mark?: ComponentChildren;
  readonly onChoice: (value: string) => void;
}

export function ChoiceField({ label, value, options, hint, mark, onChoice }: ChoiceFieldProps) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>
        {label}
        {mark}
      </label>
      <select
        id={id}
        value={value}
        onChange={(event) => onChoice(event.currentTarget.value)}
        {...(hint === undefined ? {} : { 'aria-describedby': `${id}-says` })}
      >
        {options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.text}
          </option>
        ))}
      </select>
      {hint === undefined ? null : (
        <p id={`${id}-says`} class="field-says">
          {hint}
        </p>
      )}
    </div>
  );
}

/** Entries of a project as options, by name. */
export function named(entries: Readonly<Record<string, { readonly name: string }>>) {
  return Object.entries(entries).map(([value, { name }]) => ({ value, text: name }));
}
