/** Which column of a log is what, and in which unit: one field for each role, listing the headers of the file. */
import { useSignal } from '@preact/signals';
import type { ColumnChoices, LogRole } from '../../../log-files/log-columns.ts';
import { LOG_ROLES, UNITS_OF_ROLE } from '../../../log-files/log-columns.ts';
import type { LogRead } from '../../../log-files/read-log.ts';
import { ChoiceField } from '../../forms/choice-field.tsx';
import { ROLE_WORDS } from '../../words/match-words.ts';

export interface ColumnChoicesProps {
  readonly read: LogRead;
  /** The builder's word so far, over what was guessed. */
  readonly said: ColumnChoices;
  readonly onSay: (said: ColumnChoices) => void;
}

const NONE = 'none';

export function ColumnChoiceFields({ read, said, onSay }: ColumnChoicesProps) {
  // Open from the first where nothing could be read; then as the builder leaves it.
  const isOpen = useSignal(read.log === undefined);
  return (
    <details
      class="behind"
      open={isOpen.value}
      onToggle={(event) => {
        isOpen.value = event.currentTarget.open;
      }}
    >
      <summary>Which column is what</summary>
      {isOpen.value ? (
        <div class="inline-fields">
          {LOG_ROLES.map((role) => (
            <RoleFields key={role} role={role} read={read} said={said} onSay={onSay} />
          ))}
        </div>
      ) : null}
    </details>
  );
}

function RoleFields({ role, read, said, onSay }: ColumnChoicesProps & { role: LogRole }) {
  const found = read.columns.find((column) => column.role === role);
  const own = said[role];
  const column = own?.column === undefined ? found?.column : own.column;
  const units = UNITS_OF_ROLE[role] ?? [];
  const asRead =
    own?.unit === undefined && found !== undefined && found.unit !== '' ? ` (${found.unit})` : '';
  return (
    <>
      <ChoiceField
        label={ROLE_WORDS[role]}
        value={typeof column === 'number' ? String(column) : NONE}
        options={[
          { value: NONE, text: 'not in this file' },
          ...read.heads.map((head, k) => ({
            value: String(k),
            text: head.trim() === '' ? `column ${k + 1}` : head.slice(0, 40),
          })),
        ]}
        onChoice={(next) => onSay(withColumn(said, role, next === NONE ? null : Number(next)))}
      />
      {typeof column === 'number' && units.length > 0 ? (
        <ChoiceField
          label={`${ROLE_WORDS[role]}, unit`}
          value={own?.unit ?? ''}
          options={[
            { value: '', text: `as the file tells${asRead}` },
            ...units.map((unit) => ({ value: unit, text: unit })),
          ]}
          onChoice={(unit) => onSay({ ...said, [role]: { column, ...(unit === '' ? {} : { unit }) } })}
        />
      ) : null}
    </>
  );
}

/** A column has one role: where the builder gave it another before, that word is taken back. */
function withColumn(said: ColumnChoices, role: LogRole, column: number | null): ColumnChoices {
  const others = Object.entries(said).filter(([, choice]) => column === null || choice.column !== column);
  return { ...Object.fromEntries(others), [role]: { column } };
}
