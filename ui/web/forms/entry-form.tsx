/**
 * The form of one entry of the project file (a chassis, a donor, a day), made from the file's own shape.
 *
 * In: a path and its shape. Out: fields for every quantity, word, name, list and group of it; groups the file leaves out
 * can be added and taken away. Knows no field by name but those that have an editor of their own (SPECIAL).
 */
import type { ComponentChildren } from 'preact';
import type { Field, Project, Shape } from '../../../sim/index.ts';
import { chosenOption, quantity } from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';
import { useWorkbench } from '../state/context.ts';
import { written } from '../state/document.ts';
import { placeOf, removeValue, setValue } from '../state/input-commands.ts';
import { fieldWords, patternOf } from '../words/field-words.ts';
import { CHOICE_WORDS, OPTION_WORDS, sectionWords } from '../words/section-words.ts';
import { ChoiceField } from './choice-field.tsx';
import { blankOf } from './entry-blank.ts';
import { QuantityInput } from './quantity-input.tsx';
import { TextField } from './text-field.tsx';

export interface FieldProps {
  readonly path: string;
  readonly shape: Shape;
  readonly required: boolean;
  readonly fallback?: unknown;
}

/** An editor in place of the general one, and worksheets beside a group, by pattern of the path. */
export interface SpecialEditors {
  readonly [pattern: string]: (props: { readonly path: string }) => ComponentChildren;
}

export interface EntryFormProps {
  readonly path: string;
  readonly shape: Shape;
  /** Replace the field of a pattern. */
  readonly instead?: SpecialEditors;
  /** Stand below the field of a pattern. */
  readonly beside?: SpecialEditors;
}

export function EntryForm(props: EntryFormProps) {
  const { path, shape } = props;
  if (shape.kind !== 'group') return null;
  return (
    <form class="entry" onSubmit={(event) => event.preventDefault()}>
      <Fields path={path} fields={shape.fields} special={props} />
    </form>
  );
}

type Special = Pick<EntryFormProps, 'instead' | 'beside'>;

function Fields({
  path,
  fields,
  special,
}: {
  path: string;
  fields: Readonly<Record<string, Field>>;
  special: Special;
}) {
  return (
    <div class="fields">
      {Object.entries(fields).map(([key, field]) => (
        <AnyField
          key={key}
          path={`${path}.${key}`}
          shape={field.shape}
          required={field.required}
          fallback={field.fallback}
          special={special}
        />
      ))}
    </div>
  );
}

/** Written as an annotated quantity, not as a field of its own. */
const ANNOTATIONS = new Set(['spread', 'origin']);

function AnyField(props: FieldProps & { readonly special: Special }) {
  const { path, special } = props;
  const pattern = patternOf(path);
  const Instead = special.instead?.[pattern];
  const Beside = special.beside?.[pattern];
  if (ANNOTATIONS.has(pattern.split('.').at(-1) ?? '') && !pattern.startsWith('donors.*.torque')) return null;
  return (
    <>
      {Instead === undefined ? (
        <General {...props} />
      ) : (
        <div class="wide-field">{<Instead path={path} />}</div>
      )}
      {Beside === undefined ? null : <div class="wide-field">{<Beside path={path} />}</div>}
    </>
  );
}

