/**
 * How each station's speed hangs on the ones beside it and on its own curvature, about one driven lap.
 *
 * In: a lap problem and its solution. Out, by station, with y = v^2: the greatest curvature that this speed allows and how
 * it falls with speed; what driving from the station before and braking for the station after allow, how that answers the
 * neighbour's y, curvature and length, and how much more than driven it is. Together they say what any small change of the
 * line does to every speed, whichever of them hold the kart now. Grade and bank answer too, but far less: they are left to
 * the true lap time, which every step is tried on.
 */
import { brakeHard } from '../../physics/grip/brake.ts';
import { driveHard } from '../../physics/grip/drive.ts';
import { CONSTRAINT } from '../../physics/grip/grip-inputs.ts';
import { passWithoutEngine } from '../../physics/grip/hold.ts';
import type { Instant } from '../../physics/grip/instant.ts';
import { GROUND_STRIDE, placeOn } from '../../physics/grip/place.ts';
import { overrunIn, thrustIn } from '../lap/gear-table.ts';
import type { LapProblem } from '../lap/lap-problem.ts';
import type { LapSolution } from '../lap-solver.ts';
import { LIMIT } from '../limit.ts';

/** One way in which the neighbour bounds a station's y: y <= stay (neighbour's y) + ... */
export interface ChainAnswers {
  /** dy/d(neighbour's y) */
  readonly stay: Float64Array;
  /** dy/d(kappa) of this station, m3/s2; kappa as the track stores it */
  readonly curvature: Float64Array;
  /** dy/d(length of the step between), m/s2 */
  readonly step: Float64Array;
  /** y allowed less y driven, m2/s2; 0 where this holds the kart */
  readonly room: Float64Array;
}

export interface SpeedAnswers {
  /** Greatest |kappa| at the speed driven, 1/m; Infinity where it is not known */
  readonly most: Float64Array;
  /** -(dy/y)/(d kappa/kappa) along that limit: 1 where the side force does not change with speed */
  readonly power: Float64Array;
  /** Greatest y whatever the curvature (limiter, posted speed), m2/s2; Infinity where that is out of reach */
  readonly cap: Float64Array;
  /** Of a driven station below the next upshift, the y at which that would come, m2/s2; else Infinity */
  readonly upshift: Float64Array;
  /** 1 where the kart comes onto the braking curve in a higher gear than it came in: there the gear goes up at no cost */
  readonly takenUp: Uint8Array;
  /** From the station before to this one */
  readonly drive: ChainAnswers;
  /** From the station after to this one */
  readonly brake: ChainAnswers;
}

/** Relative change of v^2 and of curvature that slopes are taken over: far above the searches' 1e-8. */
const SHARE = 1e-4;
/** Curvature below which a change is absolute, 1/m */
const LEAST_CURVATURE = 1e-3;
/** An effect may grow this much over one step at most (downhill, thrust rising with speed). */
const MOST_CARRIED = 1.5;
/** A bend that would hold more than this much of the y driven is far from holding the kart: its slope is not asked. */
const FAR_FROM_HELD = 2;
const POWERS = [0.3, 3] as const;

