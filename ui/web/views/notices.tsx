/** What the builder must know whatever is in view: not kept, changed elsewhere, new version, arrivals, no network. */
import { useCallback, useState } from 'preact/hooks';
import type { Problem } from '../../../sim/index.ts';
import { capital } from '../../words/capital.ts';
import { readFile } from '../exchange/incoming.ts';
import { useStore } from '../store/context.ts';
import { whenWord } from '../words/store-words.ts';
import { ArrivalPanel } from './project/arrival-panel.tsx';
import { useFileDrop } from './project/use-file-drop.ts';

export function Notices() {
  const { arrival } = useStore().desk;
  const take = useCallback(
    (file: File) =>
      void readFile(file).then((incoming) => {
        arrival.value = incoming;
      }),
    [arrival],
  );
  useFileDrop(take);
  return (
    <div class="notices">
      <StorageNotice />
      <ConflictNotice />
      <Remarks />
      <ArrivalPanel />
      <UpdateNotice />
      <OfflineNotice />
    </div>
  );
}

/** Edits are not kept, or the last ones are not: why, and what to do. */
export function StorageNotice() {
  const { desk } = useStore();
  const storing = desk.store.storing.value;
  if (storing.kind !== 'not-kept' && storing.kind !== 'failed') return null;
  const { message, remedy } = storing.problem;
  return (
    <section class="notice strong" role="alert">
      <p>
        <strong>{capital(message)}.</strong> {remedy === undefined ? null : `${capital(remedy)}.`}
      </p>
      {storing.kind === 'failed' ? (
        <p class="actions">
          <button type="button" onClick={() => void desk.flush()}>
            Try again
          </button>
        </p>
      ) : null}
    </section>
  );
}

/** Another tab has the same project: what happened there, and the two ways on. Neither loses anything. */
export function ConflictNotice() {
  const { desk } = useStore();
  const [trouble, setTrouble] = useState<Problem | undefined>(undefined);
  const storing = desk.store.storing.value;
  if (storing.kind !== 'conflict') return null;
  const { at } = storing;
  return (
    <section class="notice strong" role="alert">
      <p>
        <strong>
          {at === undefined
            ? 'This project was put aside in another tab.'
            : `This project was changed in another tab, ${whenWord(at, Date.now())}.`}
        </strong>{' '}
        What you do here is not kept until you choose.
        {trouble === undefined ? null : ` ${capital(trouble.message)}.`}
      </p>
      <p class="actions">
        <button type="button" onClick={() => desk.branch()}>
          Go on here, as a copy
        </button>
        <button type="button" onClick={() => void desk.takeTheirs().then(setTrouble)}>
          {at === undefined ? 'Leave it, open the demo' : "Take the other tab's state"}
        </button>
        <small>What you have here and not there is put aside in that case, under Project.</small>
      </p>
    </section>
  );
}

/** A new version of the page has been fetched and waits. */
export function UpdateNotice() {
  const { desk, offline } = useStore();
  if (!offline.newVersion.value) return null;
  return (
    <section class="notice" role="status">
      <p>A new version of Kartwright is ready. Everything of yours stays.</p>
      <p class="actions">
        <button type="button" onClick={() => void desk.flush().then(() => offline.takeOver())}>
          Reload now
        </button>
      </p>
    </section>
  );
}

export function OfflineNotice() {
  const { offline } = useStore();
  if (offline.online.value) return null;
  const word =
    offline.kept.value === 'ready'
      ? 'No network. Everything here works all the same.'
      : 'No network. Everything works as long as this page stays open.';
  return (
    <p class="notice" role="status">
      {word}
    </p>
  );
}

function Remarks() {
  const { remarks } = useStore().desk.store;
  if (remarks.value.length === 0) return null;
  return (
    <section class="notice" role="status">
      {remarks.value.map((remark) => (
        <p key={remark}>{remark}</p>
      ))}
      <p class="actions">
        <button
          type="button"
          onClick={() => {
            remarks.value = [];
          }}
        >
          Understood
        </button>
      </p>
    </section>
  );
}
