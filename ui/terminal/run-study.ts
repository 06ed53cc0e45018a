/**
 * Runs the sweeps of a study on all cores, with a count on the error stream and a stop by Ctrl-C.
 *
 * In: project, requests. Out: their answers in order, undefined where it was stopped. The threads live until `dispose`.
 */
import { availableParallelism } from 'node:os';
import type { AnswerTo, Project, Request } from '../../sim/index.ts';
import type { Pool } from '../../workers/pool.ts';
import { createPool } from '../../workers/pool.ts';
import { workersFor } from '../../workers/spawn.ts';
import { spawnInNode } from '../../workers/spawn-node.ts';
import type { Terminal } from './terminal.ts';

export interface StudyRunner {
  /** `what`: what is counted, such as 'draws'; `each`: how many of them one request stands for. */
  run<R extends Request>(
    project: Project,
    requests: readonly R[],
    what: string,
    each?: (request: R) => number,
  ): Promise<readonly (AnswerTo<R['verb']> | undefined)[]>;
  dispose(): void;
}

export function studyRunner(terminal: Terminal): StudyRunner {
  let pool: Pool | undefined;
  const revisions = new Map<Project, number>();
  return {
    async run(project, requests, what, each = () => 1) {
      pool ??= createPool({ workers: workersFor(availableParallelism()), spawn: spawnInNode });
      if (!revisions.has(project)) revisions.set(project, revisions.size);
      const total = requests.reduce((sum, request) => sum + each(request), 0);
      let done = 0;
      const outcome = await pool.run(
        { project, revision: revisions.get(project)!, requests },
        {
          signal: terminal.signal,
          onProgress: ({ first, answers }) => {
            for (const [k] of answers.entries()) done += each(requests[first + k]!);
            if (terminal.interactive) terminal.err(`\r${done} of ${total} ${what}`);
          },
        },
      );
      if (terminal.interactive) terminal.err('\r\u001b[K');
      return outcome.answers;
    },
    dispose() {
      pool?.dispose();
    },
  };
}
