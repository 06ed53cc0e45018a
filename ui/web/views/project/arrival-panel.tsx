/** A project that came by file or link: what is in it, what is wrong with it, and what to do with it. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Problem } from '../../../../sim/index.ts';
import type { Incoming } from '../../exchange/incoming.ts';
import type { Decision } from '../../exchange/merge-preview.ts';
import { previewMerge } from '../../exchange/merge-preview.ts';
import { COLLECTIONS, entriesOf } from '../../exchange/references.ts';
import { useWorkbench } from '../../state/context.ts';
import type { ProjectDocument } from '../../state/document.ts';
import { openHistory } from '../../state/history.ts';
import { useStore } from '../../store/context.ts';
import { nameOf } from '../../store/project-name.ts';
import { countWords } from '../../words/merge-words.ts';
import { ProblemList } from '../problem-list.tsx';
import { MergeTable } from './merge-table.tsx';

export function ArrivalPanel() {
  const { arrival } = useStore().desk;
  const incoming = arrival.value;
  const last = useRef({ incoming, number: 0 });
  if (last.current.incoming !== incoming) last.current = { incoming, number: last.current.number + 1 };
  if (incoming === undefined) return null;
  // Another arrival, of the same name even, starts with nothing decided.
  return <Arrival key={last.current.number} incoming={incoming} />;
}

function Arrival({ incoming }: { incoming: Incoming }) {
  const { desk } = useStore();
  const [trouble, setTrouble] = useState<Problem | undefined>(undefined);
  const [looking, setLooking] = useState(false);
  const panel = useRef<HTMLElement>(null);
  useEffect(() => panel.current?.focus(), []);
  const done = (): void => {
    desk.arrival.value = undefined;
  };
  const { document, alone, from } = incoming;
  const isWhole = alone.project !== undefined;
  const openAsNew = async (fresh: ProjectDocument): Promise<void> => {
    const stoodInTheWay = await desk.openNew(openHistory(fresh));
    setTrouble(stoodInTheWay);
    if (stoodInTheWay === undefined) done();
  };
  return (
    <section class="card arrival" aria-labelledby="arrival-title" tabIndex={-1} ref={panel}>
      <h2 class="question" id="arrival-title">
        {titleOf(incoming)}
      </h2>
      {document === undefined ? (
        <p>It was not opened, and your project is as it was.</p>
      ) : (
        <p>
          <Contents document={document} />
          {isWhole ? null : ' It is not a whole project by itself.'}
        </p>
      )}
      <ProblemList problems={trouble === undefined ? [] : [trouble]} />
      <Problems incoming={incoming} />
      <p class="actions">
        {document === undefined || !isWhole ? null : (
          <button type="button" onClick={() => void openAsNew(document)}>
            Open as a new project
          </button>
        )}
        {document === undefined ? null : (
          <button type="button" aria-expanded={looking} onClick={() => setLooking(!looking)}>
            Look at what it changes
          </button>
        )}
        {document === undefined || !isWhole ? null : (
          <button
            type="button"
            onClick={() => {
              desk.replace(document, `replaced by ${from}`);
              done();
            }}
          >
            Replace this project
          </button>
        )}
        <button type="button" onClick={done}>
          {document === undefined ? 'Close' : 'Ignore it'}
        </button>
      </p>
      {document === undefined || !looking ? null : <MergeBox document={document} from={from} onDone={done} />}
    </section>
  );
}

function titleOf({ from, document }: Incoming): string {
  const name = document?.['name'];
  const called = typeof name === 'string' ? `: ${name.slice(0, 120)}` : '';
  if (document === undefined)
    return from === 'this link' ? 'This link cannot be opened' : `${from} cannot be opened`;
  return from === 'this link' ? `A project came with this link${called}` : `From ${from}${called}`;
}

function Contents({ document }: { document: ProjectDocument }) {
  const counts = COLLECTIONS.map((kind) => [kind, Object.keys(entriesOf(document, kind)).length] as const);
  return <>{countWords(counts)}</>;
}

/** Problems of the file by itself; what merging might cure is said where merging is looked at. */
function Problems({ incoming }: { incoming: Incoming }) {
  const blocking = incoming.problems.filter((p) => p.severity === 'problem');
  const others = incoming.problems.length - blocking.length;
  return (
    <>
      <ProblemList problems={blocking} />
      {others === 0 || incoming.document === undefined ? null : (
        <p class="field-says">{others} remarks more; they are shown with the inputs once it is open.</p>
      )}
    </>
  );
}

interface MergeBoxProps {
  readonly document: ProjectDocument;
  readonly from: string;
  readonly onDone: () => void;
}

function MergeBox({ document, from, onDone }: MergeBoxProps) {
  const { desk } = useStore();
  const workbench = useWorkbench();
  const [decisions, setDecisions] = useState<ReadonlyMap<string, Decision>>(new Map());
  const mine = workbench.document.value;
  const preview = previewMerge(mine, document, decisions);
  const changes = preview.lines.filter((line) => line.fate !== 'same' && line.fate !== 'left').length;
  const isSound = preview.read.project !== undefined;
  return (
    <div>
      <h3>Merged into "{nameOf(workbench.history.value)}"</h3>
      <MergeTable
        lines={preview.lines}
        onDecide={(path, decision) => setDecisions(new Map([...decisions, [path, decision]]))}
      />
      {isSound ? null : (
        <>
          <p>Merged like this, the project could not be worked with:</p>
          <ProblemList problems={preview.read.problems.filter((p) => p.severity === 'problem')} />
        </>
      )}
      <p class="actions">
        <button
          type="button"
          disabled={!isSound || changes === 0}
          onClick={() => {
            desk.replace(preview.document, `merged with ${from}`);
            onDone();
          }}
        >
          Merge
        </button>
        <span class="field-says">
          {changes === 0 ? 'There is nothing to take over.' : 'One step; Undo takes it back.'}
        </span>
      </p>
    </div>
  );
}
