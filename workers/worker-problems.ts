/** The troubles that arise between a caller and a worker, as data. */
import type { Problem } from '../sim/index.ts';

export type WorkerProblemCode =
  | 'worker-died'
  | 'worker-timeout'
  | 'worker-refused'
  | 'request-threw'
  | 'array-shared';

export function workerProblem(
  code: WorkerProblemCode,
  path: string,
  message: string,
  remedy?: string,
): Problem {
  return { severity: 'problem', code, path, message, ...(remedy === undefined ? {} : { remedy }) };
}

/** Moves the place `requests[n]` of a part's problem to where that part begins in the whole batch. */
export function shiftedProblem(problem: Problem, first: number): Problem {
  const path = problem.path.replace(
    /^requests\[(\d+)\]/,
    (_match: string, n: string) => `requests[${Number(n) + first}]`,
  );
  return { ...problem, path };
}

export function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
