/**
 * The frame of a worksheet: how to take the readings, fields for them, what comes out, and the step that puts it in
 * place. Readings are kept while the page is open and never in the project.
 */
import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';
import type { QuantityName } from '../../../../sim/index.ts';
import { quantity } from '../../../../sim/index.ts';
import { useKept } from '../../forms/kept-while-open.ts';
import type { Understood } from '../../forms/quantity-text.ts';
import { echo, refusalSentence, understand } from '../../forms/quantity-text.ts';
import { writtenUnit } from '../../forms/written-unit.ts';
import { useWorkbench } from '../../state/context.ts';

export interface ReadingSpec {
  readonly label: string;
  readonly name: QuantityName;
  /** Unit of a bare number; the project's where absent. */
  readonly shown?: string;
  /** What stands there until somebody types: a value the project already has. */
  readonly start?: string | undefined;
  readonly hint?: string;
}

export interface Readings<K extends string> {
  /** SI; a key is absent while its field is empty or refused. */
  readonly values: Readonly<Partial<Record<K, number>>>;
  /** As the file would hold it. */
  readonly texts: Readonly<Record<K, string>>;
  readonly fields: ComponentChildren;
}

/** Fields for the readings of one worksheet. */
export function useReadings<K extends string>(
  key: string,
  specs: Readonly<Record<K, ReadingSpec>>,
): Readings<K> {
  const kept = useKept<Readonly<Partial<Record<string, string>>>>(key, {});
  const { units } = useWorkbench().project.value;
  const values: Partial<Record<K, number>> = {};
  const texts = {} as Record<K, string>;
  const names = Object.keys(specs) as K[];
  const rows = names.map((one) => {
    const spec = specs[one];
    const row = quantity(spec.name);
    const shown = spec.shown ?? units[row.dimension] ?? row.shown;
    const text = kept.value[one] ?? spec.start ?? '';
    const read = text.trim() === '' ? undefined : understandReading(text, spec, shown);
    texts[one] = read?.ok === true ? read.text : text;
    if (read?.ok === true) values[one] = read.value;
    return (
      <ReadingField
        key={one}
        spec={spec}
        shown={shown}
        text={text}
        read={read}
        onText={(next) => {
          kept.value = { ...kept.value, [one]: next };
        }}
      />
    );
  });
  return { values, texts, fields: <div class="readings">{rows}</div> };
}

/** In the words of the field, not of the table's row. */
function understandReading(text: string, spec: ReadingSpec, shown: string): Understood {
  const read = understand(text, spec.name, shown);
  if (read.ok) return read;
  return { ...read, message: read.message.replace(quantity(spec.name).label, spec.label.toLowerCase()) };
}

interface ReadingFieldProps {
  readonly spec: ReadingSpec;
  readonly shown: string;
  readonly text: string;
  readonly read: Understood | undefined;
  readonly onText: (text: string) => void;
}

const OTHER: Readonly<Record<string, string>> = {
  kg: 'lb',
  lb: 'kg',
  mm: 'in',
  cm: 'in',
  m: 'ft',
  in: 'mm',
  ft: 'm',
};

function ReadingField({ spec, shown, text, read, onText }: ReadingFieldProps) {
  const id = useId();
  const now = writtenUnit(text, quantity(spec.name).dimension) ?? shown;
  const other = OTHER[now];
  const says =
    read === undefined
      ? (spec.hint ?? '')
      : read.ok
        ? other === undefined
          ? (spec.hint ?? '')
          : `= ${echo(read.value, spec.name, [other])}`
        : refusalSentence(read);
  return (
    <div class="field">
      <label for={id}>
        {spec.label}
        {shown === '' ? '' : <span class="unit-word">, {shown}</span>}
      </label>
      <input
        id={id}
        type="text"
        autocomplete="off"
        spellcheck={false}
        value={text}
        aria-invalid={read?.ok === false}
        aria-describedby={`${id}-says`}
        onInput={(event) => onText(event.currentTarget.value)}
      />
      <p id={`${id}-says`} class={read?.ok === false ? 'field-says refused' : 'field-says'}>
        {says}
      </p>
    </div>
  );
}

export interface WorksheetProps {
  readonly title: string;
  readonly how: string;
  readonly caution?: string;
  readonly children: ComponentChildren;
}

export function Worksheet({ title, how, caution, children }: WorksheetProps) {
  return (
    <details class="tool worksheet">
      <summary>{title}</summary>
      <div class="tool-body">
        <p class="how">{how}</p>
        {caution === undefined ? null : <p class="caution">{caution}</p>}
        {children}
      </div>
    </details>
  );
}

/** The result of a worksheet, said aloud when it changes. */
export function Result({ children }: { readonly children: ComponentChildren }) {
  return (
    <div class="result" role="status">
      {children}
    </div>
  );
}
