/** Every project kept in this browser: open, copy, rename, put aside; those put aside: take back, discard for good. */
import { useState } from 'preact/hooks';
import type { Problem } from '../../../../sim/index.ts';
import { saveJson } from '../../exchange/save-file.ts';
import { useStore } from '../../store/context.ts';
import type { StoredEntry } from '../../store/records.ts';
import { whenWord } from '../../words/store-words.ts';
import { ProblemList } from '../problem-list.tsx';
import { TwoSteps } from './two-steps.tsx';

export function StoredProjects() {
  const { desk } = useStore();
  const [trouble, setTrouble] = useState<Problem | undefined>(undefined);
  const say = (outcome: Promise<Problem | undefined>): void => void outcome.then(setTrouble);
  const entries = desk.store.projects.value;
  const kept = entries.filter(({ head }) => head?.asideAt === undefined);
  const aside = entries.filter(({ head }) => head?.asideAt !== undefined);
  return (
    <section class="card" aria-labelledby="stored-title">
      <h2 class="question" id="stored-title">
        Projects in this browser
      </h2>
      <ProblemList problems={trouble === undefined ? [] : [trouble]} />
      {kept.length === 0 ? (
        <p class="field-says">None yet. The demo is kept as a project of yours as soon as you change it.</p>
      ) : (
        <ul class="stored">
          {kept.map((entry) =>
            entry.head === undefined ? (
              <DamagedEntry key={entry.id} id={entry.id} />
            ) : (
              <KeptEntry key={entry.id} entry={entry} say={say} />
            ),
          )}
        </ul>
      )}
      <p class="actions">
        <button type="button" onClick={() => say(desk.openDemo())}>
          Open the demo anew
        </button>
      </p>
      {aside.length === 0 ? null : (
        <details class="behind">
          <summary>Put aside: {aside.length}</summary>
          <ul class="stored">
            {aside.map((entry) => (
              <AsideEntry key={entry.id} entry={entry} />
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}

interface EntryProps {
  readonly entry: StoredEntry;
  readonly say: (outcome: Promise<Problem | undefined>) => void;
}

function KeptEntry({ entry: { id, head }, say }: EntryProps) {
  const { desk } = useStore();
  const [renaming, setRenaming] = useState(false);
  const isOpen = desk.store.current.value === id;
  const name = head?.name ?? '';
  return (
    <li aria-label={name}>
      {renaming ? (
        <RenameForm id={id} name={name} onDone={() => setRenaming(false)} />
      ) : (
        <p class="entry-name">
          <strong>{name}</strong>
          <small>
            {isOpen ? 'open here, ' : ''}changed {whenWord(head?.savedAt ?? 0, Date.now())}
          </small>
        </p>
      )}
      <p class="actions">
        {isOpen ? null : (
          <button type="button" onClick={() => say(desk.open(id))}>
            Open
          </button>
        )}
        <button type="button" onClick={() => void desk.flush().then(() => desk.store.duplicate(id))}>
          Copy
        </button>
        {isOpen || renaming ? null : (
          <button type="button" onClick={() => setRenaming(true)}>
            Rename
          </button>
        )}
        <button type="button" onClick={() => say(desk.putAside(id))}>
          Put aside
        </button>
      </p>
    </li>
  );
}

function RenameForm({ id, name, onDone }: { id: string; name: string; onDone: () => void }) {
  const { store } = useStore().desk;
  const [typed, setTyped] = useState(name);
  return (
    <form
      class="rename"
      onSubmit={(event) => {
        event.preventDefault();
        if (typed.trim() !== '' && typed !== name) void store.rename(id, typed.trim());
        onDone();
      }}
    >
      <input
        type="text"
        aria-label={`New name for ${name}`}
        maxLength={120}
        value={typed}
        onInput={(event) => setTyped(event.currentTarget.value)}
      />
      <button type="submit">Rename</button>
    </form>
  );
}

function AsideEntry({ entry: { id, head } }: { entry: StoredEntry }) {
  const { store } = useStore().desk;
  return (
    <li aria-label={head?.name}>
      <p class="entry-name">
        <strong>{head?.name}</strong>
        <small>put aside {whenWord(head?.asideAt ?? 0, Date.now())}</small>
      </p>
      <p class="actions">
        <button type="button" onClick={() => void store.takeBack(id)}>
          Take back
        </button>
        <DiscardButton id={id} />
      </p>
    </li>
  );
}

function DamagedEntry({ id }: { id: string }) {
  return (
    <li aria-label="A damaged project">
      <p class="entry-name">
        <strong>A project that cannot be read</strong>
        <small>it stays as it is until you discard it</small>
      </p>
      <p class="actions">
        <RawButton id={id} />
        <DiscardButton id={id} />
      </p>
    </li>
  );
}

export function RawButton({ id }: { id?: string }) {
  const { store } = useStore().desk;
  const save = async (): Promise<void> => {
    const text = JSON.stringify(await store.raw(id), null, 1);
    saveJson('kartwright-as-stored.json', text);
  };
  return (
    <button type="button" onClick={() => void save()}>
      Save what is stored as a file
    </button>
  );
}

function DiscardButton({ id }: { id: string }) {
  const { store } = useStore().desk;
  return (
    <TwoSteps
      label="Discard for good"
      question="It cannot be had back."
      confirm="Discard it"
      onConfirm={() => void store.discard(id)}
    />
  );
}
