/** The worker file of the browser: the real solver behind the worker's own port. */
import * as Comlink from 'comlink';
import { createPerformer } from '../sim/index.ts';
import { createSolver } from './solver.ts';

const channel = new MessageChannel();

/** A hop over a channel: messages that came in meanwhile are heard first, without the 4 ms of nested timers. */
function pause(): Promise<void> {
  return new Promise((resolve) => {
    channel.port1.onmessage = () => resolve();
    channel.port2.postMessage(undefined);
  });
}

Comlink.expose(createSolver({ perform: createPerformer(), pause }));
