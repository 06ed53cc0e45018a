/** Computes all requests of a command: a few here, many on all cores with progress. */
import { availableParallelism } from 'node:os';
import type { Answer, Project, Request } from '../../sim/index.ts';
import { perform } from '../../sim/index.ts';
import { createPool } from '../../workers/pool.ts';
import { workersFor } from '../../workers/spawn.ts';
import { spawnInNode } from '../../workers/spawn-node.ts';
import type { Answered } from './output/machine.ts';
import type { Terminal } from './terminal.ts';

/** Up to this many, starting threads takes longer than the work. */
const HERE_UP_TO = 12;

export async function answerAll(
  project: Project,
  requests: readonly Request[],
  terminal: Terminal,
): Promise<Answered[]> {
  if (requests.length <= HERE_UP_TO)
    return requests.map((request) => ({ request, answer: perform(project, request) }));
  const pool = createPool({ workers: workersFor(availableParallelism()), spawn: spawnInNode });
  try {
    const outcome = await pool.run(
      { project, revision: 0, requests },
      {
        signal: terminal.signal,
        onProgress: ({ done, total }) => {
          if (terminal.interactive) terminal.err(`\r${done} of ${total} runs`);
        },
      },
    );
    if (terminal.interactive) terminal.err('\r\u001b[K');
    return requests.map((request, i) => ({
      request,
      answer: outcome.answers[i] ?? missing(outcome.problems),
    }));
  } finally {
    pool.dispose();
  }
}

function missing(problems: Answer['problems']): Answer {
  return { status: 'failed', problems, diagnostics: {} };
}
