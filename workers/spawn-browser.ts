/** Starts solver workers in the browser. */
import type { Spawn } from './spawn.ts';

export const spawnInBrowser: Spawn = () => {
  const worker = new Worker(new URL('./browser-worker.ts', import.meta.url), {
    type: 'module',
    name: 'solver',
  });
  return {
    endpoint: worker,
    onEnd(listener) {
      worker.addEventListener('error', (event) => listener(event.message || 'its file could not be loaded'));
      worker.addEventListener('messageerror', () => listener('it sent a message that cannot be read'));
    },
    terminate: () => worker.terminate(),
  };
};
