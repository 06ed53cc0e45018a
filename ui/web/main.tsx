/** Starts the page: the demo document, one solver worker, the views. */
import { render } from 'preact';
import { createClient } from '../../workers/client.ts';
import { spawnInBrowser } from '../../workers/spawn-browser.ts';
import { demoInput } from '../demo/demo-project.ts';
import { WorkbenchProvider } from './state/context.ts';
import { measureRepaint } from './state/repaint-clock.ts';
import { createWorkbench } from './state/workbench.ts';
import { Page } from './views/page.tsx';

const runner = createClient({ spawn: spawnInBrowser });
// The worker's file loads while the document is being read.
runner.warm();

const workbench = createWorkbench({
  document: demoInput(),
  runner,
  now: Date.now,
  onShown: measureRepaint,
});

const root = document.getElementById('workbench');
if (root === null) throw new Error('main: the page has no element #workbench');
render(
  <WorkbenchProvider value={workbench}>
    <Page />
  </WorkbenchProvider>,
  root,
);
