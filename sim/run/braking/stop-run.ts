/**
 * A kart slowing down, integrated by odex from one event to the next.
 *
 * In: what was asked, the contact forces, the state they read. Out: rows, distances at the marks, work and locking, and
 * how it ended. A wheel locking, a gear change, the clutch opening or the pedal being down ends a phase.
 */
import type { CompiledKart } from '../../compile/kart.ts';
import type { OdeEvent } from '../../numerics/ode.ts';
import { integratePhase } from '../../numerics/ode.ts';
import type { BrakeOptions } from './brake-options.ts';
import type { BrakeRequest } from './brake-request.ts';
import { type BrakingState, type ContactForces, releaseRear, settleLocks } from './contact-forces.ts';
import { type StopRow, stopRow, workOf } from './stop-log.ts';

const DEFAULT_TOLERANCE = 1e-10;
const MAX_PHASES = 100;
/** A run that needs more work than this is given up: a hundred times an ordinary stop. */
const MAX_EVALUATIONS = 100_000;
export const LONGEST = 600;
const SAMPLE_EVERY = 0.05;
/** A downshift is made at this share of the lower gear's limiter speed. */
const DOWNSHIFT_AT = 0.97;
/** Standing still, for the integration: the rest is added in closed form, m/s. */
export const STOPPED = 1e-7;
/** Shares of the first speed between which the mean fully developed deceleration is taken. */
export const MARKS = [
  ['b', 0.8],
  ['e', 0.1],
] as const;

/** A stop as driven. */
export interface Stop {
  /** settles: the engine in gear holds the kart near its idle speed on a descent that would carry it on without */
  readonly outcome: 'stopped' | 'runs on' | 'settles' | 'failed';
  readonly rows: readonly StopRow[];
  /** Time, distance and speed at the end; distance before the brakes began to act */
  readonly t: number;
  readonly s: number;
  readonly v: number;
  readonly from: number;
  /** Distances at the marks of the mean fully developed deceleration */
  readonly passed: ReadonlyMap<string, number>;
  readonly frontLockedFor: number;
  readonly rearLockedFor: number;
  readonly engineWork: number;
  readonly brakeWork: number;
  readonly evaluations: number;
}

/** Integrates from phase to phase: a wheel locks, the engine drops to idle, a gear changes, the pedal is down. */
export function slowDown(
  kart: CompiledKart,
  request: BrakeRequest,
  state: BrakingState,
  forces: ContactForces,
  options: BrakeOptions,
): Stop {
  const { downshiftTime } = kart.drivetrain;
  const { mode, fromSpeed } = request;
  let t = 0;
  let s = 0;
  let v = fromSpeed;
  let from = 0;
  if (options.withDelays === true) {
    t = kart.driver.reaction;
    from = v * t;
    s = from;
    if (kart.brakes.buildUp > 0 && mode !== 'none') state.build = { from: t, time: kart.brakes.buildUp };
  }
  const rows: StopRow[] = [];
  const passed = new Map<string, number>();
  let clutchUntil = 0;
  let evaluations = 0;
  let frontLockedFor = 0;
  let rearLockedFor = 0;
  let engineWork = 0;
  let brakeWork = 0;
  let outcome: Stop['outcome'] = 'stopped';
  for (let phases = 0; ; phases++) {
    if (phases >= MAX_PHASES || evaluations > MAX_EVALUATIONS) {
      outcome = 'runs on';
      break;
    }
    if (mode === 'held' || mode === 'none') settleLocks(forces, state, v);
    if (mayShiftDown(kart, request, state, v)) {
      state.gear--;
      continue;
    }
    const { build } = state;
    const until = state.clutchHeldIn ? clutchUntil : build !== undefined ? build.from + build.time : LONGEST;
    const begun = t;
    rows.push(stopRow(forces, state, { t, s, v }));
    const firstRow = rows.length - 1;
    const run = integratePhase({
      derivative: (time, y) => [Math.max(0, y[1]!), forces.acceleration(time, y[1]!)],
      start: t,
      state: [s, v],
      end: Math.max(until, t + 1e-12),
      events: eventsFrom(kart, request, state, forces, { v, passed }),
      tolerance: options.tolerance ?? DEFAULT_TOLERANCE,
      maxStep: 0.5,
      sampleEvery: SAMPLE_EVERY,
    });
    evaluations += run.evaluations;
    for (const p of run.passed) passed.set(p.name, p.y[0]!);
    for (const p of run.samples) rows.push(stopRow(forces, state, { t: p.t, s: p.y[0]!, v: p.y[1]! }));
    t = run.t;
    s = run.y[0]!;
    v = Math.max(0, run.y[1]!);
    rows.push(stopRow(forces, state, { t, s, v }));
    const work = workOf(rows, firstRow);
    engineWork += work.engine;
    brakeWork += work.brakes;
    if (state.frontLocked) frontLockedFor += t - begun;
    if (state.rearLocked) rearLockedFor += t - begun;
    if (run.status === 'failed') {
      outcome = 'failed';
      break;
    }
    if (run.status === 'end') {
      if (state.clutchHeldIn) {
        state.clutchHeldIn = false;
        state.gear--;
      } else if (state.build !== undefined) {
        state.build = undefined;
      } else {
        outcome = 'runs on';
        break;
      }
      continue;
    }
    if (run.event === 'end') break;
    if (run.event === 'idle') {
      state.gear = -1;
      if (mode === 'held') releaseRear(forces, state, v);
      else if (mode === 'none') state.rearLocked = false;
      if (forces.acceleration(t, v) > 0) {
        outcome = 'settles';
        break;
      }
    } else if (run.event === 'down') {
      if (downshiftTime > 0) {
        state.clutchHeldIn = true;
        clutchUntil = t + downshiftTime;
      } else state.gear--;
    }
    // 'lock' is settled at the start of the next phase.
  }
  return {
    outcome,
    rows,
    t,
    s,
    v,
    from,
    passed,
    frontLockedFor,
    rearLockedFor,
    engineWork,
    brakeWork,
    evaluations,
  };
}

