/**
 * A stand-in for the solver, with behaviours no real request has; types of the real one by assertion, since the
 * workers hand projects, requests and answers on without looking inside.
 */
import type { Answer, Project, Request } from '../../sim/index.ts';
import type { Batch, Revision } from '../../workers/protocol.ts';
import type { Perform } from '../../workers/solver.ts';

export interface FakeRequest {
  readonly value: number;
  /** ms of work without a break. */
  readonly busy?: number;
  readonly act?: 'throw' | 'exit' | 'crash' | 'hang' | 'share' | 'unsendable';
}

export interface FakeAnswer {
  readonly result: {
    readonly column: Float64Array;
    readonly value: number;
    /** Bytes still in the worker of the array sent before this one: 0 once it was handed over. */
    readonly bytesKept: number;
    /** How many different project objects this worker has been given. */
    readonly projects: number;
    readonly unsendable?: () => void;
  };
}

let before = new Float64Array(1);
let projects = 0;
let lastProject: unknown;
const shared = new Float64Array(4);

export const fakePerform = ((project: unknown, request: unknown): unknown => {
  const { factor } = project as { factor: number };
  const { value, busy = 0, act } = request as FakeRequest;
  if (project !== lastProject) projects += 1;
  lastProject = project;
  const end = performance.now() + busy;
  while (performance.now() < end);
  if (act === 'throw') throw new Error(`no answer to ${value}`);
  if (act === 'exit') process.exit(3);
  if (act === 'crash') {
    queueMicrotask(() => {
      throw new Error('crashed');
    });
  }
  while (act === 'hang');
  const column =
    act === 'share' ? shared : Float64Array.from({ length: 4 }, (_, i) => Math.sin(value * factor + i));
  const bytesKept = before.byteLength;
  before = column;
  const unsendable = act === 'unsendable' ? { unsendable: () => {} } : {};
  return {
    status: 'done',
    problems: [],
    result: { column, value, bytesKept, projects, ...unsendable },
    diagnostics: {},
  };
}) as Perform;

export function fakeBatch(requests: readonly FakeRequest[], revision: Revision = 1, factor = 0.37): Batch {
  return {
    project: { factor } as unknown as Project,
    revision,
    requests: requests as unknown as readonly Request[],
  };
}

/** `count` requests with the values 0, 1, ..., each as busy as said. */
export function fakeRequests(count: number, busy = 0): readonly FakeRequest[] {
  return Array.from({ length: count }, (_, value) => ({ value, busy }));
}

export function fakeResult(answer: Answer | undefined): FakeAnswer['result'] {
  if (answer === undefined) throw new Error('there is no answer here');
  return (answer as unknown as FakeAnswer).result;
}

export function valuesOf(answers: readonly (Answer | undefined)[]): readonly (number | undefined)[] {
  return answers.map((answer) => (answer === undefined ? undefined : fakeResult(answer).value));
}
