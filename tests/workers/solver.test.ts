/** The body of the worker without threads: when it pauses, reports and stops, by a clock of the test's own. */
import { describe, expect, it } from 'vitest';
import { createSolver } from '../../workers/solver.ts';
import { buffersOf } from '../../workers/transferables.ts';
import { fakeBatch, fakePerform, fakeRequests, valuesOf } from './fake-perform.ts';

/** A solver whose requests each take `each` ms of a pretended clock, and a list of when it paused. */
function pretended(each: number, onPause: () => void = () => {}) {
  let time = 0;
  const pauses: number[] = [];
  const solver = createSolver({
    perform: (project, request) => {
      time += each;
      return fakePerform(project, request);
    },
    pause: async () => {
      pauses.push(time);
      onPause();
    },
    now: () => time,
  });
  return { solver, pauses };
}

describe('the solver', () => {
  it('pauses between requests only when more than 8 ms have passed', async () => {
    const { solver, pauses } = pretended(3);
    await solver.work({ id: 1, ...fakeBatch(fakeRequests(10)) });
    expect(pauses).toEqual([9, 18, 27]);
  });

  it('stops at a pause and returns what it has not reported', async () => {
    const { solver, pauses } = pretended(10, () => {
      if (pauses.length === 2) solver.stop(1);
    });
    const reply = await solver.work({ id: 1, ...fakeBatch(fakeRequests(10)) });
    expect(reply.ending).toBe('stopped');
    expect(valuesOf(reply.rest.answers)).toEqual([1]);
  });

  it('reports the first answer at once, and what follows a frame later at the earliest', async () => {
    const { solver } = pretended(3);
    // 0 at 3 ms; 1 to 6 up to 21 ms, the first past 3 + 16; the rest with the reply.
    const { rest } = await solver.work({ id: 1, ...fakeBatch(fakeRequests(10)) });
    expect(rest.first).toBe(7);
    expect(valuesOf(rest.answers)).toEqual([7, 8, 9]);
  });

  it('waits for what a request needs first, and tells it as a problem of that request where it cannot be had', async () => {
    const log: string[] = [];
    const solver = createSolver({
      perform: (project, request) => {
        log.push('performed');
        return fakePerform(project, request);
      },
      pause: async () => {},
      prepare: () => {
        log.push('asked');
        if (log.length > 1) return Promise.reject(new Error('it could not be fetched'));
        return Promise.resolve().then(() => void log.push('ready'));
      },
    });
    const { rest } = await solver.work({ id: 1, ...fakeBatch(fakeRequests(3)) });
    expect(log).toEqual(['asked', 'ready', 'performed', 'asked', 'asked']);
    expect(rest.problems.map(({ message }) => message)).toEqual(
      new Array(2).fill(expect.stringContaining('it could not be fetched')),
    );
  });

  it('ignores a stop meant for another order, and keeps no stop for a later one', async () => {
    const { solver } = pretended(10, () => solver.stop(2));
    expect((await solver.work({ id: 1, ...fakeBatch(fakeRequests(3)) })).ending).toBe('finished');
    solver.stop(3);
    expect((await solver.work({ id: 3, ...fakeBatch(fakeRequests(3)) })).ending).toBe('finished');
  });

  it('refuses an order about a project it does not hold', async () => {
    const { solver } = pretended(1);
    const { revision, requests } = fakeBatch(fakeRequests(1));
    await expect(solver.work({ id: 1, revision, requests })).rejects.toThrow('does not hold revision 1');
  });
});

describe('buffersOf', () => {
  it('finds each buffer once, in columns, views, nested objects and cycles', () => {
    const a = new Float64Array(2);
    const b = new Int8Array(a.buffer);
    const c = new Float64Array(3);
    const value: Record<string, unknown> = { a, list: [{ b }, c], d: c.buffer, text: 'x', nothing: null };
    value['self'] = value;
    expect(new Set(buffersOf(value))).toEqual(new Set([a.buffer, c.buffer]));
    expect(buffersOf(value)).toHaveLength(2);
  });

  it('leaves shared memory alone', () => {
    expect(buffersOf({ column: new Float64Array(new SharedArrayBuffer(8)) })).toEqual([]);
  });
});
