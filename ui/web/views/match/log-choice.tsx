/** A log to be matched: chosen, read beside the page, what was understood of it, and the columns where that is wrong. */
import { useSignal } from '@preact/signals';
import { useEffect, useId, useRef } from 'preact/hooks';
import type { Problem } from '../../../../sim/index.ts';
import { COLUMN_TROUBLES, type ColumnChoices } from '../../../log-files/log-columns.ts';
import { MAX_LOG_BYTES } from '../../../log-files/read-log.ts';
import type { LogReading } from '../../exchange/log-reading.ts';
import { readLogBeside } from '../../exchange/log-reading.ts';
import { useWorkbench } from '../../state/context.ts';
import { ProblemList } from '../problem-list.tsx';
import { ColumnChoiceFields } from './column-choices.tsx';

/** The kart and the ground the demo's outing was made up for. */
const MADE_UP = { kart: 'clodlet-four-asphalt', ground: 'asphalt', name: 'made-up-outing.csv' } as const;

export function LogChoice() {
  const workbench = useWorkbench();
  const { match } = workbench;
  const { karts, surfaces } = workbench.project.value;
  const { read, file, columns } = match.value.value;
  /** The builder's word on the columns, that of a reading under way included. */
  const said = useSignal<ColumnChoices>(columns ?? {});
  const id = useId();
  const trouble = useSignal('');
  /** The kart was changed for the made-up outing: said for as long as it stays in view. */
  const hasChosenKart = useSignal(false);
  const busy = useSignal('');
  const reading = useRef<LogReading | undefined>(undefined);
  const chooser = useRef<HTMLInputElement>(null);
  const end = (): void => {
    reading.current?.end();
    reading.current = undefined;
    busy.value = '';
  };
  useEffect(() => end, []);
  const take = async (file: File, columns: ColumnChoices = {}): Promise<void> => {
    end();
    trouble.value = '';
    said.value = columns;
    if (file.size > MAX_LOG_BYTES) {
      trouble.value = `${file.name} has ${(file.size / 1e6).toFixed(0)} MB; a log may have ${MAX_LOG_BYTES / 1e6} MB. Cut out the runs that matter.`;
      return;
    }
    busy.value = file.name.slice(0, 120);
    const begun = readLogBeside(file, columns);
    reading.current = begun;
    const read = await begun.read;
    if (reading.current !== begun) return;
    end();
    match.take(file.name, read, { file, columns });
  };
  const stop = (): void => {
    trouble.value = `Stopped: ${busy.value} was not read to its end.`;
    said.value = match.value.peek().columns ?? {};
    end();
    chooser.current?.focus();
  };
  const takeMadeUp = async (): Promise<void> => {
    const { default: text } = await import('../../../demo/made-up-outing.csv?raw');
    if (workbench.choice.peek().kart !== MADE_UP.kart) {
      workbench.choose({ kart: MADE_UP.kart, gear: 0 });
      hasChosenKart.value = true;
    }
    match.driveOn(MADE_UP.ground);
    await take(new File([text], MADE_UP.name));
  };
  const hasDemo = Object.hasOwn(karts, MADE_UP.kart) && Object.hasOwn(surfaces, MADE_UP.ground);
  return (
    <>
      <p class="save-row">
        <label class="file-choice" for={id}>
          Choose a log
          <input
            ref={chooser}
            id={id}
            type="file"
            accept=".csv,.tsv,.txt,.gpx,text/*"
            onChange={(event) => {
              const chosen = event.currentTarget.files?.[0];
              hasChosenKart.value = false;
              if (chosen !== undefined) void take(chosen);
              event.currentTarget.value = '';
            }}
          />
        </label>
        {hasDemo ? (
          <button type="button" onClick={() => void takeMadeUp()}>
            Try it with a made-up outing of {karts[MADE_UP.kart]?.name}
          </button>
        ) : null}
        {/* Never hidden, so that it is heard when it is filled. */}
        <span class="field-says" role="status">
          {hasChosenKart.value && workbench.choice.value.kart === MADE_UP.kart
            ? `Kart in view is now ${karts[MADE_UP.kart]?.name}, for which the outing was made up.`
            : ''}
        </span>
      </p>
      <p class={busy.value === '' ? 'field-says refused' : 'field-says'} role="status">
        {busy.value === '' ? trouble.value : `Reading ${busy.value} …`}
      </p>
      {busy.value === '' ? null : (
        <div class="study-progress">
          <button type="button" onClick={stop}>
            Stop
          </button>
        </div>
      )}
      {read === undefined ? null : (
        <>
          <ProblemList problems={read.problems.map(withFieldsBelow)} />
          {read.remarks.length === 0 ? null : (
            <ul class="worked">
              {read.remarks.map((remark) => (
                <li key={remark}>{remark}</li>
              ))}
            </ul>
          )}
          {file === undefined || read.heads.length === 0 ? null : (
            <ColumnChoiceFields
              key={`${file.name} ${file.lastModified} ${file.size}`}
              read={read}
              said={said.value}
              onSay={(next) => void take(file, next)}
            />
          )}
        </>
      )}
    </>
  );
}

/** What to do about columns nobody can tell, here: choose them. */
function withFieldsBelow(found: Problem): Problem {
  return COLUMN_TROUBLES.includes(found.code)
    ? { ...found, remedy: 'say below which column is what' }
    : found;
}
