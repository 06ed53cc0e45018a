/** A worker file for tests: `perform` does as the request says - answers, dawdles, throws, dies or hangs. */
import { serveInNode } from '../../workers/serve-node.ts';
import { fakePerform } from './fake-perform.ts';

serveInNode(fakePerform);
