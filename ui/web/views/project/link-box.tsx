/** The project as a link: made when asked for, to be copied. */
import { useState } from 'preact/hooks';
import type { Packed } from '../../exchange/share-link.ts';
import { MAX_LINK, shareAddress } from '../../exchange/share-link.ts';
import { useWorkbench } from '../../state/context.ts';
import type { ProjectDocument } from '../../state/document.ts';
import { ProblemList } from '../problem-list.tsx';

export function LinkBox() {
  const workbench = useWorkbench();
  const [made, setMade] = useState<{ of: ProjectDocument; packed: Packed } | undefined>(undefined);
  const [copied, setCopied] = useState(false);
  const document = workbench.document.value;
  // A link of an older state is not shown as if it were of this one.
  const packed = made?.of === document ? made.packed : undefined;
  const make = async (): Promise<void> => {
    setCopied(false);
    setMade({ of: document, packed: await shareAddress(document, location.href) });
  };
  return (
    <section class="card" aria-labelledby="link-title">
      <h2 class="question" id="link-title">
        As a link
      </h2>
      <p>
        A link can carry a whole small project, up to {MAX_LINK.toLocaleString('en-GB')} letters; some
        messengers cut long ones. Who opens it sees the project and decides. No server keeps it.
      </p>
      {packed === undefined ? (
        <p class="actions">
          <button type="button" onClick={() => void make()}>
            Make a link
          </button>
        </p>
      ) : 'problem' in packed ? (
        <ProblemList problems={[packed.problem]} />
      ) : (
        <p class="actions link">
          <input
            type="text"
            readOnly
            aria-label="Link to this project"
            value={packed.address}
            onFocus={(event) => event.currentTarget.select()}
          />
          <button
            type="button"
            onClick={() => void navigator.clipboard?.writeText(packed.address).then(() => setCopied(true))}
          >
            Copy
          </button>
          <span role="status">
            {copied ? 'Copied.' : `${packed.address.length.toLocaleString('en-GB')} letters`}
          </span>
        </p>
      )}
    </section>
  );
}
