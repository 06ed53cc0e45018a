/** The pool in front of real Node threads: order, same bits for any number of workers, losses made good. */
import { afterEach, describe, expect, it } from 'vitest';
import { createPool, type Pool } from '../../workers/pool.ts';
import type { Progress } from '../../workers/protocol.ts';
import { workersFor } from '../../workers/spawn.ts';
import { fakeBatch, fakeRequests, fakeResult, valuesOf } from './fake-perform.ts';
import { until, type WatchedSpawn, watchedSpawn } from './fake-spawn.ts';

const pools: Pool[] = [];
function start(workers: number): { pool: Pool; threads: WatchedSpawn } {
  const threads = watchedSpawn();
  const pool = createPool({ workers, spawn: threads.spawn });
  pools.push(pool);
  return { pool, threads };
}
afterEach(() => {
  for (const pool of pools.splice(0)) pool.dispose();
});

describe('a pool', () => {
  it('answers in the order of the requests with the same bits for 1, 2 and 3 workers', async () => {
    // Uneven work, so that chunks come back in another order than they were sent.
    const requests = fakeRequests(100).map(({ value }) => ({ value, busy: value % 7 === 0 ? 4 : 0 }));
    const bits = await Promise.all(
      [1, 2, 3].map(async (workers) => {
        const { answers, status } = await start(workers).pool.run(fakeBatch(requests));
        expect(status).toBe('done');
        expect(valuesOf(answers)).toEqual(requests.map(({ value }) => value));
        return answers.map((answer) => [...new BigUint64Array(fakeResult(answer).column.buffer)]);
      }),
    );
    expect(bits[1]).toEqual(bits[0]);
    expect(bits[2]).toEqual(bits[0]);
  });

  it('shares a batch out over all its workers', async () => {
    const { pool, threads } = start(2);
    await pool.run(fakeBatch(fakeRequests(40, 5)));
    expect(threads.spawned).toHaveLength(2);
  });

  it('reports pieces that together are the answers, each place once', async () => {
    const { pool } = start(2);
    const reports: Progress[] = [];
    const { answers } = await pool.run(fakeBatch(fakeRequests(60, 3)), {
      onProgress: (p) => reports.push(p),
    });
    const places = reports.flatMap((p) => p.answers.map((_, offset) => p.first + offset));
    expect(places.toSorted((a, b) => a - b)).toEqual(answers.map((_, place) => place));
    for (const p of reports) expect(p.answers).toEqual(answers.slice(p.first, p.first + p.answers.length));
    expect(reports.map((p) => p.done)).toEqual(reports.map((p) => p.done).toSorted((a, b) => a - b));
    expect(reports.at(-1)).toMatchObject({ done: 60, total: 60 });
  });

  it('makes good the loss of a worker, with the same answers', async () => {
    const { pool, threads } = start(2);
    let seen = 0;
    const running = pool.run(fakeBatch(fakeRequests(200, 3)), {
      onProgress: ({ done }) => {
        seen = done;
      },
    });
    await until(() => seen > 20);
    threads.spawned[0]?.terminate();
    const outcome = await running;
    expect(outcome.status).toBe('done');
    expect(valuesOf(outcome.answers)).toEqual(fakeRequests(200).map(({ value }) => value));
    expect(threads.spawned).toHaveLength(3);
  });

  it('gives up a request that takes its worker with it, twice, and answers the rest', async () => {
    const { pool, threads } = start(2);
    const requests = fakeRequests(20).map(({ value }) =>
      value === 7 ? { value, act: 'exit' as const } : { value },
    );
    const outcome = await pool.run(fakeBatch(requests));
    expect(outcome.status).toBe('failed');
    expect(outcome.problems.map(({ code }) => code)).toEqual(['worker-died']);
    expect(outcome.answers.filter((answer) => answer === undefined)).toHaveLength(1);
    expect(outcome.answers[7]).toBeUndefined();
    expect(threads.spawned.length).toBeLessThanOrEqual(4);
  });

  it('gives up soon where no worker can be kept alive', async () => {
    const threads = watchedSpawn(new URL('./no-such-worker.ts', import.meta.url));
    const pool = createPool({ workers: 2, spawn: threads.spawn });
    pools.push(pool);
    const outcome = await pool.run(fakeBatch(fakeRequests(1000)));
    expect(outcome.status).toBe('failed');
    expect(new Set(outcome.problems.map(({ code }) => code))).toEqual(new Set(['worker-died']));
    expect(threads.spawned.length).toBeLessThanOrEqual(8);
  });

  it('names the places of problems in the whole batch, in order', async () => {
    const { pool } = start(2);
    const requests = fakeRequests(50).map(({ value }) =>
      value % 20 === 9 ? { value, act: 'throw' as const } : { value },
    );
    const outcome = await pool.run(fakeBatch(requests));
    expect(outcome.problems.map(({ path }) => path)).toEqual(['requests[9]', 'requests[29]', 'requests[49]']);
  });

  it('stops: the promise ends at once with what there is, and every worker becomes free', async () => {
    const { pool } = start(2);
    const controller = new AbortController();
    let seen = 0;
    const running = pool.run(fakeBatch(fakeRequests(4000, 5)), {
      signal: controller.signal,
      onProgress: ({ done }) => {
        seen = done;
      },
    });
    await until(() => seen > 0);
    const from = performance.now();
    controller.abort();
    const outcome = await running;
    await pool.idle();
    // 10 s of work were left; 100 ms is the aim, the rest is room for a busy machine.
    expect(performance.now() - from).toBeLessThan(1500);
    expect(outcome.status).toBe('cancelled');
    expect(outcome.answers.filter((answer) => answer !== undefined)).toHaveLength(seen);
  });

  it('lets a newer batch supersede an older one of its channel', async () => {
    const { pool } = start(2);
    const older = pool.run(fakeBatch(fakeRequests(1000, 5)), { channel: 'teeth' });
    const other = pool.run(fakeBatch(fakeRequests(4, 5)));
    const newer = pool.run(fakeBatch(fakeRequests(4, 5)), { channel: 'teeth' });
    expect((await Promise.all([older, other, newer])).map(({ status }) => status)).toEqual([
      'superseded',
      'done',
      'done',
    ]);
  });

  it('is disposed of with every promise ended and every thread gone', async () => {
    const { pool, threads } = start(3);
    const pending = [pool.run(fakeBatch(fakeRequests(500, 5))), pool.run(fakeBatch(fakeRequests(500, 5)))];
    pool.dispose();
    expect((await Promise.all(pending)).map(({ status }) => status)).toEqual(['cancelled', 'cancelled']);
    expect((await pool.run(fakeBatch(fakeRequests(1)))).status).toBe('cancelled');
    await pool.idle();
    await until(() => threads.alive() === 0);
  });

  it('has a sensible number of workers for any machine', () => {
    expect([1, 2, 8, 64, 0, Number.NaN].map(workersFor)).toEqual([1, 2, 8, 8, 1, 1]);
  });
});
