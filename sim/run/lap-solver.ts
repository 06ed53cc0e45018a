/**
 * The quickest speed along a track for a kart: passes in v^2 over the stations.
 *
 * In: a compiled kart and track. Out: v^2, gear, limit and time per step, with status and counts.
 * Knows nothing of how results are shown (lap.ts describes them).
 *
 * With y = v^2, dy/ds = 2 a(s, y):
 * 1. limit pass: y_max from lateral equilibrium of both axles while holding speed;
 * 2. backward pass: y_b, braking at the set balance with the engine's part;
 * 3. forward pass: drive, shifts, limiter, never above y_b.
 * Each pass predicts with Euler, evaluates once at the far station and corrects with the trapezoid,
 * second order in the step; steps are split where a gear, clutch or limiter changes the acceleration
 * by a jump, and the track has two stations where the ground does.
 */
import type { CompiledKart, SurfacePair } from '../compile/kart.ts';
import type { CompiledTrack } from '../compile/track.ts';
import type { Constraint, Envelope } from '../physics/grip-envelope.ts';
import { CONSTRAINT, gripEnvelope } from '../physics/grip-envelope.ts';
import { LIMIT } from './limit.ts';

export type LapStart = 'flying' | 'standing' | 'rolling';

/**
 * always: in gear with the throttle shut while braking; never: clutch in; as it pays: in gear, but the
 * clutch is dipped where the engine would take the rear tyres' grip and lengthen the braking.
 */
export type EngineBraking = 'always' | 'never' | 'as it pays';

export interface LapConditions {
  readonly start: LapStart;
  readonly engineBraking: EngineBraking;
}

export interface LapSolution {
  /** impossible: no speed holds a station; runaway: the brakes cannot slow the kart for what follows */
  readonly status: 'done' | 'stalled' | 'impossible' | 'runaway' | 'unsettled';
  /** Station at which a kart stalled or no speed was possible; -1 otherwise */
  readonly failedAt: number;
  readonly time: number;
  /** v^2, m2/s2 */
  readonly squared: Float64Array;
  /** Acceleration along the road at each station, m/s2 */
  readonly acceleration: Float64Array;
  readonly gear: Uint8Array;
  readonly limit: Uint8Array;
  /** Time of the step that starts at each station, s */
  readonly stepTime: Float64Array;
  /** Longitudinal tyre force is braking at the station */
  readonly braking: Uint8Array;
  /** Where the kart brakes there, it does so with the clutch in */
  readonly clutchDipped: Uint8Array;
  readonly firstStation: number;
  readonly shifts: number;
  /** Times round the track until the flying lap repeated itself */
  readonly rounds: number;
  /** Relative change of v^2 at the line in the last round */
  readonly residual: number;
}

const MAX_ROUNDS = 60;
const ROUND_TOLERANCE = 1e-10;
/** Without a limiter in reach, speeds above this are not looked at, m/s. */
const SPEED_CEILING = 150;
/** The limit pass stops at this excess, N: y to one part in 1e8 for the kart of the class. */
const SIDE_TOLERANCE = 3e-5;
/** A track that must be taken slower than 1 cm/s cannot be driven, m2/s2. */
const CRAWL_SQUARED = 1e-4;
/** A gear is left downwards, on the throttle, this far below its upshift speed (share). */
const DOWNSHIFT_BELOW = 0.93;

/** Everything of a kart on a track that does not change from lap to lap. */
export interface LapProblem {
  readonly kart: CompiledKart;
  readonly track: CompiledTrack;
  readonly envelopes: readonly Envelope[];
}

/** Binds a kart's grip to a track's surfaces; all of them must be known to the kart. */
export function lapProblem(
  kart: CompiledKart,
  track: CompiledTrack,
  pairs: readonly SurfacePair[],
): LapProblem {
  return { kart, track, envelopes: pairs.map((p) => gripEnvelope(kart.envelope, p.front.grip, p.rear.grip)) };
}

const PHASE = { drive: 0, shift: 1, slip: 2 } as const;

