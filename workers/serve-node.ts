/** Puts a solver behind the port of a Node worker thread. */
import { parentPort } from 'node:worker_threads';
import * as Comlink from 'comlink';
import nodeEndpoint from 'comlink/dist/umd/node-adapter.js';
import { createSolver, type Perform } from './solver.ts';

export function serveInNode(perform: Perform): void {
  if (parentPort === null) throw new Error('serveInNode belongs in a worker thread');
  // Not a hop over a channel as in the browser: in Node that starves the other ports for seconds.
  const pause = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));
  Comlink.expose(createSolver({ perform, pause }), nodeEndpoint(parentPort));
}
