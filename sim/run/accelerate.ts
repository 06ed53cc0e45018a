/**
 * An acceleration run on a straight: from rest or rolling, through the gears, to a mark.
 *
 * In: compiled kart, surface, options. Out: columns over time, times and speeds at marks, shifts, the
 * traction-limited stretch. Time is integrated by odex in phases that are smooth each: slipping clutch,
 * grip-limited, one gear, shift. Every phase ends at a located event.
 */
import type { Gear } from '../compile/drivetrain.ts';
import { engineSpeedAt, smoothThrustAt } from '../compile/drivetrain.ts';
import type { CompiledKart, SurfacePair } from '../compile/kart.ts';
import { evaluateCubic } from '../numerics/monotone-cubic.ts';
import type { OdeEvent } from '../numerics/ode.ts';
import { integratePhase } from '../numerics/ode.ts';
import { CONSTRAINT } from '../physics/grip/grip-inputs.ts';
import type { Envelope } from '../physics/grip-envelope.ts';
import { gripEnvelope } from '../physics/grip-envelope.ts';
import type { Problem } from '../project/problem.ts';
import { problem } from '../project/problem.ts';
import type { Limit } from './limit.ts';
import { LIMIT, LIMITS } from './limit.ts';
import type { Outcome } from './outcome.ts';
import { driveCap, placeStraight } from './thrust.ts';

export interface AccelerationOptions {
  /** m/s; 0 starts from rest with the clutch slipping */
  readonly fromSpeed?: number;
  /** Gear to start in, counted from 1; the one a driver would be in where absent */
  readonly gear?: number;
  readonly grade?: number;
  /** Stop when this distance (m) or speed (m/s) is reached; the last mark otherwise */
  readonly toDistance?: number;
  readonly toSpeed?: number;
  /** Start the clock after the first foot, as a start beam does */
  readonly oneFootRollout?: boolean;
  /** Further marks */
  readonly distances?: readonly number[];
  readonly speeds?: readonly number[];
  /** Relative and absolute tolerance of the integration */
  readonly tolerance?: number;
}

export interface Mark {
  readonly label: string;
  readonly kind: 'distance' | 'speed';
  readonly target: number;
  /** Null where the run ends before it */
  readonly time: number | null;
  readonly speed: number | null;
  readonly distance: number | null;
}

export interface AccelerationResult {
  readonly kart: string;
  readonly surface: string;
  readonly time: number;
  readonly distance: number;
  readonly speed: number;
  readonly marks: readonly Mark[];
  /** Null on a belt, which shifts by itself: `columns.gear` tells which part of its range it is in */
  readonly shifts:
    | readonly {
        readonly time: number;
        readonly speed: number;
        readonly into: string;
        readonly engineSpeed: number;
      }[]
    | null;
  readonly gearNames: readonly string[];
  /** Time, distance and speed up to which the tyres and not the engine set the pace; zeros if they never do */
  readonly tractionLimited: { readonly time: number; readonly distance: number; readonly untilSpeed: number };
  readonly clutchLocksAt: number | null;
  readonly limits: readonly Limit[];
  readonly columns: {
    readonly time: Float64Array;
    readonly distance: Float64Array;
    readonly speed: Float64Array;
    readonly acceleration: Float64Array;
    /** Place in `gearNames`, from 0 */
    readonly gear: Uint8Array;
    readonly engineSpeed: Float64Array;
    readonly limit: Uint8Array;
  };
}

const FOOT = 0.3048;
const KMH = 1 / 3.6;
const MPH = 0.44704;
/** The usual marks: drag-strip distances by definition of the foot, round metres, round speeds. */
export const STANDARD_MARKS: readonly {
  readonly label: string;
  readonly distance?: number;
  readonly speed?: number;
}[] = [
  { label: '60 ft', distance: 60 * FOOT },
  { label: '50 m', distance: 50 },
  { label: '100 m', distance: 100 },
  { label: '200 m', distance: 200 },
  { label: '1/8 mile', distance: 660 * FOOT },
  { label: '1/4 mile', distance: 1320 * FOOT },
  { label: '0-50 km/h', speed: 50 * KMH },
  { label: '0-60 mph', speed: 60 * MPH },
  { label: '0-100 km/h', speed: 100 * KMH },
];

