/**
 * How the lap time answers small changes of curvature and length along the line, from one driven lap.
 *
 * In: a lap problem and its solution. Out: dT/d(curvature) and dT/d(step) by station. With y = v^2 and T = sum of
 * 2 h/(v_i + v_j), each station's y hangs on one neighbour only: on the one before while driving, on the one after while
 * braking, on neither where the bend holds it. The effect lambda_i = dT/dy_i is carried along these chains (the adjoint of
 * the passes); where driving meets braking a chain ends, because the meeting point shifts without changing the time.
 * Grade and bank answer too, but far less: they are left to the true lap time, which every step is tried on.
 */
import { brakeHard } from '../../physics/grip/brake.ts';
import { driveHard } from '../../physics/grip/drive.ts';
import { CONSTRAINT } from '../../physics/grip/grip-inputs.ts';
import { holdWithoutEngine } from '../../physics/grip/hold.ts';
import type { Instant } from '../../physics/grip/instant.ts';
import { GROUND_STRIDE, placeOn } from '../../physics/grip/place.ts';
import { overrunIn, thrustIn } from '../lap/gear-table.ts';
import type { LapProblem } from '../lap/lap-problem.ts';
import type { LapSolution } from '../lap-solver.ts';
import { LIMIT } from '../limit.ts';

export interface LapSlopes {
  /** dT/d(kappa), s m; kappa as the track stores it */
  readonly curvature: Float64Array;
  /** dT/d(step to the next station), s/m */
  readonly step: Float64Array;
}

const STATE = { drive: 0, brake: 1, held: 2, free: 3 } as const;
/** Relative change of v^2 and of curvature that slopes are taken over: far above the searches' 1e-8. */
const SHARE = 1e-4;
/** Curvature below which a change is absolute, 1/m */
const LEAST_CURVATURE = 1e-3;

/**
 * `nearly`: a station where v^2 is within this share of what the bend allows takes a part of the effect that passes, as it
 * is about to hold the kart itself. 0 gives the slopes at this very line; more, a slope that holds over a step.
 */
export function lapSlopes(lap: LapProblem, solution: LapSolution, nearly = 0): LapSlopes {
  const { track, limits } = lap;
  const n = track.count;
  const { closed, step } = track;
  const y = solution.squared;
  const curvature = new Float64Array(n);
  const perStep = new Float64Array(n);
  const lambda = new Float64Array(n);
  const state = new Uint8Array(n);
  const v = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    v[i] = Math.sqrt(Math.max(y[i]!, 1e-6));
    if (y[i]! >= limits.most[i]! * (1 - 1e-9)) state[i] = STATE.held;
    else if (solution.braking[i] === 1) state[i] = STATE.brake;
    else state[i] = STATE.drive;
  }
  const next = (i: number) => (i + 1 < n ? i + 1 : 0);
  const last = closed ? n : n - 1;
  for (let i = 0; i < last; i++) {
    const h = step[i]!;
    if (h === 0) continue;
    const j = next(i);
    const sum = v[i]! + v[j]!;
    perStep[i] = 2 / sum;
    const slope = -h / (sum * sum);
    lambda[i] = lambda[i]! + slope / v[i]!;
    lambda[j] = lambda[j]! + slope / v[j]!;
  }
  const answers = new Answers(lap, solution);
  /** What station i takes of the effect on its v^2, and leaves of it to its neighbours. */
  const takePart = (i: number): void => {
    if (!(nearly > 0)) return;
    const short = 1 - y[i]! / limits.most[i]!;
    if (short >= nearly) return;
    const part = (1 - short / nearly) ** 2;
    curvature[i] = curvature[i]! + part * lambda[i]! * answers.heldBy(i);
    lambda[i] = lambda[i]! * (1 - part);
  };
  // Braking: the speed before hangs on the speed after, so the effect travels forward.
  const brakeFrom = Math.max(
    0,
    state.findIndex((s) => s !== STATE.brake),
  );
  for (let count = 0; count < n; count++) {
    const i = (brakeFrom + count) % n;
    if (state[i] !== STATE.brake || (!closed && i === n - 1)) continue;
    const j = next(i);
    if (j === brakeFrom && count > 0) continue;
    takePart(i);
    const h = step[i]!;
    answers.brake(i);
    // y_i = y_j + 2 h d, taken at the far end where the deceleration falls steeply with speed.
    const stay = 1 / Math.max(1 - 2 * h * answers.inSquared, 1e-3);
    const carried = lambda[i]! * Math.min(stay, MOST_CARRIED);
    curvature[i] = curvature[i]! + carried * 2 * h * answers.inCurvature;
    perStep[i] = perStep[i]! + carried * 2 * answers.value;
    lambda[j] = lambda[j]! + carried;
  }
  // Driving: the effect travels backward.
  const driveFrom = Math.max(
    0,
    state.findLastIndex((s) => s !== STATE.drive),
  );
  for (let count = 0; count < n; count++) {
    const j = (driveFrom - count + 2 * n) % n;
    if (state[j] !== STATE.drive || (!closed && j === 0)) continue;
    takePart(j);
    const i = j > 0 ? j - 1 : n - 1;
    const h = step[i]!;
    answers.drive(j);
    if (answers.pinned) continue;
    const stay = 1 / Math.max(1 - 2 * h * answers.inSquared, 1e-3);
    const carried = lambda[j]! * Math.min(stay, MOST_CARRIED);
    curvature[j] = curvature[j]! + carried * 2 * h * answers.inCurvature;
    perStep[i] = perStep[i]! + carried * 2 * answers.value;
    lambda[i] = lambda[i]! + carried;
  }
  for (let i = 0; i < n; i++) {
    if (state[i] !== STATE.held) continue;
    curvature[i] = curvature[i]! + lambda[i]! * answers.heldBy(i);
  }
  return { curvature, step: perStep };
}

