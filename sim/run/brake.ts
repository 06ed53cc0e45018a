/**
 * A deceleration on a straight: coasting, engine braking, brakes, or brakes with the engine.
 *
 * In: compiled kart, surface, how hard and with what. Out: columns over time, distance, time, mean fully
 * developed deceleration, adhesion per axle, which axle locks first, the engine's share. Integrated by
 * odex in smooth phases; a wheel locking, a gear change or the clutch opening ends a phase.
 */
import type { CompiledKart, SurfacePair } from '../compile/kart.ts';
import type { Problem } from '../project/problem.ts';
import { problem, warning } from '../project/problem.ts';
import type { BrakeMode, BrakeOptions, EngineMode } from './braking/brake-options.ts';
import { type BrakeRequest, brakeRequest } from './braking/brake-request.ts';
import { type BrakingState, contactForces } from './braking/contact-forces.ts';
import { type StopColumns, type StopRow, stopColumns } from './braking/stop-log.ts';
import { LONGEST, MARKS, STOPPED, type Stop, slowDown } from './braking/stop-run.ts';
import type { Outcome } from './outcome.ts';

export interface BrakeResult {
  readonly kart: string;
  readonly surface: string;
  readonly brakes: BrakeMode;
  readonly engine: EngineMode;
  readonly frontShare: number;
  readonly time: number;
  readonly distance: number;
  /** Of `distance`, the part before the brakes began to act */
  readonly reactionDistance: number;
  readonly endSpeed: number;
  /** (vb^2 - ve^2)/(2 (se - sb)) between 0.8 and 0.1 of the first speed; null where the run does not span them */
  readonly meanFullyDevelopedDeceleration: number | null;
  readonly meanDeceleration: number;
  readonly firstToLock: 'front' | 'rear' | 'both' | 'none';
  readonly frontLockedFor: number;
  readonly rearLockedFor: number;
  /** Engine's share of the work of brakes and engine */
  readonly engineShare: number;
  /** Front share of all braking at the ground, the engine's part included, at the start of full braking */
  readonly frontShareWithEngine: number;
  readonly useFront: number;
  readonly useRear: number;
  /** Force on the pedal at the start of full braking, N; null without hydraulics */
  readonly pedalForce: number | null;
  readonly gearNames: readonly string[];
  readonly columns: StopColumns;
}

