/** The client in front of real Node threads: it answers everything, whatever the worker does. */
import { afterEach, describe, expect, it } from 'vitest';
import { type Client, type ClientOptions, createClient } from '../../workers/client.ts';
import type { Progress } from '../../workers/protocol.ts';
import { fakeBatch, fakeRequests, fakeResult, valuesOf } from './fake-perform.ts';
import { until, type WatchedSpawn, watchedSpawn } from './fake-spawn.ts';

/**
 * ms. A stop is to be heeded within 100 ms, and is, on a quiet machine (the bench measures that). These tests show
 * that it is heeded at all - the work stopped would take many seconds - so a busy machine gets plenty of room.
 */
const SOON = 1500;

const clients: Client[] = [];
function start(options: Omit<ClientOptions, 'spawn'> = {}): { client: Client; threads: WatchedSpawn } {
  const threads = watchedSpawn();
  const client = createClient({ spawn: threads.spawn, ...options });
  clients.push(client);
  return { client, threads };
}
afterEach(() => {
  for (const client of clients.splice(0)) client.dispose();
});

describe('a batch', () => {
  it('is answered in the order of its requests', async () => {
    const { client } = start();
    const outcome = await client.run(fakeBatch(fakeRequests(50)));
    expect(outcome.status).toBe('done');
    expect(outcome.problems).toEqual([]);
    expect(valuesOf(outcome.answers)).toEqual(fakeRequests(50).map(({ value }) => value));
    expect(fakeResult(outcome.answers[3]).column).toEqual(
      Float64Array.from({ length: 4 }, (_, i) => Math.sin(3 * 0.37 + i)),
    );
  });

  it('of no requests is done at once', async () => {
    const { client } = start();
    expect(await client.run(fakeBatch([]))).toEqual({ status: 'done', answers: [], problems: [] });
  });

  it('hands arrays over instead of copying them', async () => {
    const { client } = start();
    const first = await client.run(fakeBatch(fakeRequests(1)));
    const second = await client.run(fakeBatch(fakeRequests(1)));
    expect(fakeResult(first.answers[0]).column.byteLength).toBe(32);
    expect(fakeResult(second.answers[0]).bytesKept).toBe(0);
  });

  it('brings the project once per revision', async () => {
    const { client } = start();
    const batches = [0, 1, 2].map((revision) => fakeBatch(fakeRequests(2), revision, revision));
    const projectsAfter = async (revision: number): Promise<number> => {
      const { answers } = await client.run(batches[revision]!);
      return fakeResult(answers[1]).projects;
    };
    expect([
      await projectsAfter(1),
      await projectsAfter(1),
      await projectsAfter(2),
      await projectsAfter(2),
    ]).toEqual([1, 1, 2, 2]);
  });

  it('computes with the project of its own revision', async () => {
    const { client } = start();
    const [old, fresh] = await Promise.all([
      client.run(fakeBatch(fakeRequests(2), 'a', 1)),
      client.run(fakeBatch(fakeRequests(2), 'b', 2)),
    ]);
    expect(fakeResult(old.answers[1]).column[0]).toBe(Math.sin(1));
    expect(fakeResult(fresh.answers[1]).column[0]).toBe(Math.sin(2));
  });

  it('computes with its own project, though another has had the same revision', async () => {
    const { client } = start();
    for (const factor of [1, 2, 1]) {
      const { answers } = await client.run(fakeBatch(fakeRequests(2), 'a', factor));
      expect(fakeResult(answers[1]).column[0]).toBe(Math.sin(factor));
    }
  });

  it('reports progress in pieces that together are the answers', async () => {
    const { client } = start();
    const reports: Progress[] = [];
    const { answers } = await client.run(fakeBatch(fakeRequests(20, 5)), {
      onProgress: (p) => reports.push(p),
    });
    // 100 ms of work with a report every 16 ms or more: 2 at the least, and never one per request.
    expect(reports.length).toBeGreaterThanOrEqual(2);
    expect(reports.length).toBeLessThan(12);
    expect(reports.flatMap((p) => p.answers)).toEqual(answers);
    expect(reports.map((p) => p.first + p.answers.length)).toEqual(reports.map((p) => p.done));
    expect(reports.at(-1)).toMatchObject({ done: 20, total: 20 });
  });
});

