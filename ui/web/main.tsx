/** Starts the page: what is kept in this browser or the demo, two solver workers, the views. */
import { render } from 'preact';
import { problem } from '../../sim/index.ts';
import { createClient } from '../../workers/client.ts';
import { createPool } from '../../workers/pool.ts';
import { spawnInBrowser } from '../../workers/spawn-browser.ts';
import { demoInput } from '../demo/demo-project.ts';
import { isShared } from './exchange/share-link.ts';
import { setUpOffline } from './offline/updates.ts';
import { WorkbenchProvider } from './state/context.ts';
import { dropOldVNodes } from './state/drop-old-vnodes.ts';
import type { History } from './state/history.ts';
import { openHistory } from './state/history.ts';
import { measureRepaint } from './state/repaint-clock.ts';
import { hrefOf, viewOf } from './state/views.ts';
import { createWorkbench } from './state/workbench.ts';
import { StoreProvider } from './store/context.ts';
import type { Desk } from './store/desk.ts';
import { createDesk } from './store/desk.ts';
import type { Loaded } from './store/kept-projects.ts';
import { recovered } from './store/project-name.ts';
import type { Session } from './store/records.ts';
import { messageOf } from './store/records.ts';
import { openStore } from './store/store.ts';
import { Page } from './views/page.tsx';
import { RecoveryPage } from './views/recovery-page.tsx';

dropOldVNodes();
const runner = createClient({ spawn: spawnInBrowser });
// What may wait must not keep the hand waiting: a worker of its own.
const background = createClient({ spawn: spawnInBrowser });
let studyPool: ReturnType<typeof createPool> | undefined;
/** One worker per core; those of the hand and the background mostly rest. */
const pool = () => {
  studyPool ??= createPool({
    workers: Math.max(2, Math.min(8, navigator.hardwareConcurrency)),
    spawn: spawnInBrowser,
  });
  return studyPool;
};
// The worker's file loads while the stored project is being read.
runner.warm();

const root = document.getElementById('workbench');
if (root === null) throw new Error('main: the page has no element #workbench');
const offline = setUpOffline();
let desk: Desk | undefined;

// A shared project is taken out of the address before the views read it.
let shared = takeShared();
addEventListener('hashchange', (event) => {
  const found = takeShared();
  if (found === undefined) return;
  event.stopImmediatePropagation();
  if (desk === undefined) shared = found;
  else void desk.receive(found);
});

const store = await openStore();
show(await store.load());

function show(loaded: Loaded): void {
  if (loaded.kind === 'unreadable') {
    recover(loaded);
    return;
  }
  try {
    start(loaded.kind === 'document' ? loaded.history : openHistory(demoInput()), loaded.session);
  } catch (error) {
    if (loaded.kind === 'none') throw error;
    const trouble = problem('unreadable', '', `the page could not start with it: ${messageOf(error)}`);
    store.leaveCurrent();
    recover({ kind: 'unreadable', id: loaded.id, problem: trouble });
  }
}

function start(history: History, session: Session): void {
  // An address without a view opens the one looked at last.
  if (location.hash === '' && typeof session['view'] === 'string')
    replaceFragment(hrefOf(viewOf(`#/${session['view']}`)));
  const workbench = createWorkbench({
    history,
    session,
    runner,
    background,
    pool,
    view: viewOf(location.hash),
    now: Date.now,
    onShown: (part, askedAt) => {
      measureRepaint(part, askedAt);
      // What is needed now comes first.
      if (part === 'all') offline.begin();
    },
  });
  // A view that asks the solver nothing has no answer to wait for.
  setTimeout(() => offline.begin(), 3000);
  desk = createDesk({ workbench, store, demo: demoInput });
  render(
    <WorkbenchProvider value={workbench}>
      <StoreProvider value={{ desk, offline }}>
        <Page />
      </StoreProvider>
    </WorkbenchProvider>,
    root as HTMLElement,
  );
  if (shared !== undefined) void desk.receive(shared);
  shared = undefined;
}

function recover({ id, problem, salvage }: Extract<Loaded, { kind: 'unreadable' }>): void {
  offline.begin();
  render(
    <RecoveryPage
      problem={problem}
      store={store}
      onStart={(history) =>
        start(
          history === undefined ? openHistory(demoInput()) : recovered(history, store.projects.peek()),
          {},
        )
      }
      onOpen={(other) => void store.load(other).then(show)}
      {...(id === undefined ? {} : { id })}
      {...(salvage === undefined ? {} : { salvage })}
    />,
    root as HTMLElement,
  );
}

function takeShared(): string | undefined {
  const fragment = location.hash;
  if (!isShared(fragment)) return undefined;
  replaceFragment('#/');
  return fragment;
}

function replaceFragment(fragment: string): void {
  globalThis.history.replaceState(null, '', fragment);
}