/** What ends a phase, or is marked on the way. */
function eventsFrom(
  kart: CompiledKart,
  request: BrakeRequest,
  state: BrakingState,
  forces: ContactForces,
  now: { v: number; passed: ReadonlyMap<string, number> },
): OdeEvent[] {
  const { mode, fromSpeed, toSpeed } = request;
  const events: OdeEvent[] = [{ name: 'end', value: (_t, y) => Math.max(toSpeed, STOPPED) - y[1]! }];
  for (const [name, share] of MARKS) {
    const speed = share * fromSpeed;
    if (!now.passed.has(name)) events.push({ name, value: (_t, y) => speed - y[1]!, passing: true });
  }
  if (state.gear >= 0 && !state.clutchHeldIn) {
    const { overrunFrom } = kart.drivetrain.gears[state.gear]!;
    if (now.v > overrunFrom) events.push({ name: 'idle', value: (_t, y) => overrunFrom - y[1]! });
    if (request.engineMode === 'shifting down' && state.gear > 0) {
      const at = downshiftAt(kart, state.gear);
      events.push({ name: 'down', value: (_t, y) => at - y[1]! });
    }
  }
  if (mode === 'held' || mode === 'none') {
    if (!state.frontLocked)
      events.push({ name: 'lock', value: (_t, y) => forces.excess('front', y[1]!) - 1e-12 });
    if (!state.rearLocked)
      events.push({ name: 'lock', value: (_t, y) => forces.excess('rear', y[1]!) - 1e-12 });
  }
  return events;
}

/** True where the gear below is already slow enough for it. */
function mayShiftDown(kart: CompiledKart, request: BrakeRequest, state: BrakingState, v: number): boolean {
  return (
    request.engineMode === 'shifting down' &&
    state.gear > 0 &&
    !state.clutchHeldIn &&
    v <= downshiftAt(kart, state.gear) * (1 + 1e-12)
  );
}

/** Road speed at which the gear below may be taken, m/s. */
function downshiftAt(kart: CompiledKart, gear: number): number {
  const below = kart.drivetrain.gears[gear - 1]!;
  return Math.min(below.limitSpeed * DOWNSHIFT_AT, below.safeSpeed);
}
