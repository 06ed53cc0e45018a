/**
 * A deceleration on a straight: coasting, engine braking, brakes, or brakes with the engine.
 *
 * In: compiled kart, surface, how hard and with what. Out: columns over time, distance, time, mean fully
 * developed deceleration, adhesion per axle, which axle locks first, the engine's share. Integrated by
 * odex in smooth phases; a wheel locking, a gear change or the clutch opening ends a phase.
 */
import type { Gear } from '../compile/drivetrain.ts';
import { engineSpeedAt, gearFor, overrunDragAt } from '../compile/drivetrain.ts';
import type { CompiledKart, SurfacePair } from '../compile/kart.ts';
import type { OdeEvent } from '../numerics/ode.ts';
import { integratePhase } from '../numerics/ode.ts';
import { gripEnvelope } from '../physics/grip-envelope.ts';
import type { Problem } from '../project/problem.ts';
import { problem, warning } from '../project/problem.ts';
import type { Outcome } from './outcome.ts';
import { placeStraight } from './thrust.ts';

/**
 * threshold: just under the first lock; held: a constant pedal force, wheels may lock; locked: every
 * braked wheel locked; ideal: both axles at their limit, the bound no fixed balance reaches; none: no brakes.
 */
export type BrakeMode = 'threshold' | 'held' | 'locked' | 'ideal' | 'none';
/** Clutch in; closed throttle staying in gear; closed throttle shifting down as soon as it is safe. */
export type EngineMode = 'clutch in' | 'in gear' | 'shifting down';

export interface BrakeOptions {
  readonly fromSpeed: number;
  readonly toSpeed?: number;
  readonly grade?: number;
  readonly brakes?: BrakeMode;
  readonly engine?: EngineMode;
  /** Gear at the start, counted from 1; the one a driver would be in where absent */
  readonly gear?: number;
  /** For 'held': force on the pedal, N (needs hydraulics), or braking force of all brakes, N */
  readonly pedalForce?: number;
  readonly brakeForce?: number;
  /** Add the driver's reaction and the pedal's build-up time */
  readonly withDelays?: boolean;
  readonly tolerance?: number;
}

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
  readonly columns: {
    readonly time: Float64Array;
    readonly distance: Float64Array;
    readonly speed: Float64Array;
    /** Positive when slowing, m/s2 */
    readonly deceleration: Float64Array;
    /** Braking forces at the ground, N */
    readonly frontForce: Float64Array;
    readonly rearForce: Float64Array;
    readonly engineForce: Float64Array;
    readonly useFront: Float64Array;
    readonly useRear: Float64Array;
    /** Gear counted from 1, 0 with the clutch in */
    readonly gear: Uint8Array;
    readonly engineSpeed: Float64Array;
  };
}

const DEFAULT_TOLERANCE = 1e-10;
const MAX_PHASES = 100;
/** A run that needs more work than this is given up: a hundred times an ordinary stop. */
const MAX_EVALUATIONS = 100_000;
const LONGEST = 600;
const SAMPLE_EVERY = 0.05;
/** A downshift is made at this share of the lower gear's limiter speed. */
const DOWNSHIFT_AT = 0.97;
/** Standing still, for the integration: the rest is added in closed form, m/s. */
const STOPPED = 1e-7;

/** Forces at the contact patches (braking negative), the engine's part, and what the brakes put in, N. */
interface Ground {
  readonly brake: number;
  readonly front: number;
  readonly rear: number;
  readonly engine: number;
  readonly x: number;
}

