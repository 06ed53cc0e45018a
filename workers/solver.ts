/**
 * The body of a solver worker: performs an order one request at a time, hears `stop` in between, reports slices.
 *
 * In: orders, and the means of the place it runs in (perform, pause, clock). Out: slices and a reply, with arrays
 * handed over. Knows neither which kind of thread it lives in nor who asks.
 */
import * as Comlink from 'comlink';
import type { Answer, Project, Request } from '../sim/index.ts';
import { changed } from './project-change.ts';
import type { Revision, Slice, SolverService, TakeSlice, WorkOrder, WorkReply } from './protocol.ts';
import { buffersOf } from './transferables.ts';
import { messageOf, workerProblem } from './worker-problems.ts';

export type Perform = (project: Project, request: Request) => Answer;

export interface SolverMeans {
  readonly perform: Perform;
  /** What a request needs first, such as code that is fetched when it is asked for; nothing for most. */
  readonly prepare?: (request: Request) => Promise<void> | undefined;
  /** Lets the thread hear its messages: setImmediate in Node, a hop over a channel in the browser. */
  readonly pause: () => Promise<void>;
  /** Milliseconds. */
  readonly now?: () => number;
}

/** ms of work between two pauses. Longer: `stop` is heard late. Shorter: pauses (0.01-4 ms each) eat the time. */
const WORK_BETWEEN_PAUSES = 8;
/** ms between two reports: one frame of a 60 Hz screen, more often nobody can see. The first goes at once. */
const BETWEEN_REPORTS = 16;

export function createSolver(means: SolverMeans): SolverService {
  const now = means.now ?? (() => performance.now());
  const running = new Set<number>();
  const stopped = new Set<number>();
  /** Memory already handed over: an answer that holds some of it has lost its numbers. */
  const gone = new WeakSet<ArrayBuffer>();
  let held: Held | undefined;
  let take: TakeSlice = () => {};

  const work = async (order: WorkOrder): Promise<WorkReply> => {
    const { revision, change } = order;
    if (order.project !== undefined) held = { revision, project: order.project };
    else if (change !== undefined && held?.revision === change.from)
      held = { revision, project: changed(held.project, change) };
    if (held === undefined || held.revision !== revision) {
      throw new Error(`the worker does not hold revision ${order.revision} of the project`);
    }
    const { project } = held;
    const taken: Promise<void>[] = [];
    let open = emptySlice(order.id, 0);
    let pausedAt = now();
    let reportedAt = pausedAt;
    let ending: WorkReply['ending'] = 'finished';
    for (const [index, request] of order.requests.entries()) {
      if (now() - pausedAt > WORK_BETWEEN_PAUSES) {
        await means.pause();
        pausedAt = now();
        if (stopped.has(order.id)) {
          ending = 'stopped';
          break;
        }
      }
      try {
        const ready = means.prepare?.(request);
        if (ready !== undefined) await ready;
        open.answers.push(own(means.perform(project, request)));
      } catch (error) {
        open.answers.push(undefined);
        const code = error instanceof SharedArrayError ? 'array-shared' : 'request-threw';
        open.problems.push(workerProblem(code, `requests[${index}]`, messageOf(error)));
      }
      const rest = order.requests.length - 1 - index;
      if (rest > 0 && (index === 0 || now() - reportedAt >= BETWEEN_REPORTS)) {
        const sent = Promise.resolve(take(Comlink.transfer(open, [...buffersOf(open.answers)])));
        sent.catch(() => {}); // told by the `await` below; without this it would count as unhandled until then
        taken.push(sent);
        open = emptySlice(order.id, index + 1);
        reportedAt = now();
      }
    }
    // Slices and the reply travel by different ports, in no fixed order: the reply waits until all slices are in.
    await Promise.all(taken);
    return Comlink.transfer({ ending, rest: open }, [...buffersOf(open.answers)]);
  };

  /** Claims the memory of an answer for handing over; refuses memory that some other answer already claimed. */
  const own = (answer: Answer): Answer => {
    const buffers = buffersOf(answer);
    if (buffers.some((buffer) => gone.has(buffer))) throw new SharedArrayError();
    for (const buffer of buffers) gone.add(buffer);
    return answer;
  };

  return {
    listen(port) {
      const caller = Comlink.wrap<TakeSlice>(port);
      take = (slice) => caller(slice);
    },
    async work(order) {
      running.add(order.id);
      try {
        return await work(order);
      } finally {
        running.delete(order.id);
        stopped.delete(order.id);
      }
    },
    stop(id) {
      if (running.has(id)) stopped.add(id);
    },
  };
}

interface Held {
  readonly revision: Revision;
  readonly project: Project;
}

interface OpenSlice extends Slice {
  readonly answers: (Answer | undefined)[];
  readonly problems: Slice['problems'][number][];
}

function emptySlice(id: number, first: number): OpenSlice {
  return { id, first, answers: [], problems: [] };
}

class SharedArrayError extends Error {
  constructor() {
    super('the answer holds an array of another answer; every answer must have arrays of its own');
  }
}
