/**
 * Everything that crosses between a caller and a solver worker: orders, slices of answers, replies and outcomes.
 *
 * All of it is plain data; trouble is `Problem`s, never thrown errors. Knows nothing of threads or messages.
 */
import type { Answer, AnswerTo, Problem, Project, Request } from '../sim/index.ts';
import type { ProjectChange } from './project-change.ts';

/** Names one state of a project: the same revision must always mean the same project, bit for bit. */
export type Revision = string | number;

/** What a caller wants answered: some requests about one project. The verbs of R decide what the answers hold. */
export interface Batch<R extends Request = Request> {
  readonly project: Project;
  readonly revision: Revision;
  readonly requests: readonly R[];
}

/** A batch on its way to a worker, with as little of the project as the worker does not hold. */
export interface WorkOrder {
  readonly id: number;
  readonly revision: Revision;
  /** The whole project, or what makes it of another revision; neither where the worker already holds this one. */
  readonly project?: Project;
  readonly change?: ProjectChange & { readonly from: Revision };
  readonly requests: readonly Request[];
}

/** Answers to the requests `first`, `first + 1`, ... of an order; undefined where `problems` says why. */
export interface Slice {
  readonly id: number;
  readonly first: number;
  readonly answers: readonly (Answer | undefined)[];
  /** Paths are `requests[n]`, counted from the start of the order. */
  readonly problems: readonly Problem[];
}

/** The end of an order: the answers not yet sent, and whether the worker came to the end or was stopped. */
export interface WorkReply {
  readonly ending: 'finished' | 'stopped';
  readonly rest: Slice;
}

/** What a worker offers. */
export interface SolverService {
  /** Gives the worker the port on which it reports slices while an order runs. */
  listen(port: MessagePort): void;
  work(order: WorkOrder): Promise<WorkReply>;
  /** Ends an order at the next pause between two requests; an order that is not running is ignored. */
  stop(id: number): void;
}

/** The other end of the port given to `listen`. Resolves once the slice has been taken over. */
export type TakeSlice = (slice: Slice) => void | Promise<void>;

/** How far a batch has come, with the answers that are new since the last report. */
export interface Progress<R extends Request = Request> {
  readonly done: number;
  readonly total: number;
  /** Place in the batch of `answers[0]`. */
  readonly first: number;
  readonly answers: readonly (AnswerTo<R['verb']> | undefined)[];
}

/**
 * How a batch ended. `done`: every request has its answer. `failed`: `problems` says what went wrong. `cancelled`:
 * by the caller's signal or by disposal. `superseded`: by a newer batch on the same channel.
 */
export type BatchStatus = 'done' | 'failed' | 'cancelled' | 'superseded';

export interface BatchOutcome<R extends Request = Request> {
  readonly status: BatchStatus;
  /** One place per request, in the order of the requests; undefined where there is no answer. */
  readonly answers: readonly (AnswerTo<R['verb']> | undefined)[];
  readonly problems: readonly Problem[];
}

export interface RunOptions<R extends Request = Request> {
  /** A newer batch on the same channel ends an older one as `superseded`. Without a channel nothing does. */
  readonly channel?: string;
  readonly onProgress?: (progress: Progress<R>) => void;
  readonly signal?: AbortSignal;
}

/** Runs batches: one worker (client.ts) or several (pool.ts). The promise always settles and never rejects. */
export interface Runner {
  run<R extends Request>(batch: Batch<R>, options?: RunOptions<R>): Promise<BatchOutcome<R>>;
  /** Resolves when nothing is waiting and every worker is free. */
  idle(): Promise<void>;
  /** Ends everything as `cancelled` and stops the workers. */
  dispose(): void;
}
