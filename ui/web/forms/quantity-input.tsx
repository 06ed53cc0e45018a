/**
 * A field for one quantity of the document, wherever it stands: value as written, unit, spread, origin, how to measure.
 *
 * In: the path in the document and what the table of quantities says of it. Out: edits as commands. Leaving the field
 * empty takes the value out where the file need not give it; a refusal keeps what was typed.
 */
import { useId, useState } from 'preact/hooks';
import type { Origin, QuantityName } from '../../../sim/index.ts';
import { ORIGINS, quantity, unitsOf } from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';
import { useWorkbench } from '../state/context.ts';
import { bareValue, written } from '../state/document.ts';
import { clearInput, placeOf, setInput, setOrigin, setSpread } from '../state/input-commands.ts';
import { originWord } from '../words/inputs-words.ts';
import { ChoiceField } from './choice-field.tsx';
import { OriginMark } from './origin-mark.tsx';
import { echo, inShown, refusalSentence, spreadText, understand, understandSpread } from './quantity-text.ts';
import { writtenUnit } from './written-unit.ts';

export interface QuantityInputProps {
  readonly path: string;
  readonly name: QuantityName;
  readonly label: string;
  readonly required: boolean;
  /** What the reader takes where the field is left out. */
  readonly fallback?: number | undefined;
}

export function QuantityInput({ path, name, label, required, fallback }: QuantityInputProps) {
  const workbench = useWorkbench();
  const document = workbench.document.value;
  const row = quantity(name);
  const id = useId();
  const [typed, setTyped] = useState<string | undefined>(undefined);
  const [stay, setStay] = useState(0);
  const place = placeOf(path);
  const text = bareValue(document, place);
  const shown = writtenUnit(text, row.dimension) ?? workbench.project.value.units[row.dimension] ?? row.shown;
  const asWritten = text === undefined ? '' : typeof text === 'number' ? inShown(text, name, shown) : text;
  const inField = typed ?? asWritten;
  const isEmpty = inField.trim() === '';
  const understood = isEmpty
    ? required
      ? ({ ok: false, message: `${label} is missing` } as const)
      : undefined
    : understand(inField, name, shown);
  const note = workbench.read.value.notes.find((n) => n.path === path);
  // A gear ratio in per cent is nothing anybody writes.
  const units =
    name === 'ratio'
      ? []
      : unitsOf(row.dimension).filter((unit) => unit.label !== '' || unitsOf(row.dimension).length > 1);
  const gesture = `${path}#${stay}`;
  const says =
    understood === undefined
      ? fallback === undefined
        ? 'not given'
        : `not given: ${inShown(fallback, name, shown)} is taken`
      : understood.ok
        ? echoOf(understood.value)
        : `${refusalSentence(understood)}${text === undefined ? '' : ` Still reckoning with ${asWritten}.`}`;
  return (
    <div class="field quantity">
      <label for={id}>
        {capital(label)}
        {note === undefined ? null : <OriginMark origin={note.origin} />}
      </label>
      <div class={units.length > 1 ? 'value-and-unit' : ''}>
        <input
          id={id}
          type="text"
          autocomplete="off"
          spellcheck={false}
          value={inField}
          aria-invalid={understood?.ok === false}
          aria-describedby={`${id}-says`}
          onFocus={() => setStay(stay + 1)}
          onInput={(event) => type(event.currentTarget.value)}
          onBlur={() => {
            if (understood === undefined || understood.ok) setTyped(undefined);
          }}
        />
        {units.length > 1 ? (
          <select
            aria-label={`${capital(label)}: unit`}
            value={shown}
            onChange={(event) => changeUnit(event.currentTarget.value)}
          >
            {units.map((unit) => (
              <option key={unit.label} value={unit.label}>
                {unit.label === '' ? 'plain' : unit.label}
              </option>
            ))}
          </select>
        ) : null}
      </div>
      <p id={`${id}-says`} class={understood?.ok === false ? 'field-says refused' : 'field-says'}>
        {says}
      </p>
      <details class="measure">
        <summary>
          {note === undefined
            ? 'How to measure it'
            : `${capital(originWord(note.origin))}; how to measure it`}
        </summary>
        <p class="field-says">{capital(row.measure)}.</p>
        {note === undefined || text === undefined ? null : (
          <div class="pair">
            <ChoiceField
              label="It was"
              mark={<OriginMark origin={note.origin} />}
              value={note.origin}
              options={[
                ...(note.origin === 'given'
                  ? [{ value: 'given', text: 'given, nobody says from where' }]
                  : []),
                ...ORIGINS.map((origin) => ({ value: origin, text: origin })),
              ]}
              onChoice={(origin) => workbench.edit(setOrigin(path, label, origin as Origin, text))}
            />
            <SpreadField path={path} label={label} name={name} value={note.value} spread={note.spread} />
          </div>
        )}
        <NoteOf path={path} />
      </details>
    </div>
  );

  function type(next: string): void {
    setTyped(next);
    if (next.trim() === '') {
      if (!required && text !== undefined) workbench.edit(clearInput(path, label), gesture);
      return;
    }
    const found = understand(next, name, shown);
    if (found.ok && found.text !== text) workbench.edit(setInput(path, label, found.text), gesture);
  }

  function changeUnit(unit: string): void {
    setTyped(undefined);
    if (understood?.ok !== true) return;
    workbench.edit(setInput(path, label, inShown(understood.value, name, unit, 6), 'keep'));
  }

  /** The value in the next unit a builder thinks in, where there is one. */
  function echoOf(value: number): string {
    const now = writtenUnit(inField, row.dimension) ?? shown;
    const other = ECHO_OF[now];
    return other === undefined ? '' : `= ${echo(value, name, [other])}`;
  }
}

