/** The worker file of the browser: the real solver behind the worker's own port. */
import * as Comlink from 'comlink';
import type { LineRunner, Request } from '../sim/index.ts';
import { createPerformerWith } from '../sim/index.ts';
import { createSolver } from './solver.ts';

const channel = new MessageChannel();

/** A hop over a channel: messages that came in meanwhile are heard first, without the 4 ms of nested timers. */
function pause(): Promise<void> {
  return new Promise((resolve) => {
    channel.port1.onmessage = () => resolve();
    channel.port2.postMessage(undefined);
  });
}

let lines: LineRunner | undefined;

/** The search for lines is fetched with the first request for one: the first answer does not wait for it. */
function prepare({ verb }: Request): Promise<void> | undefined {
  if (verb !== 'line' || lines !== undefined) return undefined;
  return import('./line-runner.ts').then(({ runLine }) => {
    lines = runLine;
  });
}

const perform = createPerformerWith((subject, options) => {
  if (lines === undefined) throw new Error('browser-worker: the search for lines has not been fetched');
  return lines(subject, options);
});

Comlink.expose(createSolver({ perform, pause, prepare }));
