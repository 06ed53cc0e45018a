/** In place of the page when what is stored cannot be opened: what happened, and every way on. */
import type { Problem } from '../../../sim/index.ts';
import { saveJson } from '../exchange/save-file.ts';
import type { History } from '../state/history.ts';
import type { Store } from '../store/kept-projects.ts';
import { times } from '../words/numbers.ts';
import { whenWord } from '../words/store-words.ts';
import { ProblemList } from './problem-list.tsx';
import { TwoSteps } from './project/two-steps.tsx';

export interface RecoveryPageProps {
  readonly problem: Problem;
  /** Of the project that cannot be opened. */
  readonly id?: string;
  /** The steps before the damage. */
  readonly salvage?: History;
  readonly store: Store;
  /** Goes on with a project of its own; the demo where none is given. */
  readonly onStart: (history?: History) => void;
  readonly onOpen: (id: string) => void;
}

export function RecoveryPage({ problem, id, salvage, store, onStart, onOpen }: RecoveryPageProps) {
  const others = store.projects.value.filter(
    (entry) => entry.id !== id && entry.head !== undefined && entry.head.asideAt === undefined,
  );
  const save = async (): Promise<void> => {
    const text = JSON.stringify(await store.raw(), null, 1);
    saveJson('kartwright-as-stored.json', text);
  };
  return (
    <main class="recovery">
      <h1>Kartwright</h1>
      <section class="card" aria-labelledby="recovery-title">
        <h2 class="question" id="recovery-title">
          Your last project cannot be opened
        </h2>
        <ProblemList problems={[problem]} />
        <p>What is stored stays as it is until you discard it. Ways on, none of which touches it:</p>
        <p class="actions">
          <button type="button" onClick={() => void save()}>
            Save what is stored as a file
          </button>
          {salvage === undefined ? null : (
            <button type="button" onClick={() => onStart(salvage)}>
              Go on, as a copy, from what can be read: {times(salvage.steps.length - 1, 'step', 'steps')}
            </button>
          )}
          <button type="button" onClick={() => onStart()}>
            Start from the demo
          </button>
        </p>
        {others.length === 0 ? null : (
          <>
            <h3>Other projects in this browser</h3>
            <ul class="stored">
              {others.map((entry) => (
                <li key={entry.id}>
                  <p class="entry-name">
                    <strong>{entry.head?.name}</strong>
                    <small>changed {whenWord(entry.head?.savedAt ?? 0, Date.now())}</small>
                  </p>
                  <p class="actions">
                    <button type="button" onClick={() => onOpen(entry.id)}>
                      Open
                    </button>
                  </p>
                </li>
              ))}
            </ul>
          </>
        )}
        {id === undefined ? null : (
          <p class="actions">
            <TwoSteps
              label="Discard the damaged project"
              question="It cannot be had back."
              confirm="Discard it"
              onConfirm={() => void store.discard(id).then(() => onStart())}
            />
          </p>
        )}
      </section>
    </main>
  );
}