const DEFAULT_TOLERANCE = 1e-9;
const MAX_PHASES = 400;
/** A run that needs more work than this is given up: a hundred times a quarter mile. */
const MAX_EVALUATIONS = 300_000;
/** A kart that needs longer than this for its run is told so, s. */
const LONGEST = 300;
const SAMPLE_EVERY = 0.05;
const MAX_STEP = 0.5;
/** Share of its upshift speed below which a gear is left downwards on a hill. */
const DOWNSHIFT_BELOW = 0.93;

type Phase = 'slip' | 'drive' | 'shift';

export function runAcceleration(
  kart: CompiledKart,
  surface: SurfacePair,
  options: AccelerationOptions = {},
): Outcome<AccelerationResult> {
  const { drivetrain } = kart;
  const { gears } = drivetrain;
  const grade = options.grade ?? 0;
  const fromSpeed = options.fromSpeed ?? 0;
  const tolerance = options.tolerance ?? DEFAULT_TOLERANCE;
  const env = gripEnvelope(kart.envelope, surface.front.grip, surface.rear.grip);
  const wanted = [
    // Of a rolling start they are no speeds from rest.
    ...STANDARD_MARKS.map((mark) =>
      fromSpeed > 0 ? { ...mark, label: mark.label.replace(/^0-/, 'to ') } : mark,
    ),
    ...(options.distances ?? []).map((distance) => ({ label: `${tidy(distance)} m`, distance })),
    ...(options.speeds ?? []).map((speed) => ({ label: `${tidy(speed / KMH)} km/h`, speed })),
    ...(options.toSpeed === undefined
      ? []
      : [{ label: `to ${tidy(options.toSpeed / KMH)} km/h`, speed: options.toSpeed }]),
    ...(options.toDistance === undefined
      ? []
      : [{ label: `to ${tidy(options.toDistance)} m`, distance: options.toDistance }]),
  ].filter(({ label }, i, all) => all.findIndex((mark) => mark.label === label) === i) as readonly {
    label: string;
    distance?: number;
    speed?: number;
  }[];
  const rollout = options.oneFootRollout === true ? FOOT : 0;
  const endDistance =
    options.toDistance !== undefined
      ? options.toDistance + rollout
      : options.toSpeed !== undefined
        ? Number.POSITIVE_INFINITY
        : 1320 * FOOT + rollout;
  const endSpeed = options.toSpeed ?? Number.POSITIVE_INFINITY;

  let gear = options.gear === undefined || drivetrain.isBelt ? firstGear(gears, fromSpeed) : options.gear - 1;
  if (gears[gear] === undefined) {
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
  if (fromSpeed > gears[gear]!.limitSpeed * (1 + 1e-9)) {
    return {
      status: 'problems',
      diagnostics: {},
      problems: [
        problem('over-rev', 'options', 'the start is faster than the limiter allows in its gear', {
          value: `${tidy(fromSpeed / KMH)} km/h in gear ${gears[gear]!.name}`,
          limit: `${tidy(gears[gear]!.limitSpeed / KMH)} km/h`,
          remedy: 'start slower, in a higher gear where there is one, or on a taller final drive',
        }),
      ],
    };
  }
  if (options.toSpeed !== undefined && !(options.toSpeed > fromSpeed)) {
    return {
      status: 'problems',
      diagnostics: {},
      problems: [
        problem('speeds', 'options', 'the last speed of an acceleration must be above the first', {
          value: `${tidy(fromSpeed / KMH)} to ${tidy(options.toSpeed / KMH)} km/h`,
          remedy: 'ask for a higher speed, or for a stop',
        }),
      ],
    };
  }
  let phase = startPhase(fromSpeed === 0 || fromSpeed < gears[gear]!.slipSpeed);
  const launching = fromSpeed === 0;
  let slipTorque = launching
    ? drivetrain.launch.torque
    : evaluateCubic(drivetrain.torque, drivetrain.torque.knots[0]!);
  let slipEnd = launching
    ? drivetrain.launch.engineSpeed / gears[gear]!.enginePerSpeed
    : gears[gear]!.slipSpeed;
  /** An upshift was refused where it was due: the gear is kept up to the limiter. */
  let staysInGear = false;
  let shiftUntil = 0;
  let into = gear;

  const rows: { t: number; s: number; v: number; a: number; gear: number; phase: Phase; limit: number }[] =
    [];
  const hits = new Map<string, { time: number; speed: number; distance: number }>();
  const shifts: { time: number; speed: number; into: string; engineSpeed: number }[] = [];
  let tractionTime = 0;
  let tractionDistance = 0;
  let tractionSpeed = 0;
  let clutchLocksAt: number | null = null;
  let evaluations = 0;
  let t = 0;
  let s = 0;
  let v = fromSpeed;
  let outcome = 'end' as 'end' | 'stalled' | 'too-long' | 'no faster' | 'failed' | 'steady';

  const force = (speed: number): { force: number; mass: number } => {
    if (phase === 'shift') return { force: 0, mass: drivetrain.coastMass };
    const g = gears[gear]!;
    if (phase === 'slip') return { force: slipTorque * g.thrustPerTorque, mass: drivetrain.coastMass };
    return { force: smoothThrustAt(drivetrain, g, Math.max(speed, 1e-9)), mass: g.driveMass };
  };
  let gripping = false;
  /** Set where the last phase ended because the tyres or the engine took over. */
  let changed: boolean | undefined;
  const acceleration = (speed: number): number => {
    placeStraight(env, Math.max(0, speed), grade);
    const { force: thrust, mass } = force(speed);
    const x = gripping ? driveCap(env, kart) : env.driveForce(thrust, mass);
    return (x - env.resistance(x)) / kart.mass;
  };
  /** Contact force asked beyond what the tyres carry, N; positive: grip-limited. */
  const gripExcess = (speed: number): number => {
    placeStraight(env, Math.max(0, speed), grade);
    const { force: thrust, mass } = force(speed);
    return env.driveExcess(env.driveForce(thrust, mass));
  };

  if (fromSpeed === 0) markPassed();
  for (let phases = 0; ; phases++) {
    if (phases >= MAX_PHASES || t >= LONGEST || evaluations > MAX_EVALUATIONS) {
      outcome = 'too-long';
      break;
    }
    gripping = phase !== 'shift' && (changed ?? gripExcess(v) > 1e-6);
    changed = undefined;
    const a0 = acceleration(v);
    if (v <= 0 && a0 <= 0) {
      outcome = 'stalled';
      break;
    }
    const g = gears[gear]!;
    const hasNext = gear + 1 < gears.length;
    const up = hasNext && !staysInGear ? Math.min(g.upshiftSpeed, g.limitSpeed) : g.limitSpeed;
    // Here already at the start of a phase, too: a clutch may lock, or a shift end, beyond the speed of the next shift.
    if (phase === 'drive' && v >= up * (1 - 1e-12)) {
      if (
        hasNext &&
        (g.kind === 'held' || drivetrain.upshiftTime === 0 || pullsAfterShift(gear + 1)) &&
        (a0 >= 0 || v < g.limitSpeed * (1 - 1e-12))
      ) {
        beginShift(gear + 1, drivetrain.upshiftTime);
        continue;
      }
      if (v < g.limitSpeed * (1 - 1e-12)) {
        staysInGear = true;
        continue;
      }
      if (a0 >= 0) {
        outcome = 'steady';
        break;
      }
    }
    const events: OdeEvent[] = [
      ...wanted
        .filter((m) => !hits.has(m.label))
        .map(
          (m): OdeEvent => ({
            name: m.label,
            value: (_t, y) => (m.distance !== undefined ? y[0]! - m.distance - rollout : y[1]! - m.speed!),
            passing: true,
          }),
        ),
      ...(rollout > 0 && s < rollout
        ? [
            {
              name: 'rollout',
              value: (_t: number, y: readonly number[]) => y[0]! - rollout,
              passing: true as const,
            },
          ]
        : []),
    ];
    if (Number.isFinite(endDistance)) events.push({ name: 'end', value: (_t, y) => y[0]! - endDistance });
    if (Number.isFinite(endSpeed)) events.push({ name: 'end', value: (_t, y) => y[1]! - endSpeed });
    events.push({ name: 'stall', value: (_t, y) => 1e-6 - y[1]! });
    if (phase === 'slip') events.push({ name: 'lock', value: (_t, y) => y[1]! - slipEnd });
    if (phase === 'drive') {
      events.push({ name: 'up', value: (_t, y) => y[1]! - up });
      if (gear > 0) {
        const down = gears[gear - 1]!.upshiftSpeed * DOWNSHIFT_BELOW;
        if (v > down) events.push({ name: 'down', value: (_t, y) => down - y[1]! });
      }
    }
    if (phase !== 'shift') {
      const sign = gripping ? -1 : 1;
      events.push({ name: 'grip', value: (_t, y) => sign * gripExcess(y[1]!) - (gripping ? 0 : 1e-9) });
    }
    const until = phase === 'shift' ? shiftUntil : LONGEST;
    const limit = gripping
      ? gripLimit(env, v)
      : phase === 'slip'
        ? LIMIT.clutch
        : phase === 'shift'
          ? LIMIT.shift
          : LIMIT.power;
    const from = { t, s, v };
    rows.push({ t, s, v, a: a0, gear, phase, limit });
    const run = integratePhase({
      derivative: (_t, y) => [y[1]!, acceleration(y[1]!)],
      start: t,
      state: [s, v],
      end: until,
      events,
      tolerance,
      maxStep: MAX_STEP,
      sampleEvery: SAMPLE_EVERY,
    });
    evaluations += run.evaluations;
    for (const p of run.passed) hits.set(p.name, { time: p.t, distance: p.y[0]!, speed: p.y[1]! });
    for (const p of run.samples)
      rows.push({ t: p.t, s: p.y[0]!, v: p.y[1]!, a: acceleration(p.y[1]!), gear, phase, limit });
    t = run.t;
    s = run.y[0]!;
    v = Math.max(0, run.y[1]!);
    rows.push({ t, s, v, a: acceleration(v), gear, phase, limit });
    if (gripping) {
      tractionTime += t - from.t;
      tractionDistance += s - from.s;
      tractionSpeed = v;
    }
    if (run.status === 'failed') {
      outcome = 'failed';
      break;
    }
    if (run.status === 'end') {
      if (phase !== 'shift') {
        outcome = 'too-long';
        break;
      }
      gear = into;
      engage();
      continue;
    }
    if (run.event === 'end') break;
    if (run.event === 'stall') {
      outcome = 'stalled';
      break;
    }
    if (run.event === 'lock') {
      clutchLocksAt ??= t;
      phase = 'drive';
      v = Math.max(v, slipEnd);
    } else if (run.event === 'up') {
      v = up;
    } else if (run.event === 'down') {
      beginShift(gear - 1, drivetrain.downshiftTime);
    } else if (run.event === 'grip') {
      changed = !gripping;
    }
  }
  if (outcome === 'steady') coastAtLimiter();

  const startTime = rollout > 0 ? (hits.get('rollout')?.time ?? 0) : 0;
  const problems: Problem[] = [];
  if (outcome === 'stalled') {
    problems.push(
      problem('stalls', `karts.${kart.id}`, `the kart does not get away: it stops after ${s.toFixed(1)} m`, {
        value: `grade ${(grade * 100).toFixed(0)} %`,
        remedy: 'shorten the gearing, or look at the grip and the grade',
      }),
    );
  }
  if (outcome === 'too-long') {
    problems.push(
      problem('not-reached', `karts.${kart.id}`, `the mark is not reached within ${LONGEST} s`, {
        value: `${(v / KMH).toFixed(1)} km/h after ${s.toFixed(0)} m`,
        remedy: 'ask for a nearer mark',
      }),
    );
  }
  if (outcome === 'no faster') {
    problems.push(
      problem(
        'no-faster',
        `karts.${kart.id}`,
        'the kart does not get that fast here: it runs into its limiter',
        {
          value: `${(v / KMH).toFixed(1)} km/h in gear ${gears[gear]!.name} after ${s.toFixed(0)} m`,
          remedy: 'ask for a lower speed, or gear it taller',
        },
      ),
    );
  }
  if (outcome === 'failed')
    problems.push(problem('numbers', `karts.${kart.id}`, 'the integration met a number that is not finite'));
  const marks = wanted.map((m): Mark => {
    const passed = hits.get(m.label);
    // Marks passed before the clock starts are not timed.
    const hit = passed !== undefined && passed.time >= startTime ? passed : undefined;
    const kind = m.distance !== undefined ? 'distance' : 'speed';
    return {
      label: m.label,
      kind,
      target: m.distance ?? m.speed ?? 0,
      time: hit === undefined ? null : hit.time - startTime,
      speed: hit?.speed ?? null,
      distance: hit === undefined ? null : hit.distance - rollout,
    };
  });
  return {
    status:
      outcome === 'failed'
        ? 'failed'
        : outcome === 'stalled' || outcome === 'too-long' || outcome === 'no faster'
          ? 'partial'
          : 'done',
    problems,
    diagnostics: { evaluations, rows: rows.length, tolerance },
    result: {
      kart: kart.name,
      surface: surface.id,
      time: t - startTime,
      distance: Math.max(0, s - rollout),
      speed: v,
      marks,
      shifts: drivetrain.isBelt ? null : shifts.map((x) => ({ ...x, time: x.time - startTime })),
      gearNames: drivetrain.gearNames,
      tractionLimited: { time: tractionTime, distance: tractionDistance, untilSpeed: tractionSpeed },
      clutchLocksAt: clutchLocksAt === null ? null : clutchLocksAt - startTime,
      limits: LIMITS,
      columns: {
        time: Float64Array.from(rows, (r) => r.t - startTime),
        distance: Float64Array.from(rows, (r) => r.s - rollout),
        speed: Float64Array.from(rows, (r) => r.v),
        acceleration: Float64Array.from(rows, (r) => r.a),
        gear: Uint8Array.from(rows, (r) => r.gear),
        engineSpeed: Float64Array.from(rows, (r) =>
          r.phase === 'slip'
            ? launching
              ? drivetrain.launch.engineSpeed
              : drivetrain.torque.knots[0]!
            : engineSpeedAt(drivetrain, gears[r.gear]!, r.v),
        ),
        limit: Uint8Array.from(rows, (r) => r.limit),
      },
    },
  };

  function beginShift(target: number, duration: number): void {
    shifts.push({
      time: t,
      speed: v,
      into: gears[target]!.name,
      engineSpeed: engineSpeedAt(drivetrain, gears[gear]!, v),
    });
    into = target;
    if (duration > 0) {
      phase = 'shift';
      shiftUntil = t + duration;
    } else {
      gear = target;
      engage();
    }
  }

  /** In gear after a shift: the clutch slips on where the engine would be below its lowest known point. */
  function engage(): void {
    const { slipSpeed } = gears[gear]!;
    staysInGear = false;
    phase = startPhase(v < slipSpeed);
    if (v < slipSpeed) {
      slipTorque = evaluateCubic(drivetrain.torque, drivetrain.torque.knots[0]!);
      slipEnd = slipSpeed;
    }
  }

  /** False where the kart would lose so much speed in the shift that the next gear could not gain any. */
  function pullsAfterShift(target: number): boolean {
    const before = { phase, gear, gripping };
    phase = 'shift';
    gripping = false;
    const after = v + acceleration(v) * drivetrain.upshiftTime;
    phase = 'drive';
    gear = target;
    const pulls = after > 0 && acceleration(after) > 0;
    ({ phase, gear, gripping } = before);
    return pulls;
  }

  /** At the limiter of the last gear the rest of the run goes on at that speed. */
  function coastAtLimiter(): void {
    if (!Number.isFinite(endDistance) || s >= endDistance) {
      if (Number.isFinite(endSpeed)) outcome = 'no faster';
      return;
    }
    for (const m of wanted) {
      if (m.distance !== undefined && !hits.has(m.label) && m.distance + rollout <= endDistance) {
        hits.set(m.label, {
          time: t + (m.distance + rollout - s) / v,
          distance: m.distance + rollout,
          speed: v,
        });
      }
    }
    t += (endDistance - s) / v;
    s = endDistance;
    rows.push({ t, s, v, a: 0, gear, phase: 'drive', limit: LIMIT.revLimiter });
  }

  /** Marks already behind a standing start. */
  function markPassed(): void {
    for (const m of wanted)
      if (m.distance === 0 || m.speed === 0) hits.set(m.label, { time: 0, distance: 0, speed: 0 });
  }

  function gripLimit(envelope: Envelope, speed: number): number {
    placeStraight(envelope, speed, grade);
    driveCap(envelope, kart);
    const which = envelope.constraint();
    return which === CONSTRAINT.frontLift
      ? LIMIT.frontLift
      : which === CONSTRAINT.front
        ? LIMIT.frontGrip
        : LIMIT.rearGrip;
  }
}

function startPhase(slips: boolean): Phase {
  return slips ? 'slip' : 'drive';
}

function firstGear(gears: readonly Gear[], v: number): number {
  let k = 0;
  while (k + 1 < gears.length && v >= gears[k]!.upshiftSpeed) k++;
  return k;
}

function tidy(x: number): string {
  return String(Number(x.toPrecision(5)));
}
