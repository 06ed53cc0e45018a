/**
 * Time integration with located events, on odex (extrapolation of the midpoint rule).
 *
 * In: a right-hand side, a start, events as functions that rise through zero, and marks to time.
 * Out: the state at the first terminal event or at the end, samples for plots, and counts. A phase
 * must be smooth: callers restart at every shift, clutch lock or change of limit.
 */
import { Solver } from './odex-door.js';
import { findRoot } from './root.ts';

export interface OdeEvent {
  readonly name: string;
  /** Fires where this rises through zero. */
  readonly value: (t: number, y: readonly number[]) => number;
  /** Ends the phase (default) or is only timed. */
  readonly passing?: true;
}

export interface OdePhase {
  readonly derivative: (t: number, y: readonly number[]) => number[];
  readonly start: number;
  readonly state: readonly number[];
  readonly end: number;
  readonly events: readonly OdeEvent[];
  readonly tolerance: number;
  /** Longest step; events that rise and fall again within one step would be missed. */
  readonly maxStep: number;
  /** Times at which samples are wanted lie this far apart. */
  readonly sampleEvery: number;
}

export interface OdeOutcome {
  readonly status: 'event' | 'end' | 'failed';
  /** Name of the terminal event that fired. */
  readonly event?: string;
  readonly t: number;
  readonly y: readonly number[];
  readonly passed: readonly { readonly name: string; readonly t: number; readonly y: readonly number[] }[];
  readonly samples: readonly { readonly t: number; readonly y: readonly number[] }[];
  readonly evaluations: number;
}

const MAX_STEPS = 4000;
const EVENT_TOLERANCE = 1e-13;

/** Integrates one smooth phase. Non-finite derivatives end it with status 'failed', never with NaN. */
export function integratePhase(phase: OdePhase): OdeOutcome {
  const { events, sampleEvery } = phase;
  const dimension = phase.state.length;
  const passed: { name: string; t: number; y: number[] }[] = [];
  const samples: { t: number; y: number[] }[] = [];
  const before = Float64Array.from(events, (e) => e.value(phase.start, phase.state));
  const after = new Float64Array(events.length);
  let stop: { name: string; t: number; from: number; y0: number[] } | undefined;
  let last: number[] = [...phase.state];
  let lastTime = phase.start;
  let nextSample = phase.start + sampleEvery;
  let evaluations = 0;

  const guarded = (t: number, y: readonly number[]): number[] => {
    evaluations++;
    const dy = phase.derivative(t, y);
    if (!dy.every(Number.isFinite)) throw new NonFiniteError();
    return dy;
  };

  const observe = (
    count: number,
    tOld: number,
    t: number,
    y: readonly number[],
    dense: (i: number, t: number) => number,
  ): boolean | undefined => {
    if (count === 1) return undefined;
    const stateAt = (time: number): number[] => {
      const state: number[] = [];
      for (let i = 0; i < dimension; i++) state.push(dense(i, time));
      return state;
    };
    const found: { event: OdeEvent; t: number }[] = [];
    for (let i = 0; i < events.length; i++) {
      const event = events[i]!;
      const value = event.value(t, y);
      if (before[i]! < 0 && value >= 0) {
        const along = (time: number) =>
          event.value(time, time === tOld ? last : time === t ? y : stateAt(time));
        found.push({ event, t: t > tOld ? findRoot(along, tOld, t, EVENT_TOLERANCE) : t });
      }
      after[i] = value;
    }
    if (found.length > 1) found.sort((p, q) => p.t - q.t);
    const terminal = found.find((x) => x.event.passing !== true);
    const until = terminal?.t ?? t;
    for (const { event, t: time } of found) {
      if (event.passing === true && time <= until)
        passed.push({ name: event.name, t: time, y: stateAt(time) });
    }
    for (; nextSample < until; nextSample += sampleEvery)
      samples.push({ t: nextSample, y: stateAt(nextSample) });
    if (terminal !== undefined) {
      stop = { name: terminal.event.name, t: terminal.t, from: tOld, y0: last };
      return false;
    }
    before.set(after);
    last = [...y];
    lastTime = t;
    return undefined;
  };

  try {
    const solver = makeSolver(dimension, phase);
    solver.denseOutput = true;
    const result = solver.solve(guarded, phase.start, [...phase.state], phase.end, observe);
    if (stop !== undefined) {
      const y =
        stop.t > stop.from
          ? makeSolver(dimension, phase).solve(guarded, stop.from, stop.y0, stop.t).y
          : stop.y0;
      return { status: 'event', event: stop.name, t: stop.t, y, passed, samples, evaluations };
    }
    const converged = result.outcome === 0 && result.y.every(Number.isFinite);
    return {
      status: converged ? 'end' : 'failed',
      t: converged ? phase.end : lastTime,
      y: converged ? result.y : last,
      passed,
      samples,
      evaluations,
    };
  } catch (error) {
    if (!(error instanceof NonFiniteError)) throw error;
    return { status: 'failed', t: lastTime, y: last, passed, samples, evaluations };
  }
}

class NonFiniteError extends Error {}

function makeSolver(dimension: number, phase: OdePhase): Solver {
  const solver = new Solver(dimension);
  solver.absoluteTolerance = phase.tolerance;
  solver.relativeTolerance = phase.tolerance;
  solver.maxSteps = MAX_STEPS;
  solver.maxStepSize = phase.maxStep;
  solver.initialStepSize = Math.min(1e-3, phase.maxStep);
  return solver;
}
