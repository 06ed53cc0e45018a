/** Where it is kept: room used, whether the browser may clear it, the page without a network. */
import { useEffect, useState } from 'preact/hooks';
import { useStore } from '../../store/context.ts';
import { bytesWord } from '../../words/store-words.ts';
import { RawButton } from './stored-projects.tsx';

export function StorageBox() {
  const { desk, offline } = useStore();
  const { storing } = desk.store;
  const [used, setUsed] = useState<number | undefined>(undefined);
  const [persisted, setPersisted] = useState<boolean | undefined>(undefined);
  const savedAt = storing.value.kind === 'kept' ? storing.value.at : 0;
  // Each write may change what is used.
  useEffect(() => {
    const { storage } = navigator;
    storage?.estimate?.().then(
      ({ usage }) => setUsed(usage),
      () => {},
    );
    storage?.persisted?.().then(setPersisted, () => {});
  }, [savedAt]);
  const ask = async (): Promise<void> => setPersisted(await navigator.storage.persist());
  return (
    <section class="card" aria-labelledby="storage-title">
      <h2 class="question" id="storage-title">
        Where it is kept
      </h2>
      <p>
        In this browser, on this machine, with every step you can undo. No account, no server. Clearing the
        site's data in the browser clears it too: a file is the safest copy.
      </p>
      <dl class="facts">
        <div>
          <dt>Used here, the page itself included</dt>
          <dd>{used === undefined ? 'the browser does not say' : bytesWord(used)}</dd>
        </div>
        <div>
          <dt>May the browser clear it when room runs short?</dt>
          <dd>{persisted === undefined ? 'it does not say' : persisted ? 'no' : 'yes, after long disuse'}</dd>
        </div>
        <div>
          <dt>Without a network</dt>
          <dd>{OFFLINE_WORD[offline.kept.value]}</dd>
        </div>
      </dl>
      <p class="actions">
        {persisted === false ? (
          <button type="button" onClick={() => void ask()}>
            Ask the browser not to clear it
          </button>
        ) : null}
        {offline.install.value === undefined ? null : (
          <button type="button" onClick={offline.install.value}>
            Install on this machine
          </button>
        )}
        <RawButton />
      </p>
    </section>
  );
}

const OFFLINE_WORD = {
  'setting up': 'being made ready',
  ready: 'the page opens and answers all the same',
  'not here': 'this page needs the network to open, not to answer',
} as const;
