/**
 * One solver worker, kept alive: runs batches one after the other, and answers every one of them whatever happens.
 *
 * In: a way to spawn a worker, and batches. Out: outcomes as data. A worker that dies, hangs or does not heed a stop
 * is replaced; the batch it held fails with a problem, those waiting go to the fresh worker. Knows nothing of pages
 * and terminals.
 */
import * as Comlink from 'comlink';
import type { Request } from '../sim/index.ts';
import { changeBetween } from './project-change.ts';
import type {
  Batch,
  BatchOutcome,
  BatchStatus,
  Runner,
  RunOptions,
  Slice,
  SolverService,
  TakeSlice,
  WorkOrder,
  WorkReply,
} from './protocol.ts';
import type { Spawn, SpawnedWorker } from './spawn.ts';
import { messageOf, workerProblem } from './worker-problems.ts';

export interface ClientOptions {
  readonly spawn: Spawn;
  /** ms a worker may go without a sign of life before it is replaced; see REQUEST_LIMIT. */
  readonly requestLimit?: number;
  /** ms a worker may take to heed a stop before it is replaced; see STOP_LIMIT. */
  readonly stopLimit?: number;
}

/** ms. The longest single request takes about 1 s on a laptop: room for a phone twenty times slower. */
const REQUEST_LIMIT = 20_000;
/** ms. A stopped worker is free or replaced within 100 ms; a worker pauses every 8 ms unless one request is long. */
const STOP_LIMIT = 80;
/** Silence is counted in this many ticks, so that a computer's sleep counts as one tick and not as hours of it. */
const TICKS = 10;

export interface Client extends Runner {
  /** Starts the worker before the first batch comes. */
  warm(): void;
}

export function createClient(options: ClientOptions): Client {
  return new SolverClient(options);
}

interface Job extends RunOptions {
  readonly id: number;
  readonly batch: Batch;
  readonly answers: BatchOutcome['answers'][number][];
  readonly problems: BatchOutcome['problems'][number][];
  done: number;
  settle: ((status: BatchStatus) => void) | undefined;
}

interface LiveWorker {
  readonly spawned: SpawnedWorker;
  readonly service: Comlink.Remote<SolverService>;
  readonly slices: MessagePort;
  held: Pick<Batch, 'revision' | 'project'> | undefined;
}

type Lost = 'worker-died' | 'worker-timeout' | 'worker-refused';
type Ending = { readonly reply: WorkReply } | { readonly lost: Lost; readonly reason: string };
type Timer = ReturnType<typeof setTimeout>;

/** The job a worker has in hand. `end` may be called by reply, death, silence or an unheeded stop: the first counts. */
interface Current {
  readonly job: Job;
  readonly end: (ending: Ending) => void;
  /** Cleared when the job ends: a timer left behind would keep the command from ending. */
  readonly timers: Timer[];
  silentTicks: number;
}

class SolverClient implements Client {
  readonly #spawn: Spawn;
  readonly #requestLimit: number;
  readonly #stopLimit: number;
  #worker: LiveWorker | undefined;
  #waiting: Job[] = [];
  #current: Current | undefined;
  #nextId = 1;
  #disposed = false;
  #idleListeners: (() => void)[] = [];

  constructor({ spawn, requestLimit = REQUEST_LIMIT, stopLimit = STOP_LIMIT }: ClientOptions) {
    this.#spawn = spawn;
    this.#requestLimit = requestLimit;
    this.#stopLimit = stopLimit;
  }