/** The unit a value is said in once more: what the other half of the trade would write. */
const ECHO_OF: Readonly<Record<string, string>> = {
  mm: 'in',
  cm: 'in',
  m: 'ft',
  in: 'mm',
  ft: 'm',
  kg: 'lb',
  lb: 'kg',
  N·m: 'lbf·ft',
  lbf·ft: 'N·m',
  kgf·m: 'N·m',
  kW: 'hp',
  hp: 'kW',
  PS: 'kW',
  'km/h': 'mph',
  mph: 'km/h',
  'm/s': 'km/h',
  psi: 'bar',
  bar: 'psi',
  hPa: 'psi',
  '°C': '°F',
  '°F': '°C',
  'N/mm': 'lbf/in',
  'lbf/in': 'N/mm',
  N: 'lbf',
  lbf: 'N',
};

interface SpreadFieldProps {
  readonly path: string;
  readonly label: string;
  readonly name: QuantityName;
  readonly value: number;
  readonly spread: number;
}

/** How sure: one standard deviation, in the value's own units or per cent. */
function SpreadField({ path, label, name, value, spread }: SpreadFieldProps) {
  const workbench = useWorkbench();
  const id = useId();
  const [typed, setTyped] = useState<string | undefined>(undefined);
  const raw = written(workbench.document.value, placeOf(path));
  const stated = typeof raw === 'object' && raw !== null && 'spread' in raw ? String(raw.spread) : undefined;
  const now = typed ?? stated ?? '';
  const found = now.trim() === '' ? undefined : understandSpread(now, name, value);
  const row = quantity(name);
  return (
    <div class="field">
      <label for={id}>Give or take</label>
      <input
        id={id}
        type="text"
        autocomplete="off"
        value={now}
        placeholder={spreadText(spread, name, workbench.project.value.units[row.dimension] ?? row.shown)}
        aria-invalid={found?.ok === false}
        aria-describedby={`${id}-says`}
        onInput={(event) => {
          const next = event.currentTarget.value;
          setTyped(next);
          if (next.trim() === '') return;
          const read = understandSpread(next, name, value);
          if (read.ok) workbench.edit(setSpread(path, label, next.trim(), value), `${path} spread`);
        }}
        onBlur={() => {
          if (found?.ok !== false) setTyped(undefined);
        }}
      />
      <p id={`${id}-says`} class={found?.ok === false ? 'field-says refused' : 'field-says'}>
        {found?.ok === false
          ? refusalSentence(found)
          : stated === undefined
            ? 'assumed, until you say'
            : 'one standard deviation'}
      </p>
    </div>
  );
}

function NoteOf({ path }: { path: string }) {
  const { document } = useWorkbench();
  const raw = written(document.value, placeOf(path));
  const note = typeof raw === 'object' && raw !== null && 'note' in raw ? raw.note : undefined;
  return typeof note === 'string' ? <p class="field-says">Note: {note}</p> : null;
}