export function solveLap(problem: LapProblem, conditions: LapConditions): LapSolution {
  const { kart, track, envelopes } = problem;
  const { drivetrain, envelope } = kart;
  const { gears, torque, drag } = drivetrain;
  const mass = envelope.mass;
  const n = track.count;
  const { distance, lateralV, lateralG, normalV, normalG, sinGrade, surface, speedLimit } = track;
  const gravity = envelope.gravity;
  const ring = track.closed;
  const topGear = gears.length - 1;

  // Gear constants as flat columns.
  const perSpeed = Float64Array.from(gears, (g) => g.enginePerSpeed);
  const perTorque = Float64Array.from(gears, (g) => g.thrustPerTorque);
  const heldPower = Float64Array.from(gears, (g) => g.heldPower);
  const driveMass = Float64Array.from(gears, (g) => g.driveMass);
  const engineMass = Float64Array.from(gears, (g) => g.overrunEngineMass);
  const overPerSpeed = Float64Array.from(gears, (g) => g.overrunPerSpeed);
  const overPerTorque = Float64Array.from(gears, (g) => g.dragPerTorque);
  const overFrom = Float64Array.from(gears, (g) => g.overrunFrom);
  const overFromSquared = Float64Array.from(gears, (g) => g.overrunFrom ** 2);
  const limitSquared = Float64Array.from(gears, (g) => g.limitSpeed ** 2);
  const upSquared = Float64Array.from(gears, (g) => g.upshiftSpeed ** 2);
  const slipSquared = Float64Array.from(gears, (g) => g.slipSpeed ** 2);
  const coastMass = drivetrain.coastMass;
  const knots = torque.knots;
  const coefficients = torque.coefficients;
  const lastSegment = knots.length - 2;
  const lowKnot = knots[0]!;
  const highKnot = knots[knots.length - 1]!;
  const dragKnots = drag.knots;
  const dragCoefficients = drag.coefficients;
  const dragLast = dragKnots.length - 2;
  let segment = 0;
  let dragSegment = 0;

  function fullTorque(speed: number): number {
    const at = Math.min(Math.max(speed, lowKnot), highKnot);
    let j = segment;
    while (j > 0 && at < knots[j]!) j--;
    while (j < lastSegment && at > knots[j + 1]!) j++;
    segment = j;
    const d = at - knots[j]!;
    const c = 4 * j;
    return (
      coefficients[c]! + d * (coefficients[c + 1]! + d * (coefficients[c + 2]! + d * coefficients[c + 3]!))
    );
  }

  function thrust(k: number, v: number): number {
    if (heldPower[k]! > 0) return heldPower[k]! / v;
    return fullTorque(v * perSpeed[k]!) * perTorque[k]!;
  }

  function overrun(k: number, v: number): number {
    if (k < 0 || v < overFrom[k]!) return 0;
    const speed = v * overPerSpeed[k]!;
    const first = dragKnots[0]!;
    const last = dragKnots[dragLast + 1]!;
    const at = Math.min(Math.max(speed, first), last);
    let j = dragSegment;
    while (j > 0 && at < dragKnots[j]!) j--;
    while (j < dragLast && at > dragKnots[j + 1]!) j++;
    dragSegment = j;
    const d = at - dragKnots[j]!;
    const c = 4 * j;
    return (
      (dragCoefficients[c]! +
        d * (dragCoefficients[c + 1]! + d * (dragCoefficients[c + 2]! + d * dragCoefficients[c + 3]!))) *
      overPerTorque[k]!
    );
  }

  // Steps.
  const step = new Float64Array(n);
  for (let i = 0; i + 1 < n; i++) step[i] = distance[i + 1]! - distance[i]!;
  const next = (i: number) => (i + 1 < n ? i + 1 : 0);
  const before = (i: number) => (i > 0 ? i - 1 : n - 1);

  function placeAt(i: number, v: number): Envelope {
    const env = envelopes[surface[i]!]!;
    env.placeOn(track, i, v);
    return env;
  }

  /** Ground between stations i and j of one step; both lie on the same surface. */
  function placeBetween(i: number, j: number, part: number, v: number): Envelope {
    if (part === 0) return placeAt(i, v);
    if (part === 1) return placeAt(j, v);
    const env = envelopes[surface[i]!]!;
    const mix = (column: Float64Array) => column[i]! + part * (column[j]! - column[i]!);
    env.place(v, mix(lateralV), mix(lateralG), mix(normalV), mix(normalG), mix(sinGrade));
    return env;
  }

  // ---- 1 limit pass
  const limitTop = Math.min(gears[topGear]!.limitSpeed, SPEED_CEILING);
  const most = new Float64Array(n);
  const cornerLimit = new Uint8Array(n);
  let failedAt = -1;
  /** An excess small against the weight, N */
  const nearby = 1e-3 * mass * gravity;
  {
    let known = -1;
    let knownSlope = 0;
    /** d(y |lateralV|)/dy over the last two stations */
    let sideSlope = 0;
    for (let i = 0; i < n; i++) {
      const posted = speedLimit[i]!;
      const cap = Math.min(limitTop, posted);
      const capSquared = cap * cap;
      const slant = lateralV[i]!;
      const capLimit = posted < limitTop ? LIMIT.postedSpeed : LIMIT.revLimiter;
      // From the stations before: y times curvature changes little, and nearly linearly with y.
      let guess =
        known >= 0 && slant !== 0
          ? (most[known]! * (Math.abs(lateralV[known]!) - sideSlope)) / (Math.abs(slant) - sideSlope)
          : Number.POSITIVE_INFINITY;
      if (!(guess < capSquared)) {
        if (placeAt(i, cap).holdExcess(0, 0) <= 0) {
          most[i] = capSquared;
          cornerLimit[i] = capLimit;
          known = -1;
          continue;
        }
        guess = capSquared / 2;
        knownSlope = 0;
      } else knownSlope *= Math.abs(slant / lateralV[known]!);
      const env = envelopes[surface[i]!]!;
      // Speed at which a helping bank needs no side force; the band of possible speeds holds it.
      let low = Math.min(slant * lateralG[i]! < 0 ? (-lateralG[i]! * gravity) / slant : 0, capSquared);
      let high = capSquared;
      let lowTried = false;
      let y = guess;
      let lastY = Number.NaN;
      let lastExcess = 0;
      let excess = 0;
      let slope = knownSlope;
      for (let iteration = 0; iteration < 80; iteration++) {
        if (!(y > low && y < high)) {
          if (y <= low && !lowTried) {
            lowTried = true;
            if (placeAt(i, Math.sqrt(low)).holdExcess(0, 0) > SIDE_TOLERANCE) {
              y = 0;
              excess = 1;
              break;
            }
          }
          y = (low + high) / 2;
        }
        excess = placeAt(i, Math.sqrt(y)).holdExcess(0, 0);
        if (excess > 0) high = y;
        else low = y;
        if (Math.abs(excess) < SIDE_TOLERANCE || high - low < 1e-14 * high) break;
        if (!Number.isNaN(lastY) && y !== lastY) slope = (excess - lastExcess) / (y - lastY);
        lastY = y;
        lastExcess = excess;
        // Where the excess jumps (an inner wheel of an open axle lifts) only halving is sure.
        const halve = !(slope > 0) || (iteration >= 8 && iteration % 2 === 0);
        const step = halve ? (low + high) / 2 - y : -excess / slope;
        y += step;
        // A short step from close by with a known slope leaves an error of its square.
        if (!halve && Math.abs(step) < 1e-4 * y && Math.abs(excess) < nearby && y > low && y < high) break;
      }
      if (high - low < 1e-12 * high) y = low;
      cornerLimit[i] = limitOf(env.constraint());
      if (high >= capSquared && y >= capSquared * (1 - 1e-12)) {
        most[i] = capSquared;
        cornerLimit[i] = capLimit;
        known = -1;
        continue;
      }
      most[i] = y;
      if (known === i - 1 && Math.abs(y - most[known]!) > 1e-9 * y) {
        const slopeNow =
          (y * Math.abs(slant) - most[known]! * Math.abs(lateralV[known]!)) / (y - most[known]!);
        sideSlope = Math.abs(slopeNow) < 0.5 * Math.abs(slant) ? slopeNow : 0;
      } else sideSlope = 0;
      if (y < CRAWL_SQUARED && failedAt < 0) failedAt = i;
      known = i;
      knownSlope = slope;
    }
  }
  const gear = new Uint8Array(n);
  const limit = new Uint8Array(n);
  const stepTime = new Float64Array(n);
  const acceleration = new Float64Array(n);
  const squared = new Float64Array(n);
  const braking = new Uint8Array(n);
  const clutchDipped = new Uint8Array(n);
  const result = (
    status: LapSolution['status'],
    failed: number,
    first: number,
    rounds: number,
    residual: number,
    shifts: number,
  ): LapSolution => {
    let time = 0;
    for (let i = 0; i < n; i++) time += stepTime[i]!;
    return {
      status,
      failedAt: failed,
      time,
      squared,
      acceleration,
      gear,
      limit,
      stepTime,
      braking,
      clutchDipped,
      firstStation: first,
      shifts,
      rounds,
      residual,
    };
  };
  if (failedAt >= 0) return result('impossible', failedAt, 0, 0, 0, 0);

  // ---- 2 backward pass
  const back = new Float64Array(n);
  const backDecel = new Float64Array(n);
  const backLimit = new Uint8Array(n);
  const clutchIn = conditions.engineBraking === 'never';
  const mayDip = conditions.engineBraking === 'as it pays';
  let guess = -0.5 * mass * gravity;
  let dipGuess = guess;
  // Newton starts where the last two solutions point to.
  let guessStep = 0;
  let dipStep = 0;
  let brakeConstraint: Constraint = CONSTRAINT.none;
  let dipped = false;

  /** Gear while braking, from the one known for a lower speed: -1 with the clutch in. */
  function brakeGear(y: number, from: number): number {
    if (clutchIn || y < overFromSquared[0]!) return -1;
    let k = Math.max(from, 0);
    while (k < topGear && y >= upSquared[k]!) k++;
    return y < overFromSquared[k]! ? -1 : k;
  }

  function decelerate(env: Envelope, v: number, k: number): number {
    const engine = overrun(k, v);
    const spin = k >= 0 && engine > 0 ? engineMass[k]! : 0;
    let x = env.lowerForce(engine, spin, guess + guessStep);
    guessStep = x - guess;
    guess = x;
    brakeConstraint = env.constraint();
    dipped = false;
    // Dipping the clutch can pay where the engine takes the rear tyres' grip, and where its spin pushes harder
    // than its drag brakes.
    const pushes = spin * -env.accelerationAt(x) > engine;
    if (mayDip && engine > 0 && (pushes || brakeConstraint === CONSTRAINT.rear)) {
      const free = env.lowerForce(0, 0, dipGuess + dipStep);
      dipStep = free - dipGuess;
      dipGuess = free;
      if (free < x) {
        x = free;
        brakeConstraint = env.constraint();
        dipped = true;
      }
    }
    return -env.accelerationAt(x);
  }

  let slowest = 0;
  for (let i = 1; i < n; i++) if (most[i]! < most[slowest]!) slowest = i;
  const startBack = ring ? slowest : n - 1;
  back[startBack] = most[startBack]!;
  {
    let i = startBack;
    let known = false;
    let decel = 0;
    // Deceleration one step nearer the corner, and that step, for the predictor.
    let decelBefore = 0;
    let stepBefore = 0;
    for (let count = 1; count < n; count++) {
      const j = before(i);
      const h = step[j]!;
      const y1 = back[i]!;
      if (h === 0) {
        back[j] = Math.min(most[j]!, y1);
        known = false;
        stepBefore = 0;
        i = j;
        continue;
      }
      if (y1 === most[i]! && most[j]! <= y1) {
        // No braking can be wanted: the station behind is no faster.
        back[j] = most[j]!;
        known = false;
        stepBefore = 0;
        i = j;
        continue;
      }
      const k = brakeGear(y1, 0);
      if (!known) {
        decel = decelerate(placeAt(i, Math.sqrt(y1)), Math.sqrt(y1), k);
        backLimit[i] = brakeLimitOf(brakeConstraint);
        clutchDipped[i] = dipped || k < 0 ? 1 : 0;
        backDecel[i] = decel;
      }
      let y0 = y1;
      let part = 1;
      let left = h;
      let current = k;
      let d1 = decel;
      let d0 = decel;
      let atLimit = false;
      for (let pieces = 0; pieces < 8; pieces++) {
        const bend = stepBefore > 0 && pieces === 0 ? ((d1 - decelBefore) * left) / (2 * stepBefore) : 0;
        const predicted = Math.min(y0 + 2 * left * (d1 + bend), most[j]!);
        atLimit = predicted === most[j]!;
        const v = Math.sqrt(Math.max(predicted, 0));
        d0 = decelerate(placeAt(j, v), v, current);
        const reached = y0 + left * (d1 + d0);
        const other = brakeGear(Math.min(reached, most[j]!), current);
        if (other <= current || reached <= y0) {
          y0 = reached;
          break;
        }
        // A gear change lies inside the step: stop at it and go on in the other gear.
        const edge = current < 0 ? overFromSquared[0]! : upSquared[current]!;
        const share = Math.min(1, Math.max(0, (edge - y0) / (reached - y0)));
        left *= 1 - share;
        part -= part * share;
        y0 = Math.max(edge, y0);
        current = current < 0 ? 0 : current + 1;
        const edgeSpeed = Math.sqrt(y0);
        d1 = decelerate(placeBetween(j, i, Math.min(1, part), edgeSpeed), edgeSpeed, current);
      }
      if (!(y0 > 0)) return result('runaway', j, 0, 0, 0, 0);
      if (y0 >= most[j]!) {
        back[j] = most[j]!;
        // Evaluated just there, in the gear of that speed: the next step begins with it.
        known = atLimit && brakeGear(most[j]!, 0) === current;
        if (known) {
          decel = d0;
          backDecel[j] = d0;
          backLimit[j] = brakeLimitOf(brakeConstraint);
          clutchDipped[j] = dipped || current < 0 ? 1 : 0;
        }
        stepBefore = 0;
      } else {
        back[j] = y0;
        decel = d0;
        backDecel[j] = d0;
        backLimit[j] = brakeLimitOf(brakeConstraint);
        clutchDipped[j] = dipped || current < 0 ? 1 : 0;
        // Reused where the predictor was of second order, evaluated again after a start or a gear change.
        known = stepBefore > 0 && part === 1;
        decelBefore = d1;
        stepBefore = part === 1 ? h : 0;
      }
      i = j;
    }
  }

  // ---- 3 forward pass
  /** Infinite after a station where the engine set the pace: the search then starts at what it gives. */
  let driveGuess = Number.POSITIVE_INFINITY;
  let driveStep = 0;
  let driveLimit = 0;

  function accelerate(env: Envelope, v: number, k: number, phase: number, slipTorque: number): number {
    let force: number;
    let inertia: number;
    if (phase === PHASE.shift) {
      force = 0;
      inertia = coastMass;
      driveLimit = LIMIT.shift;
    } else if (phase === PHASE.slip) {
      force = slipTorque * perTorque[k]!;
      inertia = coastMass;
      driveLimit = LIMIT.clutch;
    } else {
      force = thrust(k, v);
      inertia = driveMass[k]!;
      driveLimit = LIMIT.power;
    }
    const wanted = env.driveForce(force, inertia);
    let x = wanted;
    if (phase !== PHASE.shift) {
      x = env.upperForce(wanted, driveGuess + driveStep);
      if (x === wanted) driveGuess = Number.POSITIVE_INFINITY;
      else {
        driveStep = driveGuess === Number.POSITIVE_INFINITY ? 0 : x - driveGuess;
        driveGuess = x;
        driveLimit = limitOf(env.constraint());
      }
    }
    return env.accelerationAt(x);
  }

  const main: Track = { y: squared, a: acceleration, gear, limit, time: stepTime, braking };

  /** Outcome of one step: 0 free, 1 joined the braking curve, 2 held by a corner, 3 stalled. */
  function walk(i: number, w: Walker, shiftAllowed: boolean, out: Track): number {
    const j = next(i);
    const h = step[i]!;
    out.y[i] = w.y;
    out.gear[i] = w.gear;
    out.braking[i] = 0;
    if (h === 0) {
      // The ground changes: same speed, new acceleration.
      out.time[i] = 0;
      out.a[i] = Number.isNaN(w.a)
        ? accelerate(placeAt(i, Math.sqrt(w.y)), Math.sqrt(w.y), w.gear, w.phase, w.slipTorque)
        : w.a;
      out.limit[i] = i > 0 ? out.limit[i - 1]! : driveLimit;
      w.y = Math.min(w.y, back[j]!);
      w.a = Number.NaN;
      w.stepBefore = 0;
      return 0;
    }
    let y = w.y;
    let v = Math.sqrt(y);
    if (w.phase === PHASE.drive && y === back[i]! && y < most[i]! && back[j]! < y) {
      // On the braking curve: any throttle would leave it, so nothing needs to be evaluated.
      const there = back[j]!;
      const onBrakes = there < most[j]! * (1 - 1e-12);
      out.time[i] = (2 * h) / (v + Math.sqrt(there));
      out.a[i] = -backDecel[i]!;
      out.limit[i] = backLimit[i]!;
      out.braking[i] = 1;
      out.gear[i] = gearAt(y);
      w.y = there;
      w.a = Number.NaN;
      w.stepBefore = 0;
      settleGear(w, true);
      return onBrakes ? 1 : 2;
    }
    if (Number.isNaN(w.a)) w.a = accelerate(placeAt(i, v), v, w.gear, w.phase, w.slipTorque);
    else driveLimit = out.limit[i]!;
    let a = w.a;
    out.a[i] = a;
    out.limit[i] = driveLimit;
    let time = 0;
    let done = 0;
    let code = 0;
    let finished = false;
    const backHere = back[i]!;
    const backThere = back[j]!;
    for (let pieces = 0; pieces < 40; pieces++) {
      const left = h * (1 - done);
      const held = w.phase === PHASE.drive && y >= limitSquared[w.gear]! * (1 - 1e-13);
      const bend = w.stepBefore > 0 && pieces === 0 ? ((a - w.aBefore) * left) / (2 * w.stepBefore) : 0;
      // Beyond y_b the step will be cut anyway, and beyond y_max nothing can be evaluated.
      const predicted = Math.min(Math.max(0, y + 2 * left * (a + bend)), backThere);
      const pv = Math.sqrt(predicted);
      // Held at a falling limit and able to hold: the step is cut whatever the engine gives.
      const sure = predicted === backThere && backThere <= y && a >= 0;
      let aEnd = sure ? a : accelerate(placeAt(j, pv), pv, w.gear, w.phase, w.slipTorque);
      let endLimit = driveLimit;
      let reached = y + left * (a + aEnd);
      if (held && reached >= y) {
        // Pinned at the limiter; an upshift is taken where one is allowed and helps.
        if (shiftAllowed && w.gear < topGear && upshiftHelps(i, j, done, v, w.gear)) {
          startShift(w, w.gear + 1, drivetrain.upshiftTime);
          a = accelerate(placeBetween(i, j, done, v), v, w.gear, w.phase, w.slipTorque);
          continue;
        }
        reached = y;
        aEnd = 0;
        endLimit = LIMIT.revLimiter;
        if (done === 0) {
          out.limit[i] = LIMIT.revLimiter;
          out.a[i] = 0;
        }
      }
      if (reached <= 0) {
        w.y = 0;
        out.time[i] = time;
        return 3;
      }
      let clipped = false;
      let target = reached;
      if (target > backThere) {
        target = backThere;
        clipped = true;
      }
      // Events inside the step, in order of y or time.
      if (w.phase === PHASE.shift) {
        const duration = (2 * left) / (v + Math.sqrt(target));
        if (duration > w.left) {
          const dist = Math.min(left, w.left * Math.max(0, v + 0.5 * a * w.left));
          const yHere = clipped
            ? y + ((target - y) * dist) / left
            : Math.max(0, y + 2 * dist * (a + ((aEnd - a) * dist) / (2 * left)));
          time += w.left;
          done += dist / h;
          y = yHere;
          v = Math.sqrt(y);
          w.gear = w.target;
          w.phase = y < slipSquared[w.gear]! ? PHASE.slip : PHASE.drive;
          if (w.phase === PHASE.slip) {
            w.slipTorque = fullTorque(lowKnot);
            w.lockSquared = slipSquared[w.gear]!;
          }
          w.left = 0;
          if (done >= 1 - 1e-12) break;
          a = accelerate(placeBetween(i, j, done, v), v, w.gear, w.phase, w.slipTorque);
          continue;
        }
        w.left -= duration;
      } else if (target > y) {
        const lock = w.phase === PHASE.slip;
        const edge = lock
          ? w.lockSquared
          : shiftAllowed && w.gear < topGear
            ? Math.min(upSquared[w.gear]!, limitSquared[w.gear]!)
            : limitSquared[w.gear]!;
        if (y < edge && target > edge) {
          const share = (edge - y) / (target - y);
          const dist = share * left;
          time += (2 * dist) / (v + Math.sqrt(edge));
          done += dist / h;
          y = edge;
          v = Math.sqrt(edge);
          if (lock) w.phase = PHASE.drive;
          else if (shiftAllowed && w.gear < topGear && upshiftHelps(i, j, Math.min(1, done), v, w.gear)) {
            startShift(w, w.gear + 1, drivetrain.upshiftTime);
          }
          a = accelerate(placeBetween(i, j, Math.min(1, done), v), v, w.gear, w.phase, w.slipTorque);
          continue;
        }
      } else if (!clipped && w.phase === PHASE.drive && w.gear > 0) {
        const edge = upSquared[w.gear - 1]! * DOWNSHIFT_BELOW ** 2;
        if (target < edge) {
          const share = y > edge ? (y - edge) / (y - target) : 0;
          const dist = share * left;
          if (dist > 0) time += (2 * dist) / (v + Math.sqrt(edge));
          done += dist / h;
          y = Math.min(y, edge);
          v = Math.sqrt(y);
          startShift(w, w.gear - 1, drivetrain.downshiftTime);
          a = accelerate(placeBetween(i, j, done, v), v, w.gear, w.phase, w.slipTorque);
          continue;
        }
      }
      // The rest of the step.
      finished = true;
      if (clipped) {
        const onBrakes = backThere < most[j]! * (1 - 1e-12);
        const gapHere = done === 0 ? backHere - y : backHere + (backThere - backHere) * done - y;
        const gapThere = reached - backThere;
        if (gapHere > 1e-12 * y && gapThere > 0) {
          const share = gapHere / (gapHere + gapThere);
          const yCross = y + share * (reached - y);
          const vc = Math.sqrt(yCross);
          time += (2 * left * share) / (v + vc) + (2 * left * (1 - share)) / (vc + Math.sqrt(backThere));
        } else {
          time += (2 * left) / (v + Math.sqrt(backThere));
          if (done === 0) {
            out.a[i] = onBrakes && backDecel[i]! !== 0 ? -backDecel[i]! : (backThere - y) / (2 * h);
            out.limit[i] = onBrakes ? backLimit[i]! : cornerLimit[i]!;
            out.braking[i] = onBrakes ? 1 : 0;
            if (onBrakes) out.gear[i] = gearAt(y);
          }
        }
        w.y = backThere;
        w.a = Number.NaN;
        w.stepBefore = 0;
        code = onBrakes ? 1 : 2;
        const gearHere = w.gear;
        const evaluated = !sure && predicted === backThere && w.phase === PHASE.drive;
        if (onBrakes || w.phase === PHASE.drive) settleGear(w, onBrakes);
        if (evaluated && w.gear === gearHere && w.phase === PHASE.drive) {
          // Evaluated just there: the next step begins with it.
          w.a = aEnd;
          out.limit[j] = endLimit;
        }
      } else {
        time += (2 * left) / (v + Math.sqrt(target));
        w.y = target;
        // Reused where the predictor was of second order; on the engine any predictor will do.
        w.a = w.stepBefore > 0 || endLimit === LIMIT.power || endLimit === LIMIT.shift ? aEnd : Number.NaN;
        w.aBefore = a;
        w.stepBefore = pieces === 0 ? h : 0;
        out.limit[j] = endLimit;
      }
      break;
    }
    if (!finished) {
      w.y = Math.min(y, backThere);
      w.a = Number.NaN;
      w.stepBefore = 0;
    }
    out.time[i] = time;
    return code;
  }

  /** False where the kart would lose so much speed in the shift that the next gear cannot pull. */
  function upshiftHelps(i: number, j: number, part: number, v: number, k: number): boolean {
    const time = drivetrain.upshiftTime;
    if (time === 0) return true;
    const coasting = accelerate(placeBetween(i, j, part, v), v, k, PHASE.shift, 0);
    const after = v + coasting * time;
    if (after <= 0 || after * after <= upSquared[k]! * DOWNSHIFT_BELOW ** 2) return false;
    return accelerate(placeBetween(i, j, part, after), after, k + 1, PHASE.drive, 0) > 0;
  }

  function startShift(w: Walker, target: number, duration: number): void {
    w.shifts++;
    w.box = target;
    w.target = target;
    if (duration > 0) {
      w.phase = PHASE.shift;
      w.left = duration;
    } else {
      w.gear = target;
      w.phase = PHASE.drive;
    }
  }

  function gearAt(y: number): number {
    let k = 0;
    while (k < topGear && y >= upSquared[k]!) k++;
    return k;
  }

  /**
   * On the brakes the gear follows the speed at no cost, as the backward pass took it; held in a corner it
   * only drops when far too tall.
   */
  function settleGear(w: Walker, onBrakes: boolean): void {
    const k = gearAt(w.y);
    if (onBrakes) {
      w.phase = PHASE.drive;
      w.left = 0;
      w.shifts += Math.max(0, w.box - k);
      w.box = Math.min(w.box, k);
      w.gear = k;
    } else if (k < w.gear && w.y < upSquared[w.gear - 1]! * DOWNSHIFT_BELOW ** 2) {
      w.shifts += Math.max(0, w.box - k);
      w.box = Math.min(w.box, k);
      w.gear = k;
    }
    if (w.y < slipSquared[w.gear]!) {
      w.phase = PHASE.slip;
      w.slipTorque = fullTorque(lowKnot);
      w.lockSquared = slipSquared[w.gear]!;
    }
  }

  const standing = conditions.start === 'standing';
  let first = 0;
  let y = 0;
  if (ring && conditions.start === 'flying') {
    first = slowest;
    y = back[slowest]!;
  } else if (!standing) {
    y = Math.min(back[0]!, track.startSpeed ** 2);
  }
  let scratch: Track | undefined;
  const total = ring ? n : n - 1;
  let rounds = 0;
  let residual = 0;
  let shifts = 0;
  let carry: Walker | undefined;
  for (;;) {
    rounds++;
    const w: Walker = carry === undefined ? freshWalker(y) : { ...carry, a: Number.NaN, shifts: 0 };
    const startSquared = w.y;
    const upshifts: Upshift[] = [];
    for (let count = 0; count < total; count++) {
      const i = (first + count) % n;
      const gearBefore = w.gear;
      const phaseBefore = w.phase;
      const yBefore = w.y;
      const aBefore = w.a;
      const shiftsBefore = w.shifts;
      const code = walk(i, w, true, main);
      if (code === 3) return result('stalled', i, first, rounds, 0, w.shifts);
      if (phaseBefore === PHASE.drive && w.phase === PHASE.shift && w.target > gearBefore) {
        upshifts.push({ count, y: yBefore, a: aBefore, gear: gearBefore, shifts: shiftsBefore });
      }
      if (upshifts.length > 0 && (code === 1 || (!ring && count === total - 1))) {
        count = undoShiftsThatDoNotPay(upshifts, count, w);
        upshifts.length = 0;
      }
    }
    shifts = w.shifts;
    if (!ring) {
      squared[n - 1] = w.y;
      gear[n - 1] = w.gear;
      limit[n - 1] = limit[n - 2]!;
      acceleration[n - 1] = acceleration[n - 2]!;
      braking[n - 1] = braking[n - 2]!;
    }
    if (!ring || conditions.start !== 'flying') break;
    residual = Math.abs(w.y - startSquared) / Math.max(startSquared, 1e-9);
    if (residual < ROUND_TOLERANCE && (carry !== undefined || w.gear === freshWalker(startSquared).gear))
      break;
    if (rounds >= MAX_ROUNDS) return result('unsettled', -1, first, rounds, residual, shifts);
    carry = w;
  }
  return result('done', -1, first, rounds, residual, shifts);

  function freshWalker(from: number): Walker {
    const w: Walker = {
      y: from,
      gear: 0,
      phase: PHASE.drive,
      left: 0,
      target: 0,
      box: 0,
      slipTorque: 0,
      lockSquared: 0,
      a: Number.NaN,
      aBefore: 0,
      stepBefore: 0,
      shifts: 0,
    };
    while (w.gear < topGear && from >= upSquared[w.gear]!) w.gear++;
    w.box = w.gear;
    if (standing && from === 0) {
      w.phase = PHASE.slip;
      w.slipTorque = drivetrain.launch.torque;
      w.lockSquared = drivetrain.launch.lockSpeed ** 2;
    } else if (from < slipSquared[w.gear]!) {
      w.phase = PHASE.slip;
      w.slipTorque = fullTorque(lowKnot);
      w.lockSquared = slipSquared[w.gear]!;
    }
    return w;
  }

  /**
   * Goes back over the upshifts since the last braking point, latest first: the stretch is driven again
   * staying in gear, and the quicker of the two is kept. Returns the step up to which the lap is now driven.
   */
  function undoShiftsThatDoNotPay(upshifts: Upshift[], joined: number, w: Walker): number {
    let reachedStep = joined;
    for (let last = upshifts.pop(); last !== undefined; last = upshifts.pop()) {
      scratch ??= emptyTrack(n);
      const trial = freshWalker(last.y);
      trial.gear = last.gear;
      trial.box = last.gear;
      trial.phase = PHASE.drive;
      trial.a = last.a;
      trial.shifts = last.shifts;
      const begin = (first + last.count) % n;
      scratch.limit[begin] = main.limit[begin]!;
      let stayed = 0;
      let shifted = 0;
      let end = -1;
      for (let count = last.count; count < total; count++) {
        const i = (first + count) % n;
        const code = walk(i, trial, false, scratch);
        if (code === 3) break;
        stayed += scratch.time[i]!;
        // Beyond its joining point the shifted run follows the braking curve.
        shifted += count <= reachedStep ? main.time[i]! : brakingTime(i);
        if (count >= reachedStep && (code === 1 || (!ring && count === total - 1))) {
          end = count;
          break;
        }
      }
      if (end < 0 || stayed >= shifted) return reachedStep;
      for (let count = last.count; count <= end; count++) {
        const i = (first + count) % n;
        main.y[i] = scratch.y[i]!;
        main.a[i] = scratch.a[i]!;
        main.gear[i] = scratch.gear[i]!;
        main.limit[i] = scratch.limit[i]!;
        main.time[i] = scratch.time[i]!;
        main.braking[i] = scratch.braking[i]!;
      }
      Object.assign(w, trial);
      reachedStep = end;
    }
    return reachedStep;
  }

  function brakingTime(i: number): number {
    return step[i] === 0 ? 0 : (2 * step[i]!) / (Math.sqrt(back[i]!) + Math.sqrt(back[next(i)]!));
  }
}