  run<R extends Request>(batch: Batch<R>, options: RunOptions<R> = {}): Promise<BatchOutcome<R>> {
    return new Promise((resolve) => {
      // Answers belong to their requests by place: from here on both are of any verb.
      const job = this.#jobOf(batch, options as RunOptions, resolve as (outcome: BatchOutcome) => void);
      if (this.#disposed || options.signal?.aborted) return job.settle?.('cancelled');
      if (options.channel !== undefined) this.#supersede(options.channel);
      this.#waiting.push(job);
      this.#pump();
    });
  }

  warm(): void {
    if (this.#disposed || this.#worker !== undefined) return;
    try {
      this.#worker = this.#start();
    } catch {
      // The first batch tries again and reports it.
    }
  }

  idle(): Promise<void> {
    if (this.#current === undefined && this.#waiting.length === 0) return Promise.resolve();
    return new Promise((resolve) => this.#idleListeners.push(resolve));
  }

  dispose(): void {
    this.#disposed = true;
    for (const job of this.#jobs()) job.settle?.('cancelled');
    this.#current?.end({ lost: 'worker-died', reason: 'it was disposed of' });
    this.#discard();
  }

  #jobs(): readonly Job[] {
    return [...(this.#current === undefined ? [] : [this.#current.job]), ...this.#waiting];
  }

  #jobOf(batch: Batch, options: RunOptions, resolve: (outcome: BatchOutcome) => void): Job {
    const answers = new Array<undefined>(batch.requests.length).fill(undefined);
    const job: Job = {
      ...options,
      id: this.#nextId++,
      batch,
      answers,
      problems: [],
      done: 0,
      settle: undefined,
    };
    const cancel = (): void => job.settle?.('cancelled');
    job.settle = (status) => {
      job.settle = undefined;
      options.signal?.removeEventListener('abort', cancel);
      this.#waiting = this.#waiting.filter((other) => other !== job);
      if (this.#current?.job === job && (status === 'cancelled' || status === 'superseded'))
        this.#stopCurrent();
      resolve({ status, answers: job.answers, problems: job.problems });
    };
    options.signal?.addEventListener('abort', cancel);
    return job;
  }

  #supersede(channel: string): void {
    for (const job of this.#jobs()) if (job.channel === channel) job.settle?.('superseded');
  }

  /** Takes the next job in hand if the worker is free. */
  #pump(): void {
    if (this.#current !== undefined) return;
    const job = this.#waiting.shift();
    if (job === undefined) {
      for (const listener of this.#idleListeners.splice(0)) listener();
      return;
    }
    void this.#serve(job).then(() => {
      this.#current = undefined;
      this.#pump();
    });
  }

  /** Sees one job through to its end; never rejects. */
  async #serve(job: Job): Promise<void> {
    const timers: Timer[] = [];
    const ending = await new Promise<Ending>((end) => {
      const current: Current = { job, end, timers, silentTicks: 0 };
      this.#current = current;
      timers.push(this.#watch(current));
      this.#order(job).then(
        (reply) => end({ reply }),
        (error) => end({ lost: 'worker-refused', reason: messageOf(error) }),
      );
    });
    for (const timer of timers) clearTimeout(timer);
    if ('reply' in ending) {
      const { revision, project } = job.batch;
      if (this.#worker !== undefined) this.#worker.held = { revision, project };
      this.#take(ending.reply.rest);
      // A worker stops only orders whose job has been settled, so whatever is open here came to its end.
      job.settle?.(job.problems.length > 0 ? 'failed' : 'done');
      return;
    }
    this.#discard();
    if (job.settle === undefined) return;
    job.problems.push(lostProblem(ending.lost, ending.reason));
    job.settle('failed');
  }

  async #order(job: Job): Promise<WorkReply> {
    this.#worker ??= this.#start();
    const worker = this.#worker;
    const { project, revision, requests } = job.batch;
    const order: WorkOrder = { id: job.id, revision, requests };
    const { held } = worker;
    // A page may ask with the revision of an edit for the project before it: only the project itself tells.
    if (held?.revision === revision && held.project === project) return worker.service.work(order);
    const change = held === undefined ? undefined : changeBetween(held.project, project);
    const sent =
      held === undefined || change === undefined
        ? { project }
        : { change: { ...change, from: held.revision } };
    return worker.service.work({ ...order, ...sent });
  }

  /** Ends the job in hand as timed out when nothing has been heard of it for too long. */
  #watch(current: Current): Timer {
    return setInterval(() => {
      current.silentTicks += 1;
      if (current.silentTicks >= TICKS) {
        current.end({
          lost: 'worker-timeout',
          reason: `nothing was heard of it for ${this.#requestLimit / 1000} s`,
        });
      }
    }, this.#requestLimit / TICKS);
  }

  /** Asks the worker to leave the job in hand, and replaces it if it does not in time. */
  #stopCurrent(): void {
    const current = this.#current;
    if (current === undefined || this.#worker === undefined) return;
    void this.#worker.service.stop(current.job.id).catch(() => {});
    const unheeded = (): void => current.end({ lost: 'worker-timeout', reason: 'it did not heed a stop' });
    current.timers.push(setTimeout(unheeded, this.#stopLimit));
  }

  #start(): LiveWorker {
    const spawned = this.#spawn();
    const service = Comlink.wrap<SolverService>(spawned.endpoint);
    const { port1, port2 } = new MessageChannel();
    const take: TakeSlice = (slice) => this.#take(slice);
    Comlink.expose(take, port1);
    void service.listen(Comlink.transfer(port2, [port2])).catch(() => {});
    const worker: LiveWorker = { spawned, service, slices: port1, held: undefined };
    spawned.onEnd((reason) => {
      if (this.#worker !== worker) return;
      if (this.#current === undefined) this.#discard();
      else this.#current.end({ lost: 'worker-died', reason });
    });
    return worker;
  }

  /** Lets go of the worker and everything tied to it; the next job starts a fresh one. */
  #discard(): void {
    const worker = this.#worker;
    if (worker === undefined) return;
    this.#worker = undefined;
    worker.slices.close();
    worker.service[Comlink.releaseProxy]();
    worker.spawned.terminate();
  }

  #take(slice: Slice): void {
    const current = this.#current;
    if (current === undefined || current.job.id !== slice.id) return;
    current.silentTicks = 0;
    const { job } = current;
    if (job.settle === undefined) return;
    for (const [offset, answer] of slice.answers.entries()) job.answers[slice.first + offset] = answer;
    job.problems.push(...slice.problems);
    job.done += slice.answers.length;
    try {
      const { done, answers } = job;
      job.onProgress?.({ done, total: answers.length, first: slice.first, answers: slice.answers });
    } catch (error) {
      // The listener's own mistake: shown as uncaught, not mixed up with the batch.
      queueMicrotask(() => {
        throw error;
      });
    }
  }
}

function lostProblem(code: Lost, reason: string): BatchOutcome['problems'][number] {
  const again = 'Ask again: a fresh worker takes over.';
  if (code === 'worker-refused')
    return workerProblem(code, '', `The request could not be handed to a worker: ${reason}`);
  const what =
    code === 'worker-died' ? 'The worker computing this stopped' : 'The worker computing this was given up';
  return workerProblem(code, '', `${what}: ${reason}`, again);
}