describe('stopping', () => {
  it('ends the promise at once, keeps what was answered, and frees the worker between two requests', async () => {
    const { client, threads } = start();
    const controller = new AbortController();
    let seen = 0;
    const running = client.run(fakeBatch(fakeRequests(2000, 5)), {
      signal: controller.signal,
      onProgress: ({ done }) => {
        seen = done;
      },
    });
    await until(() => seen > 0);
    const from = performance.now();
    controller.abort();
    const outcome = await running;
    const settled = performance.now() - from;
    await client.idle();
    expect(outcome.status).toBe('cancelled');
    expect(outcome.answers.filter((answer) => answer !== undefined)).toHaveLength(seen);
    expect(settled).toBeLessThan(SOON);
    expect(performance.now() - from).toBeLessThan(SOON);
    expect(valuesOf((await client.run(fakeBatch(fakeRequests(2)))).answers)).toEqual([0, 1]);
    expect(threads.spawned, 'the worker heeded the stop and was kept').toHaveLength(1);
  });

  it('replaces a worker that is deep in one long request', async () => {
    const { client, threads } = start();
    await client.run(fakeBatch(fakeRequests(1)));
    const controller = new AbortController();
    const running = client.run(fakeBatch([{ value: 1, act: 'hang' }]), { signal: controller.signal });
    await new Promise((resolve) => setTimeout(resolve, 30)); // by now it is in the worker and spinning
    const from = performance.now();
    controller.abort();
    expect((await running).status).toBe('cancelled');
    await client.idle();
    expect(performance.now() - from).toBeGreaterThan(20); // it had to be given its time to heed the stop
    expect(performance.now() - from).toBeLessThan(SOON);
    expect((await client.run(fakeBatch(fakeRequests(1)))).status).toBe('done');
    expect(threads.spawned).toHaveLength(2);
    await until(() => threads.alive() === 1);
  });

  it('before the start or in the queue costs the worker nothing', async () => {
    const { client, threads } = start();
    expect((await client.run(fakeBatch(fakeRequests(1)), { signal: AbortSignal.abort() })).status).toBe(
      'cancelled',
    );
    expect(threads.spawned).toHaveLength(0);
    const controller = new AbortController();
    const first = client.run(fakeBatch(fakeRequests(5, 5)));
    const second = client.run(fakeBatch(fakeRequests(5, 5)), { signal: controller.signal });
    controller.abort();
    expect((await second).status).toBe('cancelled');
    expect((await first).status).toBe('done');
  });
});

describe('a newer batch', () => {
  it('supersedes older ones of its channel, waiting or running, and no others', async () => {
    const { client } = start();
    const ask = (channel: string, value: number) => client.run(fakeBatch([{ value, busy: 20 }]), { channel });
    const outcomes = await Promise.all([
      ask('lap', 1),
      ask('brake', 2),
      ask('lap', 3),
      client.run(fakeBatch([{ value: 4 }])),
      ask('lap', 5),
    ]);
    expect(outcomes.map(({ status }) => status)).toEqual([
      'superseded',
      'done',
      'superseded',
      'done',
      'done',
    ]);
    expect(outcomes.map(({ answers }) => valuesOf(answers)[0])).toEqual([undefined, 2, undefined, 4, 5]);
  });
});