function General(props: FieldProps & { readonly special: Special }) {
  const { path, shape, required, fallback } = props;
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const words = sectionWords(path, (id) => project.surfaces[id]?.name ?? id);
  const found = written(workbench.document.value, placeOf(path));
  switch (shape.kind) {
    case 'quantity':
      return (
        <QuantityInput
          path={path}
          name={shape.name}
          label={fieldWords(path, project) ?? quantity(shape.name).label}
          required={required}
          fallback={typeof fallback === 'number' ? fallback : undefined}
        />
      );
    case 'text': {
      const among = entriesReferredTo(path, project);
      if (among !== undefined)
        return (
          <ChoiceField
            label={capital(words)}
            value={typeof found === 'string' ? found : ''}
            options={[
              ...(typeof found === 'string' && Object.hasOwn(among, found)
                ? []
                : [
                    {
                      value: typeof found === 'string' ? found : '',
                      text: required ? 'choose one' : 'as the rest',
                    },
                  ]),
              ...Object.entries(among).map(([value, { name }]) => ({ value, text: name })),
            ]}
            onChoice={(id) =>
              workbench.edit(
                id === ''
                  ? removeValue(path, `${words} left out`)
                  : setValue(path, `${words} ${among[id]?.name ?? id}`, id),
              )
            }
          />
        );
      return <TextField path={path} label={capital(words)} required={required} />;
    }
    case 'words':
      return (
        <ChoiceField
          label={capital(words)}
          value={String(found ?? fallback ?? shape.words[0])}
          options={shape.words.map((word) => ({
            value: String(word),
            text: CHOICE_WORDS[String(word)] ?? String(word),
          }))}
          onChoice={(word) =>
            workbench.edit(
              setValue(
                path,
                `${words} ${word}`,
                shape.words.find((entry) => String(entry) === word),
              ),
            )
          }
        />
      );
    case 'yes-or-no':
      return (
        <label class="tick">
          <input
            type="checkbox"
            checked={(found ?? fallback) === true}
            onChange={(event) => {
              const on = event.currentTarget.checked;
              workbench.edit(setValue(path, `${words}: ${on ? 'yes' : 'no'}`, on));
            }}
          />
          <span>{capital(words)}</span>
        </label>
      );
    case 'group':
      return <Group {...props} shape={shape} words={words} found={found} />;
    case 'list':
      return <List {...props} shape={shape} words={words} found={found} />;
    case 'ids':
      return <Ids {...props} shape={shape} words={words} found={found} />;
    case 'choice':
      return <Options {...props} shape={shape} words={words} found={found} />;
    default:
      return null;
  }
}

interface Inner<S extends Shape> extends FieldProps {
  readonly shape: S;
  readonly special: Special;
  readonly words: string;
  readonly found: unknown;
}

function Group({
  path,
  shape,
  required,
  fallback,
  special,
  words,
  found,
}: Inner<Extract<Shape, { kind: 'group' }>>) {
  const workbench = useWorkbench();
  if (found === undefined && !required && fallback === undefined)
    return (
      <p class="absent">
        {capital(words)}: not given.{' '}
        <button
          type="button"
          aria-label={`Give it: ${words.toLowerCase()}`}
          onClick={() =>
            workbench.edit(setValue(path, `${words} added`, blankOf(shape, workbench.project.value)))
          }
        >
          Give it
        </button>
      </p>
    );
  return (
    <fieldset class="group">
      <legend>{capital(words)}</legend>
      <Fields path={path} fields={shape.fields} special={special} />
      {required || found === undefined ? null : (
        <button
          type="button"
          class="quiet"
          onClick={() => workbench.edit(removeValue(path, `${words} taken away`))}
        >
          Take {words.toLowerCase()} away
        </button>
      )}
    </fieldset>
  );
}

function List({ path, shape, special, words, found }: Inner<Extract<Shape, { kind: 'list' }>>) {
  const workbench = useWorkbench();
  const items = Array.isArray(found) ? found : [];
  const place = (i: number): string => `${path}[${i}]`;
  return (
    <fieldset class="group">
      <legend>{capital(words)}</legend>
      {items.map((_, i) => (
        <div key={i} class="list-entry">
          <AnyField path={place(i)} shape={shape.item} required={true} special={special} />
          <button
            type="button"
            class="quiet"
            aria-label={`Take away ${words.toLowerCase()} ${i + 1}`}
            onClick={() => workbench.edit(removeValue(place(i), `${words} ${i + 1} taken away`))}
          >
            Take away
          </button>
        </div>
      ))}
      <button
        type="button"
        onClick={() =>
          workbench.edit(
            setValue(path, `${words}: one more`, [...items, blankOf(shape.item, workbench.project.value)]),
          )
        }
      >
        One more
      </button>
    </fieldset>
  );
}