export function runBrake(
  kart: CompiledKart,
  surface: SurfacePair,
  options: BrakeOptions,
): Outcome<BrakeResult> {
  const asked = brakeRequest(kart, options);
  if ('problem' in asked) return { status: 'problems', diagnostics: {}, problems: [asked.problem] };
  const { request } = asked;
  const { mode } = request;
  const share = kart.brakes.frontShare;
  const state: BrakingState = {
    gear: request.gear,
    clutchHeldIn: false,
    frontLocked: mode === 'locked' && share > 0,
    rearLocked: mode === 'locked' && share < 1,
    build: undefined,
  };
  const forces = contactForces({ kart, surface, mode, held: request.held, grade: request.grade }, state);
  const stop = slowDown(kart, request, state, forces, options);
  const { rows, from } = stop;
  const problems: Problem[] = [];
  if (stop.outcome === 'runs on') problems.push(doesNotStop(kart, request, stop));
  if (stop.outcome === 'settles') problems.push(settles(kart, stop));
  if (stop.outcome === 'failed')
    problems.push(problem('numbers', `karts.${kart.id}`, 'the integration met a number that is not finite'));
  const fullFrom = options.withDelays === true ? kart.driver.reaction + kart.brakes.buildUp : 0;
  const start = rows.find((r) => state.build === undefined || r.t >= fullFrom) ?? rows[0]!;
  const firstToLock = lockOrder(mode, start, stop);
  if (firstToLock === 'rear' && mode !== 'none') {
    problems.push(
      warning(
        'rear-locks-first',
        `karts.${kart.id}`,
        'the rear axle reaches its grip first: the kart loses its stability before the front locks',
        { remedy: 'move the balance forward for this ground, or brake with the clutch in' },
      ),
    );
  }
  if (forces.pitchesOver()) {
    problems.push(
      warning(
        'rear-lifts',
        `karts.${kart.id}`,
        'the rear wheels lift: braking harder would pitch the kart over its front wheels',
        { remedy: 'lower the centre of gravity or move it back; brake less hard' },
      ),
    );
  }
  const { engineWork, brakeWork, s, v } = stop;
  const { fromSpeed } = request;
  const total = start.ground.front + start.ground.rear;
  const gain = kart.brakes.gain;
  return {
    status: stop.outcome === 'failed' ? 'failed' : stop.outcome === 'stopped' ? 'done' : 'partial',
    problems,
    diagnostics: { evaluations: stop.evaluations, phases: rows.length },
    result: {
      kart: kart.name,
      surface: surface.id,
      brakes: mode,
      engine: request.engineMode,
      frontShare: share,
      time: stop.t,
      distance: s,
      reactionDistance: from,
      endSpeed: v <= STOPPED * 1.01 ? 0 : v,
      meanFullyDevelopedDeceleration: meanFullyDeveloped(fromSpeed, stop.passed),
      meanDeceleration: s > from ? (fromSpeed ** 2 - v ** 2) / (2 * (s - from)) : 0,
      firstToLock,
      frontLockedFor: stop.frontLockedFor,
      rearLockedFor: stop.rearLockedFor,
      engineShare: engineWork + brakeWork > 0 ? engineWork / (engineWork + brakeWork) : 0,
      frontShareWithEngine: total < 0 ? Math.max(0, start.ground.front / total) : 0,
      useFront: start.use[0],
      useRear: start.use[1],
      pedalForce:
        gain !== undefined && gain > 0 && mode !== 'locked' && mode !== 'ideal'
          ? start.ground.brake / gain
          : null,
      gearNames: kart.drivetrain.gearNames,
      columns: stopColumns(rows, kart.drivetrain),
    },
  };
}

/** (vb^2 - ve^2)/(2 (se - sb)); null where the run does not span the marks. */
function meanFullyDeveloped(fromSpeed: number, passed: ReadonlyMap<string, number>): number | null {
  const [[begin, high], [end, low]] = MARKS;
  const sb = passed.get(begin);
  const se = passed.get(end);
  if (sb === undefined || se === undefined || !(se > sb)) return null;
  return ((high * fromSpeed) ** 2 - (low * fromSpeed) ** 2) / (2 * (se - sb));
}

function lockOrder(mode: BrakeMode, start: StopRow, stop: Stop): BrakeResult['firstToLock'] {
  if (mode === 'ideal' || mode === 'locked') return 'both';
  if (mode === 'threshold') {
    const [f, r] = start.use;
    if (Math.abs(f - r) < 1e-6) return 'both';
    return f > r ? 'front' : 'rear';
  }
  const { frontLockedFor, rearLockedFor } = stop;
  if (frontLockedFor > 0 && rearLockedFor > 0) return frontLockedFor >= rearLockedFor ? 'front' : 'rear';
  return frontLockedFor > 0 ? 'front' : rearLockedFor > 0 ? 'rear' : 'none';
}

function settles(kart: CompiledKart, stop: Stop): Problem {
  return problem(
    'settles',
    `karts.${kart.id}`,
    'left in gear the kart rolls on down the slope near the idle speed of that gear: the engine does not stop it',
    {
      value: `${(stop.v * 3.6).toFixed(1)} km/h after ${stop.s.toFixed(0)} m`,
      remedy: 'use the brakes; with the clutch in it would gain speed',
    },
  );
}

function doesNotStop(kart: CompiledKart, request: BrakeRequest, stop: Stop): Problem {
  return problem(
    'does-not-stop',
    `karts.${kart.id}`,
    `the kart does not slow to ${(request.toSpeed * 3.6).toFixed(0)} km/h within ${LONGEST} s`,
    {
      value: `${(stop.v * 3.6).toFixed(1)} km/h after ${stop.s.toFixed(0)} m`,
      remedy: 'look at the grip, the brakes and the grade',
    },
  );
}