export function runBrake(
  kart: CompiledKart,
  surface: SurfacePair,
  options: BrakeOptions,
): Outcome<BrakeResult> {
  const { drivetrain, envelope } = kart;
  const { gears } = drivetrain;
  const mode = options.brakes ?? 'threshold';
  const engineMode = options.engine ?? 'clutch in';
  const grade = options.grade ?? 0;
  const toSpeed = options.toSpeed ?? 0;
  const fromSpeed = options.fromSpeed;
  const share = kart.brakes.frontShare;
  const problems: Problem[] = [];
  if (!(fromSpeed > toSpeed)) {
    return {
      status: 'problems',
      diagnostics: {},
      problems: [
        problem('speeds', 'options', 'the first speed must be above the last', {
          value: `${(fromSpeed * 3.6).toFixed(1)} to ${(toSpeed * 3.6).toFixed(1)} km/h`,
        }),
      ],
    };
  }
  if (options.gear !== undefined && gears[options.gear - 1] === undefined) {
    return {
      status: 'problems',
      diagnostics: {},
      problems: [
        problem('no-gear', 'options', 'there is no such gear', {
          value: String(options.gear),
          limit: `1 to ${gears.length}`,
        }),
      ],
    };
  }
  const held = heldForce(kart, options, mode, problems);
  if (held === undefined) return { status: 'problems', diagnostics: {}, problems };

  const env = gripEnvelope(envelope, surface.front.grip, surface.rear.grip);
  const slide = { front: surface.front.slidingShare, rear: surface.rear.slidingShare };
  const capacity = new Float64Array(2);
  const drivesFront = envelope.driven === 'front';
  const enginePart = envelope.driven === 'all' ? 0.5 : drivesFront ? 1 : 0;

  let gear =
    engineMode === 'clutch in'
      ? -1
      : options.gear !== undefined
        ? options.gear - 1
        : gearFor(drivetrain, fromSpeed);
  if (gear >= 0 && fromSpeed > gears[gear]!.safeSpeed * (1 + 1e-9)) {
    problems.push(
      problem(
        'over-rev',
        'options',
        `gear ${gears[gear]!.name} would drive the engine beyond its safe speed`,
        {
          value: `${(fromSpeed * 3.6).toFixed(0)} km/h`,
          limit: `${(gears[gear]!.safeSpeed * 3.6).toFixed(0)} km/h`,
          remedy: 'start in a higher gear: a limiter cannot prevent over-rev on a downshift',
        },
      ),
    );
    return { status: 'problems', diagnostics: {}, problems };
  }
  let clutchUntil = Number.NEGATIVE_INFINITY;
  let frontLocked = mode === 'locked' && share > 0;
  let rearLocked = mode === 'locked' && share < 1;
  let pitchesOver = false;
  let build: { from: number; time: number } | undefined;

  const engineAt = (v: number): { force: number; mass: number } => {
    if (gear < 0 || clutchUntil > Number.NEGATIVE_INFINITY) return { force: 0, mass: 0 };
    const g = gears[gear]!;
    const force = overrunDragAt(drivetrain, g, v);
    return force > 0 ? { force, mass: g.overrunEngineMass } : { force: 0, mass: 0 };
  };

  let guess = -0.5 * kart.mass * envelope.gravity;
  /** Contact forces at speed v with the brakes on in full. */
  const full = (v: number): Ground => {
    placeStraight(env, v, grade);
    const engine = engineAt(v);
    if (mode === 'threshold') {
      const x = env.lowerForce(engine.force, engine.mass, guess);
      guess = x;
      return split(x, engine, Math.max(0, brakeOf(x, engine)));
    }
    if (mode === 'ideal') {
      const x = solve((at) => {
        env.capacity(at, capacity);
        return -(capacity[0]! + capacity[1]!);
      });
      env.capacity(x, capacity);
      return {
        front: -capacity[0]!,
        rear: -capacity[1]!,
        engine: Math.min(engine.force, capacity[drivesFront ? 0 : 1]!),
        brake: Math.max(0, brakeOf(x, engine)),
        x,
      };
    }
    return lockedForces(engine, mode === 'locked' ? Number.POSITIVE_INFINITY : mode === 'none' ? 0 : held);
  };
  /** Contact forces with each axle free or locked as the flags say. */
  const lockedForces = (engine: { force: number; mass: number }, brake: number): Ground => {
    const freeRear = (at: number) =>
      -((brake === Number.POSITIVE_INFINITY ? 0 : (1 - share) * brake) + (1 - enginePart) * engine.force) -
      (envelope.spinRear + (1 - enginePart) * engine.mass) * accelerationAt(at);
    const freeFront = (at: number) =>
      -((brake === Number.POSITIVE_INFINITY ? 0 : share * brake) + enginePart * engine.force) -
      (envelope.spinFront + enginePart * engine.mass) * accelerationAt(at);
    const front = (at: number) => {
      if (!frontLocked) return freeFront(at);
      env.capacity(at, capacity);
      return -slide.front * capacity[0]!;
    };
    const rear = (at: number) => {
      if (!rearLocked) return freeRear(at);
      env.capacity(at, capacity);
      return -slide.rear * capacity[1]!;
    };
    const x =
      !frontLocked && !rearLocked && Number.isFinite(brake)
        ? env.brakeForce(engine.force, engine.mass, brake)
        : solve((at) => front(at) + rear(at));
    return {
      front: front(x),
      rear: rear(x),
      engine: (rearLocked && !drivesFront) || (frontLocked && drivesFront) ? 0 : engine.force,
      brake: Number.isFinite(brake) ? brake : Math.max(0, brakeOf(x, engine)),
      x,
    };
  };
  const accelerationAt = (x: number) => (x - env.resistance(x)) / kart.mass;
  const brakeOf = (x: number, engine: { force: number; mass: number }) =>
    -x - engine.force - (envelope.spinFront + envelope.spinRear + engine.mass) * accelerationAt(x);
  const split = (x: number, engine: { force: number; mass: number }, brake: number): Ground => {
    const a = accelerationAt(x);
    const front =
      -(share * brake + enginePart * engine.force) - (envelope.spinFront + enginePart * engine.mass) * a;
    return { front, rear: x - front, engine: Math.min(engine.force, Math.max(0, -x)), brake, x };
  };
  /** Fixed point x = f(x) for an f of slope below 1 (load transfer), by secant. */
  const solve = (f: (x: number) => number): number => {
    let x0 = -0.5 * kart.mass * envelope.gravity;
    let g0 = f(x0) - x0;
    let x1 = x0 + g0;
    for (let i = 0; i < 60; i++) {
      const g1 = f(x1) - x1;
      if (Math.abs(g1) < 1e-10 * Math.max(1, Math.abs(x1)) || g1 === g0) break;
      const x2 = x1 - (g1 * (x1 - x0)) / (g1 - g0);
      x0 = x1;
      g0 = g1;
      x1 = x2;
    }
    return x1;
  };
  /** No braking carries the kart past the point at which its rear wheels lift. */
  const grounded = (g: Ground): Ground => {
    const lift = env.rearLiftForce();
    if (g.x >= lift) return g;
    pitchesOver = true;
    return { ...g, front: lift, rear: 0, engine: 0, x: lift };
  };
  const groundAt = (t: number, v: number): Ground => {
    const g = grounded(full(v));
    if (build === undefined || build.time <= 0) return g;
    const part = Math.min(1, Math.max(0, (t - build.from) / build.time));
    if (part >= 1) return g;
    const engine = engineAt(v);
    const coast = split(env.brakeForce(engine.force, engine.mass, 0), engine, 0);
    const mix = (a: number, b: number) => a + part * (b - a);
    return {
      front: mix(coast.front, g.front),
      rear: mix(coast.rear, g.rear),
      engine: engine.force,
      brake: mix(0, g.brake),
      x: mix(coast.x, g.x),
    };
  };
  const acceleration = (t: number, v: number): number => accelerationAt(groundAt(t, Math.max(0, v)).x);
  /** Braking asked of an axle over its capacity, minus one; locking starts above 0. */
  const excess = (axle: 'front' | 'rear', v: number): number => {
    placeStraight(env, Math.max(0, v), grade);
    const g = lockedForces(engineAt(v), held);
    env.capacity(g.x, capacity);
    const most = capacity[axle === 'front' ? 0 : 1]! * Math.max(1, slide[axle]);
    return most > 0 ? -(axle === 'front' ? g.front : g.rear) / most - 1 : 1;
  };
  const settleLocks = (v: number): void => {
    if (mode !== 'held' && mode !== 'none') return;
    for (let i = 0; i < 4; i++) {
      const f = !frontLocked && excess('front', v) > 1e-12;
      const r = !rearLocked && excess('rear', v) > 1e-12;
      if (!f && !r) return;
      // The axle further beyond its grip locks first; the other is then looked at again.
      if (f && (!r || excess('front', v) >= excess('rear', v))) frontLocked = true;
      else rearLocked = true;
    }
  };

  const rows: {
    t: number;
    s: number;
    v: number;
    a: number;
    ground: Ground;
    gear: number;
    use: readonly [number, number];
  }[] = [];
  const record = (t: number, s: number, v: number): void => {
    const ground = groundAt(t, v);
    env.capacity(ground.x, capacity);
    rows.push({
      t,
      s,
      v,
      a: accelerationAt(ground.x),
      ground,
      gear: engineAt(v).force > 0 ? gear : -1,
      use: [ratio(-ground.front, capacity[0]!), ratio(-ground.rear, capacity[1]!)],
    });
  };

  let t = 0;
  let s = 0;
  let v = fromSpeed;
  let evaluations = 0;
  let frontLockedFor = 0;
  let rearLockedFor = 0;
  let engineWork = 0;
  let brakeWork = 0;
  let outcome: 'stopped' | 'runs on' | 'failed' = 'stopped';
  const passed = new Map<string, number>();
  let reactionDistance = 0;
  if (options.withDelays === true) {
    t = kart.driver.reaction;
    reactionDistance = v * t;
    s = reactionDistance;
    if (kart.brakes.buildUp > 0 && mode !== 'none') build = { from: t, time: kart.brakes.buildUp };
  }
  const marks: readonly [string, number][] = [
    ['b', 0.8 * fromSpeed],
    ['e', 0.1 * fromSpeed],
  ];
  for (let phases = 0; ; phases++) {
    if (phases >= MAX_PHASES || evaluations > MAX_EVALUATIONS) {
      outcome = 'runs on';
      break;
    }
    settleLocks(v);
    const clutchIn = clutchUntil > Number.NEGATIVE_INFINITY;
    const g: Gear | undefined = gear >= 0 && !clutchIn ? gears[gear] : undefined;
    const events: OdeEvent[] = [
      { name: 'end', value: (_t, y) => Math.max(toSpeed, STOPPED) - y[1]! },
      ...marks
        .filter(([name]) => !passed.has(name))
        .map(([name, speed]): OdeEvent => ({ name, value: (_t, y) => speed - y[1]!, passing: true })),
    ];
    if (g !== undefined) {
      if (v > g.overrunFrom) events.push({ name: 'idle', value: (_t, y) => g.overrunFrom - y[1]! });
      if (engineMode === 'shifting down' && gear > 0) {
        const at = Math.min(gears[gear - 1]!.limitSpeed * DOWNSHIFT_AT, gears[gear - 1]!.safeSpeed);
        if (v > at * (1 + 1e-12)) events.push({ name: 'down', value: (_t, y) => at - y[1]! });
        else {
          gear--;
          continue;
        }
      }
    }
    if (mode === 'held' || mode === 'none') {
      if (!frontLocked) events.push({ name: 'lock', value: (_t, y) => excess('front', y[1]!) - 1e-12 });
      if (!rearLocked) events.push({ name: 'lock', value: (_t, y) => excess('rear', y[1]!) - 1e-12 });
    }
    const until = clutchIn ? clutchUntil : build !== undefined ? build.from + build.time : LONGEST;
    const from = t;
    record(t, s, v);
    const firstRow = rows.length - 1;
    const run = integratePhase({
      derivative: (time, y) => [Math.max(0, y[1]!), acceleration(time, y[1]!)],
      start: t,
      state: [s, v],
      end: Math.max(until, t + 1e-12),
      events,
      tolerance: options.tolerance ?? DEFAULT_TOLERANCE,
      maxStep: 0.5,
      sampleEvery: SAMPLE_EVERY,
    });
    evaluations += run.evaluations;
    for (const p of run.passed) passed.set(p.name, p.y[0]!);
    for (const p of run.samples) record(p.t, p.y[0]!, p.y[1]!);
    t = run.t;
    s = run.y[0]!;
    v = Math.max(0, run.y[1]!);
    record(t, s, v);
    for (let i = firstRow; i + 1 < rows.length; i++) {
      const ds = rows[i + 1]!.s - rows[i]!.s;
      const meanEngine = (rows[i]!.ground.engine + rows[i + 1]!.ground.engine) / 2;
      const meanTotal = -(rows[i]!.ground.x + rows[i + 1]!.ground.x) / 2;
      engineWork += Math.min(meanEngine, Math.max(0, meanTotal)) * ds;
      brakeWork += Math.max(0, meanTotal - meanEngine) * ds;
    }
    if (frontLocked) frontLockedFor += t - from;
    if (rearLocked) rearLockedFor += t - from;
    if (run.status === 'failed') {
      outcome = 'failed';
      break;
    }
    if (run.status === 'end') {
      if (clutchIn) {
        clutchUntil = Number.NEGATIVE_INFINITY;
        gear--;
      } else if (build !== undefined) {
        build = undefined;
      } else {
        outcome = 'runs on';
        break;
      }
      continue;
    }
    if (run.event === 'end') break;
    if (run.event === 'idle') {
      gear = -1;
      if (mode !== 'locked') rearLocked = rearLocked && mode === 'held' && excessOfLocked(v);
    } else if (run.event === 'down') {
      if (drivetrain.downshiftTime > 0) clutchUntil = t + drivetrain.downshiftTime;
      else gear--;
    }
    // 'lock' is settled at the start of the next phase.
  }
  if (outcome === 'runs on') {
    problems.push(
      problem(
        'does-not-stop',
        `karts.${kart.id}`,
        `the kart does not slow to ${(toSpeed * 3.6).toFixed(0)} km/h within ${LONGEST} s`,
        {
          value: `${(v * 3.6).toFixed(1)} km/h after ${s.toFixed(0)} m`,
          remedy: 'look at the grip, the brakes and the grade',
        },
      ),
    );
  }
  if (outcome === 'failed')
    problems.push(problem('numbers', `karts.${kart.id}`, 'the integration met a number that is not finite'));
  const start =
    rows.find(
      (r) =>
        build === undefined ||
        r.t >= (options.withDelays === true ? kart.driver.reaction + kart.brakes.buildUp : 0),
    ) ?? rows[0]!;
  const firstToLock = lockOrder();
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
  if (pitchesOver) {
    problems.push(
      warning(
        'rear-lifts',
        `karts.${kart.id}`,
        'the rear wheels lift: braking harder would pitch the kart over its front wheels',
        { remedy: 'lower the centre of gravity or move it back; brake less hard' },
      ),
    );
  }
  const sb = passed.get('b');
  const se = passed.get('e');
  const mfdd =
    sb !== undefined && se !== undefined && se > sb
      ? ((0.8 * fromSpeed) ** 2 - (0.1 * fromSpeed) ** 2) / (2 * (se - sb))
      : null;
  const total = start.ground.front + start.ground.rear;
  const gain = kart.brakes.gain;
  return {
    status: outcome === 'failed' ? 'failed' : outcome === 'runs on' ? 'partial' : 'done',
    problems,
    diagnostics: { evaluations, phases: rows.length },
    result: {
      kart: kart.name,
      surface: surface.id,
      brakes: mode,
      engine: engineMode,
      frontShare: share,
      time: t,
      distance: s,
      reactionDistance,
      endSpeed: v <= STOPPED * 1.01 ? 0 : v,
      meanFullyDevelopedDeceleration: mfdd,
      meanDeceleration: s > reactionDistance ? (fromSpeed ** 2 - v ** 2) / (2 * (s - reactionDistance)) : 0,
      firstToLock,
      frontLockedFor,
      rearLockedFor,
      engineShare: engineWork + brakeWork > 0 ? engineWork / (engineWork + brakeWork) : 0,
      frontShareWithEngine: total < 0 ? Math.max(0, start.ground.front / total) : 0,
      useFront: start.use[0],
      useRear: start.use[1],
      pedalForce:
        gain !== undefined && gain > 0 && mode !== 'locked' && mode !== 'ideal'
          ? start.ground.brake / gain
          : null,
      columns: {
        time: Float64Array.from(rows, (r) => r.t),
        distance: Float64Array.from(rows, (r) => r.s),
        speed: Float64Array.from(rows, (r) => r.v),
        deceleration: Float64Array.from(rows, (r) => -r.a),
        frontForce: Float64Array.from(rows, (r) => -r.ground.front),
        rearForce: Float64Array.from(rows, (r) => -r.ground.rear),
        engineForce: Float64Array.from(rows, (r) => r.ground.engine),
        useFront: Float64Array.from(rows, (r) => r.use[0]),
        useRear: Float64Array.from(rows, (r) => r.use[1]),
        gear: Uint8Array.from(rows, (r) => r.gear + 1),
        engineSpeed: Float64Array.from(rows, (r) =>
          r.gear < 0 ? drivetrain.idle : engineSpeedAt(drivetrain, gears[r.gear]!, r.v),
        ),
      },
    },
  };

  /** True where a locked rear axle stays locked once the engine no longer drags it. */
  function excessOfLocked(speed: number): boolean {
    rearLocked = false;
    return excess('rear', speed) > 0;
  }

  function lockOrder(): 'front' | 'rear' | 'both' | 'none' {
    if (mode === 'ideal') return 'both';
    if (mode === 'threshold') {
      const [f, r] = start.use;
      if (Math.abs(f - r) < 1e-6) return 'both';
      return f > r ? 'front' : 'rear';
    }
    if (mode === 'locked') return 'both';
    if (frontLockedFor > 0 && rearLockedFor > 0) return frontLockedFor >= rearLockedFor ? 'front' : 'rear';
    return frontLockedFor > 0 ? 'front' : rearLockedFor > 0 ? 'rear' : 'none';
  }
}

/** The braking force of a held pedal, N; undefined (with a problem) where it cannot be known. */
function heldForce(
  kart: CompiledKart,
  options: BrakeOptions,
  mode: BrakeMode,
  problems: Problem[],
): number | undefined {
  if (mode !== 'held') return 0;
  if (options.brakeForce !== undefined) return options.brakeForce;
  if (options.pedalForce !== undefined && kart.brakes.gain !== undefined)
    return options.pedalForce * kart.brakes.gain;
  problems.push(
    options.pedalForce === undefined
      ? problem('no-pedal-force', 'options', 'a held pedal needs its force', {
          remedy: 'give a pedal force, or a braking force',
        })
      : problem(
          'no-hydraulics',
          `karts.${kart.id}.brakes`,
          'a pedal force says nothing without the hydraulics',
          { remedy: 'enter bores, pads and pedal ratio, or give a braking force' },
        ),
  );
  return undefined;
}

function ratio(force: number, capacity: number): number {
  return capacity > 0 ? Math.max(0, force) / capacity : 0;
}
