/** The worker file of Node: the real solver behind the thread's own port. */
import { createPerformer } from '../sim/index.ts';
import { serveInNode } from './serve-node.ts';

serveInNode(createPerformer());
