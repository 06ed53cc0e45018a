/** What client.ts needs of a worker, whichever kind of thread it is. */
import type { Endpoint } from 'comlink';

export interface SpawnedWorker {
  readonly endpoint: Endpoint;
  /** Calls back when the worker is of no more use: it crashed, ended, could not start or sent something unreadable. */
  onEnd(listener: (reason: string) => void): void;
  terminate(): void;
}

export type Spawn = () => SpawnedWorker;

/** As many workers as cores: the thread that asks mostly waits. More than 8 gain nothing a builder would notice. */
export function workersFor(cores: number): number {
  return Number.isFinite(cores) ? Math.min(8, Math.max(1, Math.floor(cores))) : 1;
}
