/**
 * Starts solver workers as Node threads.
 *
 * In the built command the worker is a file of its own beside this code; in development it is TypeScript, which a
 * thread can read only after registering tsx itself (threads do not inherit it).
 */
import { Worker } from 'node:worker_threads';
import nodeEndpoint from 'comlink/dist/umd/node-adapter.js';
import type { Spawn } from './spawn.ts';

const HERE = import.meta.url;
const BUILT = !HERE.endsWith('.ts');

export const spawnInNode: Spawn = spawnerOf(new URL(BUILT ? './node-worker.js' : './node-worker.ts', HERE));

/** A spawner for any worker file that calls `serveInNode`. */
export function spawnerOf(file: URL): Spawn {
  return () => {
    const worker = file.pathname.endsWith('.ts') ? typeScriptThread(file) : new Worker(file);
    return {
      endpoint: nodeEndpoint(worker),
      onEnd(listener) {
        worker.on('error', (error) => listener(error instanceof Error ? error.message : String(error)));
        worker.on('messageerror', () => listener('it sent a message that cannot be read'));
        worker.on('exit', (code) => listener(`it ended with code ${code}`));
      },
      terminate: () => void worker.terminate(),
    };
  };
}

function typeScriptThread(file: URL): Worker {
  const reader = new URL('./node-typescript-thread.js', HERE);
  // Without execArgv the thread would repeat the loaders of its parent (tsx or a test runner) and start slower.
  return new Worker(reader, { execArgv: [], workerData: { file: file.href } });
}