/** An effect may grow this much over one step at most (downhill, thrust rising with speed). */
const MOST_CARRIED = 1.5;

/** Accelerations about the driven lap and how they answer v^2 and curvature. */
class Answers {
  value = 0;
  inSquared = 0;
  inCurvature = 0;
  /** The limiter holds the speed, whatever lies before */
  pinned = false;
  readonly #lap: LapProblem;
  readonly #solution: LapSolution;
  /** Braking force last found: the next lies close by */
  #braked: number;
  readonly #ground = new Float64Array(GROUND_STRIDE);

  constructor(lap: LapProblem, solution: LapSolution) {
    this.#lap = lap;
    this.#solution = solution;
    const { mass, gravity } = lap.kart.envelope;
    this.#braked = -0.5 * mass * gravity;
  }

  brake(i: number): void {
    const { gears, track, instants } = this.#lap;
    const g = instants[track.surface[i]!]!;
    const gear = this.#solution.clutchDipped[i] === 1 ? -1 : this.#solution.gear[i]!;
    this.#probe(i, g, (squared) => {
      const { s } = g;
      const engine = overrunIn(gears, gear, Math.sqrt(squared));
      s.engine = engine;
      s.engineMass = engine > 0 ? gears.engineMass[gear]! : 0;
      s.guess = this.#braked;
      s.likely = CONSTRAINT.none;
      brakeHard(g);
      this.#braked = s.x;
      return -s.acceleration;
    });
  }

  drive(i: number): void {
    const { gears, track, instants } = this.#lap;
    const limit = this.#solution.limit[i]!;
    this.pinned = limit === LIMIT.revLimiter || limit === LIMIT.postedSpeed;
    if (this.pinned) return;
    if (limit === LIMIT.shift || limit === LIMIT.clutch) {
      this.value = this.#solution.acceleration[i]!;
      this.inSquared = 0;
      this.inCurvature = 0;
      return;
    }
    const g = instants[track.surface[i]!]!;
    const gear = this.#solution.gear[i]!;
    this.#probe(i, g, (squared) => {
      const { s } = g;
      s.force = thrustIn(gears, gear, Math.sqrt(squared));
      s.inertia = gears.driveMass[gear]!;
      s.guess = Number.POSITIVE_INFINITY;
      driveHard(g);
      return s.acceleration;
    });
  }

  /** dy/d(kappa) of the speed a bend holds; 0 where something else sets it. */
  heldBy(i: number): number {
    const { track, instants, limits } = this.#lap;
    const limit = limits.limit[i]!;
    if (limit === LIMIT.revLimiter || limit === LIMIT.postedSpeed) return 0;
    const g = instants[track.surface[i]!]!;
    const hold = () => {
      holdWithoutEngine(g);
      return g.s.excess;
    };
    this.#probe(i, g, hold);
    return this.inSquared === 0 ? 0 : -this.inCurvature / this.inSquared;
  }

  /** Value and slopes of a function of v^2 and ground; both are changed towards less side force. */
  #probe(i: number, g: Instant, ask: (squared: number) => number): void {
    const { track } = this.#lap;
    const squared = Math.max(this.#solution.squared[i]!, 1e-4) * (1 - SHARE);
    const kappa = track.curvature[i]!;
    const at = (y: number, change: number) => {
      this.#bend(i, change);
      g.s.squared = y;
      g.s.speed = Math.sqrt(y);
      placeOn(g, this.#ground, 0);
      return ask(y);
    };
    const dy = SHARE * squared;
    // Straight on, the bank says which way there is less side force; level, neither way has: nothing changes.
    const side = Math.sign(kappa) || Math.sign(track.bank[i]!);
    const dk = -side * SHARE * Math.max(Math.abs(kappa), LEAST_CURVATURE);
    this.value = at(squared, 0);
    this.inSquared = (this.value - at(squared - dy, 0)) / dy;
    this.inCurvature = side === 0 ? 0 : (at(squared, dk) - this.value) / dk;
  }

  /** The ground of a station with its curvature changed. */
  #bend(i: number, change: number): void {
    const { ground, bank } = this.#lap.track;
    for (let c = 0; c < GROUND_STRIDE; c++) this.#ground[c] = ground[GROUND_STRIDE * i + c]!;
    const angle = bank[i]!;
    this.#ground[0] = this.#ground[0]! + change * Math.cos(angle);
    this.#ground[2] = this.#ground[2]! - change * Math.sin(angle);
  }
}
