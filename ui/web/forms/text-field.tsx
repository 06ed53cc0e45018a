/** A field for a name or a note; one stay in it is one undo step. */
import { useId, useState } from 'preact/hooks';
import { useWorkbench } from '../state/context.ts';
import { written } from '../state/document.ts';
import { placeOf, removeValue, setValue } from '../state/input-commands.ts';

export interface TextFieldProps {
  readonly path: string;
  readonly label: string;
  readonly required: boolean;
}

export function TextField({ path, label, required }: TextFieldProps) {
  const workbench = useWorkbench();
  const id = useId();
  const [stay, setStay] = useState(0);
  const [isEmpty, setEmpty] = useState(false);
  const [stayedIn, setStayedIn] = useState(false);
  const found = written(workbench.document.value, placeOf(path));
  const text = typeof found === 'string' ? found : '';
  const isLong = path.endsWith('.note');
  const onInput = (next: string): void => {
    setEmpty(next.trim() === '');
    if (next.trim() !== '')
      workbench.edit(setValue(path, `${label} ${next.slice(0, 24)}`, next), `${path}#${stay}`);
    else if (!required && found !== undefined)
      workbench.edit(removeValue(path, `${label} left out`), `${path}#${stay}`);
  };
  const shared = {
    id,
    value: required && isEmpty && stayedIn ? '' : text,
    'aria-invalid': required && isEmpty,
    'aria-describedby': `${id}-says`,
    onFocus: () => {
      setStay(stay + 1);
      setStayedIn(true);
    },
    onBlur: () => setStayedIn(false),
  };
  return (
    <div class={isLong ? 'field wide-field' : 'field'}>
      <label for={id}>{label}</label>
      {isLong ? (
        <textarea
          {...shared}
          rows={2}
          maxLength={4000}
          onInput={(event) => onInput(event.currentTarget.value)}
        />
      ) : (
        <input
          {...shared}
          type="text"
          autocomplete="off"
          maxLength={120}
          onInput={(event) => onInput(event.currentTarget.value)}
        />
      )}
      <p id={`${id}-says`} class={required && isEmpty ? 'field-says refused' : 'field-says'}>
        {required && isEmpty ? `It needs a name. It is still “${text}”.` : ''}
      </p>
    </div>
  );
}
