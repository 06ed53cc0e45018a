/** Studies over workers: the same bits for one and for two, whatever order the answers come in. */
import { describe, expect, it } from 'vitest';
import type { Answer, Planned } from '../../sim/index.ts';
import { perform, performStudy, planBalance, planDonors, planTeeth, studyUnknowns } from '../../sim/index.ts';
import { readDemo } from '../../ui/demo/demo-project.ts';
import { createPool } from '../../workers/pool.ts';
import { spawnInNode } from '../../workers/spawn-node.ts';

const { project, notes } = readDemo();
if (project === undefined) throw new Error('the demo cannot be read');
const who = { kart: 'clodlet-four-knobbly', day: 'mild' };
/** Some hundred runs, three times over, on cores shared with other tests. */
const LONG = 120_000;

async function overWorkers<R>({ study }: Planned<R>, workers: number): Promise<R | undefined> {
  const pool = createPool({ workers, spawn: spawnInNode });
  try {
    const answers: (Answer | undefined)[] = [];
    let round = study!.requests;
    while (round.length > 0) {
      const outcome = await pool.run({ project: project!, revision: 1, requests: round });
      expect(outcome.problems).toEqual([]);
      answers.push(...outcome.answers);
      round = study!.more?.(answers) ?? [];
    }
    return study!.combine(answers);
  } finally {
    pool.dispose();
  }
}

async function sameForAll<R>(planned: Planned<R>): Promise<void> {
  const here = performStudy(planned.study!, (request) => perform(project!, request));
  expect(here).toBeDefined();
  // Every bit of every number, -0 and 0 apart.
  for (const workers of [1, 2]) expect(await overWorkers(planned, workers)).toStrictEqual(here);
}

describe('studies over workers', () => {
  it(
    'teeth',
    () => sameForAll(planTeeth(project!, { ...who, tracks: ['circle', 'cinder-yard'], stock: 'owned' })),
    LONG,
  );

  it(
    'donors',
    () =>
      sameForAll(
        planDonors(project!, { ...who, donors: ['single'], tracks: ['circle'], stock: 'owned', notes }),
      ),
    LONG,
  );

  it(
    'unknowns',
    () =>
      sameForAll(
        studyUnknowns(project!, notes, {
          runs: ['clodlet-four-knobbly', 'clodlet-single-knobbly'].map((kart) => ({
            verb: 'lap',
            kart,
            day: 'mild',
            track: 'circle',
          })),
          draws: 64,
        }),
      ),
    LONG,
  );

  it(
    'balance',
    () =>
      sameForAll(
        planBalance(project!, {
          ...who,
          loose: 'loose-clay',
          hard: 'asphalt',
          fromSpeed: 15,
          tracks: ['circle'],
          notes,
        }),
      ),
    LONG,
  );
});