/** The kart on its way round: state at the station reached. */
interface Walker {
  y: number;
  gear: number;
  phase: number;
  /** Time left of a shift */
  left: number;
  /** Gear counted shifts have reached: on the brakes the gear shown may run ahead of it */
  box: number;
  /** Gear after the shift */
  target: number;
  slipTorque: number;
  /** v^2 at which the clutch grips */
  lockSquared: number;
  /** Acceleration at the station, NaN when it must be evaluated */
  a: number;
  /** Acceleration at the station before and the step from there; no step: not to be used */
  aBefore: number;
  stepBefore: number;
  shifts: number;
}
/** Columns a forward pass writes. */
interface Track {
  readonly y: Float64Array;
  readonly a: Float64Array;
  readonly gear: Uint8Array;
  readonly limit: Uint8Array;
  readonly time: Float64Array;
  readonly braking: Uint8Array;
}

function emptyTrack(n: number): Track {
  const column = () => new Float64Array(n);
  const small = () => new Uint8Array(n);
  return { y: column(), a: column(), gear: small(), limit: small(), time: column(), braking: small() };
}

/** The state at the start of the step in which an upshift began. */
interface Upshift {
  readonly count: number;
  readonly y: number;
  readonly a: number;
  readonly gear: number;
  readonly shifts: number;
}

function limitOf(constraint: Constraint): number {
  switch (constraint) {
    case CONSTRAINT.front:
      return LIMIT.frontGrip;
    case CONSTRAINT.rollover:
      return LIMIT.tip;
    case CONSTRAINT.frontLift:
      return LIMIT.frontLift;
    case CONSTRAINT.rearLift:
      return LIMIT.rearLift;
    default:
      return LIMIT.rearGrip;
  }
}

function brakeLimitOf(constraint: Constraint): number {
  if (constraint === CONSTRAINT.front) return LIMIT.frontBrakes;
  if (constraint === CONSTRAINT.rear) return LIMIT.rearBrakes;
  return limitOf(constraint);
}