/** A record by surface: grip figures. */
function Ids({ path, shape, special, words, found }: Inner<Extract<Shape, { kind: 'ids' }>>) {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const entries = typeof found === 'object' && found !== null ? Object.keys(found) : [];
  const absent = Object.keys(project.surfaces).filter((id) => !entries.includes(id));
  return (
    <fieldset class="group">
      <legend>{capital(words)}</legend>
      {entries.map((id) => (
        <details key={id} class="ground" open={entries.length === 1}>
          <summary>{project.surfaces[id]?.name ?? id}</summary>
          <AnyField path={`${path}.${id}`} shape={shape.entry} required={true} special={special} />
          <button
            type="button"
            class="quiet"
            onClick={() =>
              workbench.edit(removeValue(`${path}.${id}`, `${project.surfaces[id]?.name ?? id} taken away`))
            }
          >
            Take {project.surfaces[id]?.name ?? id} away
          </button>
        </details>
      ))}
      {absent.length === 0 ? null : (
        <ChoiceField
          label="Add figures for"
          value=""
          options={[
            { value: '', text: 'a ground' },
            ...absent.map((id) => ({ value: id, text: project.surfaces[id]?.name ?? id })),
          ]}
          onChoice={(id) => {
            if (id !== '')
              workbench.edit(
                setValue(
                  `${path}.${id}`,
                  `${project.surfaces[id]?.name ?? id} added`,
                  blankOf(shape.entry, project),
                ),
              );
          }}
        />
      )}
    </fieldset>
  );
}

/** A part that may be written in several ways: choose which, then its fields. */
function Options(props: Inner<Extract<Shape, { kind: 'choice' }>>) {
  const { path, shape, special, words, found, fallback } = props;
  const workbench = useWorkbench();
  const now = chosenOption(shape.options, found ?? fallback);
  const options = shape.options.flatMap((option): { value: string; text: string; option: Shape }[] =>
    option.kind === 'words'
      ? option.words.map((word) => ({
          value: `=${word}`,
          text: CHOICE_WORDS[String(word)] ?? String(word),
          option,
        }))
      : [{ value: optionKey(option), text: OPTION_WORDS[optionKey(option)] ?? optionKey(option), option }],
  );
  const value = now.kind === 'words' ? `=${String(found ?? fallback)}` : optionKey(now);
  return (
    <fieldset class="group">
      <legend>{capital(words)}</legend>
      <ChoiceField
        label="Given"
        value={value}
        options={options}
        onChoice={(picked) => {
          const entry = options.find((option) => option.value === picked);
          if (entry === undefined) return;
          const next =
            entry.option.kind === 'words' ? picked.slice(1) : blankOf(entry.option, workbench.project.value);
          workbench.edit(setValue(path, `${words}: ${entry.text}`, next));
        }}
      />
      {now.kind === 'group' && found !== undefined ? (
        <Fields path={path} fields={now.fields} special={special} />
      ) : null}
    </fieldset>
  );
}

/** Names an option by the keys only it must have. */
function optionKey(option: Shape): string {
  if (option.kind !== 'group') return option.kind;
  const required = Object.entries(option.fields)
    .filter(([, field]) => field.required)
    .map(([key]) => key);
  return required.includes('turn') ? 'turn' : required.join(',');
}

/** Entries a text refers to by id; undefined for a plain text. */
function entriesReferredTo(
  path: string,
  project: Project,
): Readonly<Record<string, { readonly name: string }>> | undefined {
  const pattern = patternOf(path);
  if (/^tracks\..*\.surface$/.test(pattern)) return project.surfaces;
  switch (pattern) {
    case 'karts.*.chassis':
      return project.chassis;
    case 'karts.*.donor':
      return Object.fromEntries(Object.entries(project.donors));
    case 'karts.*.brakes':
      return project.brakes;
    case 'karts.*.tyres.front':
    case 'karts.*.tyres.rear':
      return project.tyres;
    default:
      return undefined;
  }
}
