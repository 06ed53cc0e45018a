/**
 * Looks for the quickest line of a kart on a track, slice by slice, in the background; Stop keeps the best so far.
 *
 * In: a runner for work that may wait. Out: one signal with the lines so far and the share done.
 */
import type { ReadonlySignal } from '@preact/signals';
import { signal } from '@preact/signals';
import type { LineResult, LineState, Project } from '../../../sim/index.ts';
import type { Runner } from '../../../workers/protocol.ts';

export interface LineSubject {
  readonly kart: string;
  readonly day: string;
  readonly track: string;
}

export interface ShownLines {
  readonly of?: LineSubject;
  readonly result?: LineResult;
  readonly state: 'none' | 'working' | 'done' | 'stopped' | 'failed';
  readonly problem?: string;
}

export interface LineSearch {
  readonly value: ReadonlySignal<ShownLines>;
  start(project: Project, revision: number, of: LineSubject): void;
  stop(): void;
}

/** Stations of work between two looks: some 50 ms, so that a stop is heard and the count moves. */
const SLICE = 10_000;
/** Slices of the longest search there is: the search itself is bounded, this only says so here. */
const MOST_SLICES = 5000;

export function createLineSearch(runner: Runner): LineSearch {
  const value = signal<ShownLines>({ state: 'none' });
  let current = 0;

  const work = async (project: Project, revision: number, of: LineSubject, mine: number): Promise<void> => {
    let from: LineState | undefined;
    for (let slice = 0; slice < MOST_SLICES; slice++) {
      const outcome = await runner.run({
        project,
        revision: `lines ${revision}`,
        requests: [
          { verb: 'line', ...of, options: { slice: SLICE, ...(from === undefined ? {} : { from }) } },
        ],
      });
      if (current !== mine) return;
      const answer = outcome.answers[0];
      const result = answer?.result as LineResult | undefined;
      if (result === undefined) {
        const problem = [...(answer?.problems ?? []), ...outcome.problems].find(
          (p) => p.severity === 'problem',
        );
        value.value = { of, state: 'failed', problem: problem?.message ?? 'the search failed' };
        return;
      }
      value.value = { of, result, state: result.finished ? 'done' : 'working' };
      if (result.finished) return;
      from = result.state;
    }
  };

  return {
    value,
    start(project, revision, of) {
      current += 1;
      value.value = { of, state: 'working' };
      void work(project, revision, of, current);
    },
    stop() {
      current += 1;
      if (value.peek().state === 'working') value.value = { ...value.peek(), state: 'stopped' };
    },
  };
}
