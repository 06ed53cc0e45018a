/**
 * Several solver workers sharing one batch: small chunks go to whichever worker is free, answers come back in the
 * order of the requests. Every request is computed alone, so the answers have the same bits for any number of workers.
 */
import type { Request } from '../sim/index.ts';
import { type ClientOptions, createClient } from './client.ts';
import type { Batch, BatchOutcome, BatchStatus, Runner, RunOptions } from './protocol.ts';
import { shiftedProblem } from './worker-problems.ts';

export interface PoolOptions extends ClientOptions {
  readonly workers: number;
}

export interface Pool extends Runner {
  readonly workers: number;
}

/** Chunks per worker: enough that the last one running alone costs little, few enough that sending costs nothing. */
const CHUNKS_PER_WORKER = 16;
/** Workers lost per worker of the pool, after which the batch is given up: then none can be kept alive here. */
const LOSSES_PER_WORKER = 3;
/** A worker may be taken away (a phone short of memory); a chunk that loses two has itself to blame. */
const TRIES_PER_CHUNK = 2;

export function createPool({ workers, ...options }: PoolOptions): Pool {
  if (!Number.isInteger(workers) || workers < 1)
    throw new Error(`workers: ${workers} is not a whole number above 0`);
  const clients = Array.from({ length: workers }, () => createClient(options));
  const open = new Set<Share>();
  let disposed = false;

  return {
    workers,
    async run<R extends Request>(batch: Batch<R>, runOptions: RunOptions<R> = {}): Promise<BatchOutcome<R>> {
      // Answers belong to their requests by place: from here on both are of any verb.
      const share = new Share(batch, runOptions as RunOptions, workers * LOSSES_PER_WORKER);
      if (disposed || runOptions.signal?.aborted) share.end('cancelled');
      for (const other of open) if (other.isReplacedBy(share)) other.end('superseded');
      open.add(share);
      void Promise.all(clients.map((client) => workOff(client, share))).then(() => share.end());
      const outcome = await share.outcome;
      open.delete(share);
      return outcome as BatchOutcome<R>;
    },
    async idle() {
      await Promise.all(clients.map((client) => client.idle()));
    },
    dispose() {
      disposed = true;
      for (const share of open) share.end('cancelled');
      for (const client of clients) client.dispose();
    },
  };

  /** Lets one client take chunks until none is left or the batch has ended. */
  async function workOff(client: Runner, share: Share): Promise<void> {
    const size = Math.max(1, Math.ceil(share.total / (workers * CHUNKS_PER_WORKER)));
    for (let range = share.takeRange(size); range !== undefined; range = share.takeRange(size)) {
      await share.answerRange(client, range);
    }
  }
}

/** Places in a batch, `from` included, `to` not. */
interface Range {
  readonly from: number;
  readonly to: number;
}

/** One batch while it is being shared out. */
class Share {
  readonly total: number;
  readonly outcome: Promise<BatchOutcome>;
  readonly #batch: Batch;
  readonly #options: RunOptions;
  readonly #answers: BatchOutcome['answers'][number][];
  readonly #problems: BatchOutcome['problems'][number][] = [];
  readonly #stop = new AbortController();
  readonly #cancel = (): void => this.end('cancelled');
  #resolve: ((outcome: BatchOutcome) => void) | undefined;
  #next = 0;
  #done = 0;
  #lossesLeft: number;

  constructor(batch: Batch, options: RunOptions, mostLosses: number) {
    this.#batch = batch;
    this.#lossesLeft = mostLosses;
    this.#options = options;
    this.total = batch.requests.length;
    this.#answers = new Array<undefined>(this.total).fill(undefined);
    this.outcome = new Promise((resolve) => {
      this.#resolve = resolve;
    });
    options.signal?.addEventListener('abort', this.#cancel);
  }

  isReplacedBy(newer: Share): boolean {
    return this.#options.channel !== undefined && this.#options.channel === newer.#options.channel;
  }

  takeRange(size: number): Range | undefined {
    if (this.#resolve === undefined || this.#next >= this.total) return undefined;
    const from = this.#next;
    this.#next = Math.min(this.total, from + size);
    return { from, to: this.#next };
  }

  /** Has a client answer a range; where the worker is lost on the way, the rest of the range is tried once more. */
  async answerRange(client: Runner, range: Range): Promise<void> {
    let from = range.from;
    for (let tries = 1; from < range.to && this.#resolve !== undefined; tries++) {
      const begin = from;
      const outcome = await client.run(
        { ...this.#batch, requests: this.#batch.requests.slice(begin, range.to) },
        {
          signal: this.#stop.signal,
          onProgress: ({ first, answers }) => {
            from = begin + first + answers.length;
            this.#take(begin + first, answers);
          },
        },
      );
      const lost = outcome.problems.find(({ path }) => path === '');
      if (lost !== undefined) this.#lossesLeft -= 1;
      const again = lost?.code === 'worker-died' && tries < TRIES_PER_CHUNK && this.#lossesLeft > 0;
      const kept = again ? outcome.problems.filter((problem) => problem !== lost) : outcome.problems;
      this.#problems.push(...kept.map((problem) => shiftedProblem(problem, begin)));
      if (this.#lossesLeft <= 0) this.end();
      if (!again) return;
    }
  }

  /** Ends the batch, the first time it is called; without a status, as the problems found say. */
  end(status?: BatchStatus): void {
    const resolve = this.#resolve;
    if (resolve === undefined) return;
    this.#resolve = undefined;
    this.#options.signal?.removeEventListener('abort', this.#cancel);
    this.#stop.abort();
    // By place, not by which worker came first.
    const problems = this.#problems.toSorted((a, b) => placeOf(a.path) - placeOf(b.path));
    resolve({
      status: status ?? (problems.length > 0 ? 'failed' : 'done'),
      answers: this.#answers,
      problems,
    });
  }

  #take(first: number, answers: BatchOutcome['answers']): void {
    for (const [offset, answer] of answers.entries()) this.#answers[first + offset] = answer;
    this.#done += answers.length;
    if (this.#resolve === undefined) return;
    this.#options.onProgress?.({ done: this.#done, total: this.total, first, answers });
  }
}

function placeOf(path: string): number {
  return Number(/^requests\[(\d+)\]/.exec(path)?.[1] ?? -1);
}