describe('trouble', () => {
  it('in one request is a problem with its place; the others are answered', async () => {
    const { client } = start();
    const outcome = await client.run(fakeBatch([{ value: 0 }, { value: 1, act: 'throw' }, { value: 2 }]));
    expect(outcome.status).toBe('failed');
    expect(valuesOf(outcome.answers)).toEqual([0, undefined, 2]);
    expect(outcome.problems).toMatchObject([
      { severity: 'problem', code: 'request-threw', path: 'requests[1]', message: 'no answer to 1' },
    ]);
  });

  it('an answer that shares its array with another is refused, not sent empty', async () => {
    const { client } = start();
    const outcome = await client.run(
      fakeBatch([
        { value: 0, act: 'share' },
        { value: 1, act: 'share' },
      ]),
    );
    expect(valuesOf(outcome.answers)).toEqual([0, undefined]);
    expect(outcome.problems).toMatchObject([{ code: 'array-shared', path: 'requests[1]' }]);
  });

  it.each(['exit', 'crash'] as const)(
    'a worker lost by %s fails its own batch; those waiting are answered',
    async (act) => {
      const { client, threads } = start();
      const [lost, waiting] = await Promise.all([
        client.run(fakeBatch([{ value: 0, act, busy: 5 }, ...fakeRequests(20, 5)])),
        client.run(fakeBatch(fakeRequests(3))),
      ]);
      expect(lost.status).toBe('failed');
      expect(lost.problems).toMatchObject([
        { code: 'worker-died', message: expect.stringMatching(/code 3|crashed/) },
      ]);
      expect(valuesOf(waiting.answers)).toEqual([0, 1, 2]);
      expect(threads.spawned).toHaveLength(2);
    },
  );

  it('a worker killed from outside in the middle of a batch fails it with what was answered so far', async () => {
    const { client, threads } = start();
    let seen = 0;
    const running = client.run(fakeBatch(fakeRequests(2000, 5)), {
      onProgress: ({ done }) => {
        seen = done;
      },
    });
    await until(() => seen > 0);
    threads.spawned[0]?.terminate();
    const outcome = await running;
    expect(outcome.status).toBe('failed');
    expect(outcome.problems[0]?.code).toBe('worker-died');
    expect(outcome.answers.filter((answer) => answer !== undefined)).toHaveLength(seen);
    expect((await client.run(fakeBatch(fakeRequests(1)))).status).toBe('done');
  });

  it('a worker that dies idle is replaced when next needed', async () => {
    const { client, threads } = start();
    await client.run(fakeBatch(fakeRequests(1)));
    threads.spawned[0]?.terminate();
    await until(() => threads.alive() === 0);
    expect((await client.run(fakeBatch(fakeRequests(1)))).status).toBe('done');
    expect(threads.spawned).toHaveLength(2);
  });

  it('silence beyond the limit fails the batch and replaces the worker', async () => {
    const { client, threads } = start({ requestLimit: 1500 });
    const outcome = await client.run(fakeBatch([{ value: 0, act: 'hang' }]));
    expect(outcome.problems).toMatchObject([{ code: 'worker-timeout', path: '' }]);
    expect((await client.run(fakeBatch(fakeRequests(1)))).status).toBe('done');
    expect(threads.spawned).toHaveLength(2);
  });

  it('a long batch with signs of life is not silence', async () => {
    const { client } = start({ requestLimit: 1500 });
    const outcome = await client.run(fakeBatch(fakeRequests(110, 20)));
    expect(outcome.status).toBe('done');
  });

  it('an answer that cannot be sent is told as such', async () => {
    const { client } = start();
    const outcome = await client.run(fakeBatch([{ value: 0, act: 'unsendable' }]));
    expect(outcome.problems.map(({ code }) => code)).toEqual(['worker-refused']);
    expect((await client.run(fakeBatch(fakeRequests(1)))).status).toBe('done');
  });

  it('a project that cannot be sent is told as such', async () => {
    const { client } = start();
    const batch = { ...fakeBatch(fakeRequests(1)), project: { factor: () => 1 } as never };
    expect((await client.run(batch)).problems.map(({ code }) => code)).toEqual(['worker-refused']);
    expect((await client.run(fakeBatch(fakeRequests(1)))).status).toBe('done');
  });

  it('no worker at all is told as such', async () => {
    const client = createClient({
      spawn: () => {
        throw new Error('workers are not allowed here');
      },
    });
    client.warm();
    const outcome = await client.run(fakeBatch(fakeRequests(1)));
    expect(outcome.problems[0]?.message).toContain('workers are not allowed here');
  });

  it('a worker file that does not exist is told as such', async () => {
    const threads = watchedSpawn(new URL('./no-such-worker.ts', import.meta.url));
    const client = createClient({ spawn: threads.spawn });
    clients.push(client);
    const outcome = await client.run(fakeBatch(fakeRequests(1)));
    expect(outcome.problems).toMatchObject([
      { code: 'worker-died', message: expect.stringContaining('no-such-worker') },
    ]);
  });
});

describe('disposal', () => {
  it('ends every promise as cancelled, every thread, and refuses later batches', async () => {
    const { client, threads } = start();
    let seen = 0;
    const pending = [
      client.run(fakeBatch(fakeRequests(500, 5)), {
        onProgress: () => {
          seen += 1;
        },
      }),
      client.run(fakeBatch(fakeRequests(500, 5))),
      client.run(fakeBatch(fakeRequests(500, 5)), { channel: 'lap' }),
    ];
    await until(() => seen > 0);
    client.dispose();
    expect((await Promise.all(pending)).map(({ status }) => status)).toEqual([
      'cancelled',
      'cancelled',
      'cancelled',
    ]);
    await client.idle();
    expect((await client.run(fakeBatch(fakeRequests(1)))).status).toBe('cancelled');
    await until(() => threads.alive() === 0);
    expect(threads.spawned).toHaveLength(1);
  });
});
