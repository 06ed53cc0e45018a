/** The page: what goes in on one side, what comes out on the other. */
import { useWorkbench } from '../state/context.ts';
import { isInUse, pathsInUse } from '../words/inputs-words.ts';
import { Headline, HeadlineStrip } from './headline.tsx';
import { HistoryButtons } from './history-buttons.tsx';
import { KartPanel } from './kart-panel.tsx';
import { LapView } from './lap-view.tsx';
import { PlaceBar } from './place-bar.tsx';
import { ProblemList } from './problem-list.tsx';
import { RunView } from './run-view.tsx';
import { StopView } from './stop-view.tsx';

export function Page() {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  return (
    <>
      <header class="bar">
        <h1>Kartwright</h1>
        <p>
          {project.name}
          {project.note === undefined ? null : <small>{project.note}</small>}
        </p>
        <HistoryButtons />
      </header>
      <HeadlineStrip />
      <main>
        <PlaceBar />
        <Headline />
        <KartPanel />
        <ReaderProblems />
        <LapView />
        <RunView />
        <StopView />
      </main>
    </>
  );
}

/** What the reader says of the document as edited, the parts in use first; the rest is counted. */
function ReaderProblems() {
  const workbench = useWorkbench();
  const { problems } = workbench.read.value;
  const inUse = pathsInUse(workbench.choice.value, workbench.project.value);
  const near = problems.filter((p) => p.severity === 'problem' || isInUse(p.path, inUse));
  const elsewhere = problems.length - near.length;
  if (problems.length === 0) return null;
  return (
    <section class="reader" aria-label="About the inputs">
      <ProblemList problems={near} />
      {elsewhere === 0 ? null : <p class="field-says">{elsewhere} more about parts not in use here.</p>}
    </section>
  );
}
