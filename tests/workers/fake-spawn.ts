/** Spawns real Node threads with the fake solver inside, and remembers them so that a test can kill one. */
import type { Spawn, SpawnedWorker } from '../../workers/spawn.ts';
import { spawnerOf } from '../../workers/spawn-node.ts';

export interface WatchedSpawn {
  readonly spawn: Spawn;
  readonly spawned: readonly SpawnedWorker[];
  /** Threads that have not ended yet. */
  alive(): number;
}

export function watchedSpawn(file = new URL('./fake-worker.ts', import.meta.url)): WatchedSpawn {
  const spawnThread = spawnerOf(file);
  const spawned: SpawnedWorker[] = [];
  const ended = new Set<SpawnedWorker>();
  return {
    spawned,
    alive: () => spawned.length - ended.size,
    spawn: () => {
      const worker = spawnThread();
      worker.onEnd(() => ended.add(worker));
      spawned.push(worker);
      return worker;
    },
  };
}

/** Waits until something is so, or fails after 5 s: threads start in about 0.3 s, more on a loaded machine. */
export async function until(isSo: () => boolean): Promise<void> {
  const end = performance.now() + 5000;
  while (!isSo()) {
    if (performance.now() > end) throw new Error(`not so after 5 s: ${isSo}`);
    await new Promise((resolve) => setTimeout(resolve, 2));
  }
}
