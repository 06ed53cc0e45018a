/** Starts the evidence in a browser worker; `end` stops it wherever it is. */
import * as Comlink from 'comlink';
import type { EvidenceService } from './evidence-service.ts';

export interface RunningEvidence {
  readonly service: Comlink.Remote<EvidenceService>;
  end(): void;
}

export function spawnEvidence(): RunningEvidence {
  const worker = new Worker(new URL('./evidence-worker.ts', import.meta.url), {
    type: 'module',
    name: 'kartwright evidence',
  });
  return { service: Comlink.wrap<EvidenceService>(worker), end: () => worker.terminate() };
}