export function speedAnswers(lap: LapProblem, solution: LapSolution, ring: boolean): SpeedAnswers {
  const { track, limits } = lap;
  const n = track.count;
  const { step } = track;
  const y = solution.squared;
  const column = () => new Float64Array(n);
  const chain = () => ({ stay: column(), curvature: column(), step: column(), room: column() });
  const found = {
    most: column(),
    power: column().fill(1),
    cap: column(),
    upshift: column().fill(Number.POSITIVE_INFINITY),
    takenUp: new Uint8Array(n),
    drive: chain(),
    brake: chain(),
  };
  const answers = new Answers(lap, solution);
  // Where no bend is in reach, as much side force as the bends have on average.
  let side = 0;
  let sides = 0;
  const capped = (i: number) => limits.limit[i] === LIMIT.revLimiter || limits.limit[i] === LIMIT.postedSpeed;
  for (let i = 0; i < n; i++)
    if (!capped(i)) {
      side += limits.most[i]! * Math.abs(track.curvature[i]!);
      sides++;
    }
  const usual = sides > 0 ? side / sides : Number.POSITIVE_INFINITY;
  for (let i = 0; i < n; i++) {
    const here = Math.max(y[i]!, LEAST_SQUARED);
    const most = limits.most[i]!;
    const kappa = Math.abs(track.curvature[i]!);
    const held = here >= most * (1 - 1e-9);
    found.cap[i] = capped(i) ? most : Number.POSITIVE_INFINITY;
    found.most[i] = usual / here;
    if (!capped(i)) {
      if (most < FAR_FROM_HELD * here) {
        const power = (-answers.heldBy(i) * track.curvature[i]!) / most;
        if (power > 0) found.power[i] = Math.min(Math.max(power, POWERS[0]), POWERS[1]);
      }
      found.most[i] = held ? kappa : kappa * (most / here) ** (1 / found.power[i]!);
    }
    const before = i > 0 ? i - 1 : n - 1;
    const after = i + 1 < n ? i + 1 : 0;
    const driven = !held && solution.braking[i] !== 1;
    const braked = !held && solution.braking[i] === 1;
    const gear = solution.gear[i]!;
    const edge = gear < lap.gears.top ? lap.gears.upSquared[gear]! : Number.POSITIVE_INFINITY;
    if (!braked && here < edge && solution.limit[i] !== LIMIT.shift) found.upshift[i] = edge;
    if (
      braked &&
      solution.braking[i > 0 ? i - 1 : n - 1] === 0 &&
      gear > solution.gear[i > 0 ? i - 1 : n - 1]!
    )
      found.takenUp[i] = 1;
    const hBefore = ring || i > 0 ? step[before]! : 0;
    const hAfter = ring || i + 1 < n ? step[i]! : 0;
    if (hBefore > 0) {
      answers.drive(i, driven);
      chained(found.drive, i, answers, hBefore, driven, y[before]! + 2 * hBefore * answers.value - y[i]!);
      if (driven && answers.pinned) {
        // At the limiter, whatever lies before.
        found.drive.room[i] = here;
        found.cap[i] = here;
      }
    } else found.drive.stay[i] = 1;
    if (hAfter > 0) {
      answers.brake(i, braked);
      chained(found.brake, i, answers, hAfter, braked, y[after]! + 2 * hAfter * answers.value - y[i]!);
    } else found.brake.stay[i] = 1;
  }
  // Whatever the line, the start is as it is.
  if (!ring) found.cap[0] = Math.max(y[0]!, LEAST_SQUARED);
  return found;
}

/** m2/s2 */
const LEAST_SQUARED = 1e-4;

/** y = neighbour's y + 2 h a, taken at the far end, where a deceleration falls steeply with speed. */
function chained(
  out: SpeedAnswers['drive'],
  i: number,
  answers: Answers,
  h: number,
  holds: boolean,
  room: number,
): void {
  const stay = holds ? 1 / Math.max(1 - 2 * h * answers.inSquared, 1 / MOST_CARRIED) : 1;
  out.stay[i] = stay;
  out.curvature[i] = holds ? stay * 2 * h * answers.inCurvature : 0;
  out.step[i] = stay * 2 * answers.value;
  out.room[i] = holds ? 0 : Math.max(0, room);
}

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

  brake(i: number, slopes: boolean): void {
    const { gears, track, instants } = this.#lap;
    const g = instants[track.surface[i]!]!;
    const gear = this.#solution.clutchDipped[i] === 1 ? -1 : this.#solution.gear[i]!;
    this.#probe(i, g, slopes, (squared) => {
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

  drive(i: number, slopes: boolean): void {
    const { gears, track, instants } = this.#lap;
    const limit = this.#solution.limit[i]!;
    this.pinned = limit === LIMIT.revLimiter || limit === LIMIT.postedSpeed;
    if (this.pinned) {
      this.value = 0;
      this.inSquared = 0;
      this.inCurvature = 0;
      return;
    }
    if (limit === LIMIT.shift || limit === LIMIT.clutch) {
      this.value = this.#solution.acceleration[i]!;
      this.inSquared = 0;
      this.inCurvature = 0;
      return;
    }
    const g = instants[track.surface[i]!]!;
    const gear = this.#solution.gear[i]!;
    this.#probe(i, g, slopes, (squared) => {
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
      passWithoutEngine(g);
      return g.s.excess;
    };
    this.#probe(i, g, true, hold);
    return this.inSquared === 0 ? 0 : -this.inCurvature / this.inSquared;
  }

  /** Value and slopes of a function of v^2 and ground; both are changed towards less side force. */
  #probe(i: number, g: Instant, slopes: boolean, ask: (squared: number) => number): void {
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
    if (!slopes) {
      this.inSquared = 0;
      this.inCurvature = 0;
      return;
    }
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
