/** The page: questions above, what goes in on one side, what comes out on the other. */
import type { ComponentType } from 'preact';
import { useEffect } from 'preact/hooks';
import { useWorkbench } from '../state/context.ts';
import { isInUse, pathsInUse } from '../state/inputs-in-use.ts';
import type { View } from '../state/views.ts';
import { hrefOf, isQuestion, VIEW_WORDS, viewOf } from '../state/views.ts';
import { FirstNote } from './first-note.tsx';
import { FirstSteps } from './first-steps.tsx';
import { HistoryButtons } from './history-buttons.tsx';
import { HowQuick } from './how-quick.tsx';
import { KeysSheet } from './keys-sheet.tsx';
import { loadedView } from './loaded-view.tsx';
import { Notices } from './notices.tsx';
import { OffTheLine } from './off-the-line.tsx';
import { PlaceBar } from './place-bar.tsx';
import { ProblemList } from './problem-list.tsx';
import { AnswerStrip } from './question-frame.tsx';
import { QuestionList } from './question-list.tsx';
import { SlideOrTip } from './slide-or-tip.tsx';
import { StopStraight } from './stop-straight.tsx';
import { ThemeButton } from './theme-button.tsx';
import { WhenToShift } from './when-to-shift.tsx';

export function Page() {
  const workbench = useWorkbench();
  const view = workbench.view.value;
  useEffect(() => {
    const follow = (): void => workbench.show(viewOf(location.hash));
    follow();
    addEventListener('hashchange', follow);
    return () => removeEventListener('hashchange', follow);
  }, [workbench]);
  useEffect(() => {
    document.title = `${VIEW_WORDS[view]} - Kartwright`;
  }, [view]);
  return (
    <>
      <button type="button" class="past-the-list" onClick={() => document.querySelector('main')?.focus()}>
        To the answer
      </button>
      <header class="bar">
        <h1>Kartwright</h1>
        <ProjectName />
        <div class="bar-buttons">
          <HistoryButtons />
          <ThemeButton />
          <KeysSheet />
        </div>
      </header>
      <QuestionList />
      <Notices />
      {isQuestion(view) ? <AnswerStrip question={view} /> : null}
      <main tabIndex={-1}>
        {view === 'project' || view === 'evidence' ? null : <PlaceBar />}
        <FirstNote />
        <FirstSteps />
        {view === 'evidence' ? null : <ReaderProblems />}
        <div class={isQuestion(view) ? 'question-view' : 'other-view'}>
          <InView view={view} />
        </div>
      </main>
    </>
  );
}

/** By itself: an edit must not draw the whole page anew. */
function ProjectName() {
  const { name, note } = useWorkbench().project.value;
  return (
    <p>
      <a class="bar-project" href={hrefOf('project')}>
        {name}
      </a>
      {note === undefined ? null : <small>{note}</small>}
    </p>
  );
}

const VIEWS: Readonly<Record<View, ComponentType>> = {
  'how-quick': HowQuick,
  'off-the-line': OffTheLine,
  stop: StopStraight,
  'slide-or-tip': SlideOrTip,
  shift: WhenToShift,
  teeth: loadedView(() => import('./teeth-page.tsx').then((m) => m.TeethPage)),
  engine: loadedView(() => import('./engine-page.tsx').then((m) => m.EnginePage)),
  unknowns: loadedView(() => import('./unknowns-page.tsx').then((m) => m.UnknownsPage)),
  match: loadedView(() => import('./match-page.tsx').then((m) => m.MatchPage)),
  rules: loadedView(() => import('./rules-page.tsx').then((m) => m.RulesPage)),
  kart: loadedView(() => import('./kart-page.tsx').then((m) => m.KartPage)),
  track: loadedView(() => import('./track-page.tsx').then((m) => m.TrackPage)),
  day: loadedView(() => import('./day-page.tsx').then((m) => m.DayPage)),
  paper: loadedView(() => import('./paper-page.tsx').then((m) => m.PaperPage)),
  evidence: loadedView(() => import('./evidence-page.tsx').then((m) => m.EvidencePage)),
  project: loadedView(() => import('./project-page.tsx').then((m) => m.ProjectPage)),
};

function InView({ view }: { view: View }) {
  const Shown = VIEWS[view];
  return <Shown />;
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
      <ProblemList problems={near} project={workbench.project.value} />
      {elsewhere === 0 ? null : <p class="field-says">{elsewhere} more about parts not in use here.</p>}
    </section>
  );
}
