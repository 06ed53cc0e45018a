/**
 * One part of the project as a card: its form, and what may be done with it - duplicate, delete, compare, take one
 * from the demo's shelf.
 */
import { useState } from 'preact/hooks';
import { PROJECT_SHAPE } from '../../../../sim/index.ts';
import { demoInput } from '../../../demo/demo-project.ts';
import { ChoiceField } from '../../forms/choice-field.tsx';
import type { SpecialEditors } from '../../forms/entry-form.tsx';
import { EntryForm } from '../../forms/entry-form.tsx';
import { TableOf } from '../../plots/data-table.tsx';
import { useWorkbench } from '../../state/context.ts';
import { written } from '../../state/document.ts';
import type { PartKind } from '../../state/part-commands.ts';
import { addPart, deletePart, duplicatePart, usersOf } from '../../state/part-commands.ts';
import { list } from '../../words/lap-words.ts';
import { comparedParts } from '../../words/part-words.ts';

export interface PartCardProps {
  readonly kind: PartKind;
  readonly id: string;
  /** What the part is to the kart: "Donor", "Rear tyres". */
  readonly label: string;
  /** Puts another part of the kind in this one's place; absent where nothing holds it. */
  readonly onChoose?: (id: string) => void;
  readonly instead?: SpecialEditors;
  readonly beside?: SpecialEditors;
  readonly open?: boolean;
}

export function PartCard({
  kind,
  id,
  label,
  onChoose,
  instead = {},
  beside = {},
  open = false,
}: PartCardProps) {
  const workbench = useWorkbench();
  const [isOpen, setOpen] = useState(open);
  const project = workbench.project.value;
  const entries = project[kind];
  const part = written(workbench.document.value, [kind, id]);
  const name = entries[id]?.name ?? id;
  const shape = entryShape(kind);
  if (part === undefined || shape === undefined) return null;
  const users = usersOf(project, kind, id);
  return (
    <details class="card part" open={isOpen} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        <span class="part-role">{label}</span> {name}
        {users.length > 1 ? <small> used by {users.length}, and changed for all</small> : null}
      </summary>
      {isOpen ? (
        <>
          {onChoose === undefined ? null : (
            <div class="part-choice">
              <ChoiceField
                label={`${label} in place`}
                value={id}
                options={Object.entries(entries).map(([value, entry]) => ({ value, text: entry.name }))}
                onChoice={onChoose}
              />
            </div>
          )}
          <EntryForm key={id} path={`${kind}.${id}`} shape={shape} instead={instead} beside={beside} />
          <PartTools
            kind={kind}
            id={id}
            name={name}
            users={users}
            {...(onChoose === undefined ? {} : { onChoose })}
          />
        </>
      ) : null}
    </details>
  );
}

interface PartToolsProps {
  readonly kind: PartKind;
  readonly id: string;
  readonly name: string;
  readonly users: readonly string[];
  readonly onChoose?: (id: string) => void;
}

export function PartTools({ kind, id, name, users, onChoose }: PartToolsProps) {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const others = Object.keys(project[kind]).filter((other) => other !== id);
  const [against, setAgainst] = useState('');
  const shelf = shelfOf(kind, project[kind]);
  const add = (added: ReturnType<typeof addPart>): void => {
    workbench.edit(added.command);
    onChoose?.(added.id);
  };
  const isLast = others.length === 0;
  return (
    <div class="part-tools">
      <div class="part-buttons">
        <button type="button" onClick={() => add(duplicatePart(workbench.document.value, kind, id, name))}>
          Duplicate {name}
        </button>
        <button
          type="button"
          disabled={users.length > 0 || isLast}
          onClick={() => {
            workbench.edit(deletePart(kind, id, name));
          }}
        >
          Delete {name}
        </button>
        <span class="field-says">
          {users.length > 0
            ? `Cannot go while ${list(users)} ${users.length === 1 ? 'needs' : 'need'} it.`
            : isLast
              ? 'The only one there is: it stays.'
              : 'Undo brings it back.'}
        </span>
      </div>
      <UnusedParts kind={kind} others={others} />
      <div class="pair">
        {others.length === 0 ? null : (
          <ChoiceField
            label="Compare with"
            value={against}
            options={[
              { value: '', text: 'nothing' },
              ...others.map((other) => ({ value: other, text: project[kind][other]?.name ?? other })),
            ]}
            onChoice={setAgainst}
          />
        )}
        {shelf.length === 0 ? null : (
          <ChoiceField
            label="Take one from the demo’s shelf"
            value=""
            options={[
              { value: '', text: 'choose one' },
              ...shelf.map(({ id: value, name: text }) => ({ value, text })),
            ]}
            onChoice={(picked) => {
              const entry = shelf.find((one) => one.id === picked);
              if (entry !== undefined) add(addPart(workbench.document.value, kind, entry.id, entry.part));
            }}
          />
        )}
      </div>
      {against === '' || project[kind][against] === undefined ? null : (
        <TableOf
          caption={`${name} beside ${project[kind][against]?.name}`}
          table={comparedParts(workbench.read.value.notes, project, kind, id, against)}
        />
      )}
    </div>
  );
}

/** A card shows the part in place: those in no kart would have no card, and could never be deleted. */
function UnusedParts({ kind, others }: { readonly kind: PartKind; readonly others: readonly string[] }) {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  if (kind === 'karts' || kind === 'days') return null;
  const unused = others.filter((other) => usersOf(project, kind, other).length === 0);
  if (unused.length === 0) return null;
  return (
    <p class="part-buttons">
      <span class="field-says">In no kart:</span>
      {unused.map((other) => {
        const name = project[kind][other]?.name ?? other;
        return (
          <button key={other} type="button" onClick={() => workbench.edit(deletePart(kind, other, name))}>
            Delete {name}
          </button>
        );
      })}
    </p>
  );
}

/** Demo parts of a kind that the project does not have: something to start from. */
function shelfOf(kind: PartKind, present: Readonly<Record<string, unknown>>) {
  if (kind === 'karts') return [];
  const shelf = demoInput()[kind];
  if (typeof shelf !== 'object' || shelf === null) return [];
  return Object.entries(shelf)
    .filter(([id]) => !Object.hasOwn(present, id))
    .map(([id, part]) => ({
      id,
      part: part as object,
      name: String((part as { name?: unknown }).name ?? id),
    }));
}

function entryShape(kind: PartKind) {
  const field = PROJECT_SHAPE.kind === 'group' ? PROJECT_SHAPE.fields[kind] : undefined;
  return field?.shape.kind === 'ids' ? field.shape.entry : undefined;
}
