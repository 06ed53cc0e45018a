/**
 * A lap or a run along an open course, described station by station.
 *
 * In: compiled kart and track, how it starts. Out: columns over distance (speed, gear, engine speed,
 * throttle, brake, accelerations, wheel loads, grip used, what limits the kart) and a summary.
 */

import { engineSpeedAt, overrunDragAt, overrunEngineSpeedAt, thrustAt } from '../compile/drivetrain.ts';
import type { CompiledKart, SurfacePair } from '../compile/kart.ts';
import { scaleGrip, surfaceOf } from '../compile/kart.ts';
import type { LineChoice } from '../compile/kept-line.ts';
import type { CompiledTrack } from '../compile/track.ts';
import type { Problem } from '../project/problem.ts';
import { isBlocking, problem, warning } from '../project/problem.ts';
import type { EngineBraking } from './lap/braking-pass.ts';
import { limiterBeforeBraking, tipMargin } from './lap/lap-figures.ts';
import type { LapProblem } from './lap/lap-problem.ts';
import { lapProblem } from './lap/lap-problem.ts';
import type { LapSolution, LapStart } from './lap-solver.ts';
import { solveLap } from './lap-solver.ts';
import type { Limit } from './limit.ts';
import { LIMIT, LIMITS } from './limit.ts';
import type { Outcome } from './outcome.ts';
import { refused } from './outcome.ts';

export interface LapOptions {
  /** Flying lap (closed tracks), standing start, or rolling past the start of an open course. */
  readonly start?: LapStart;
  readonly engineBraking?: EngineBraking;
  /** The line driven: as drawn unless said. A kept line is that of this kart and day, or the nearest there is. */
  readonly line?: LineChoice;
}

export interface LapColumns {
  readonly distance: Float64Array;
  /** Time since the start of the lap at each station, s */
  readonly time: Float64Array;
  readonly speed: Float64Array;
  readonly gear: Uint8Array;
  /** rad/s */
  readonly engineSpeed: Float64Array;
  /** 0 to 1 of the thrust there is */
  readonly throttle: Float64Array;
  /** Braking force of the brakes, N */
  readonly brake: Float64Array;
  readonly longitudinal: Float64Array;
  /** v^2 kappa, m/s2, left positive */
  readonly lateral: Float64Array;
  /** Vertical loads, N */
  readonly frontLeft: Float64Array;
  readonly frontRight: Float64Array;
  readonly rearLeft: Float64Array;
  readonly rearRight: Float64Array;
  /** Share of the grip used per axle */
  readonly useFront: Float64Array;
  readonly useRear: Float64Array;
  /** Index into `limits` */
  readonly limit: Uint8Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Of the road, m */
  readonly height: Float64Array;
  /** Rise over horizontal run, uphill positive */
  readonly grade: Float64Array;
  /** Of the track, m */
  readonly width: Float64Array;
  /** From the line driven to the edges, m */
  readonly left: Float64Array;
  readonly right: Float64Array;
  readonly surface: Uint8Array;
}

export interface LapResult {
  readonly track: string;
  readonly kart: string;
  readonly start: LapStart;
  readonly time: number;
  readonly length: number;
  readonly topSpeed: number;
  readonly topSpeedAt: number;
  readonly lowestSpeed: number;
  readonly lowestSpeedAt: number;
  readonly averageSpeed: number;
  /** Null on a belt, which shifts by itself */
  readonly shifts: number | null;
  readonly gearNames: readonly string[];
  readonly timeInGear: readonly number[];
  readonly timeAtLimiter: number;
  /** Longest stretch on the limiter that ends in braking, m */
  readonly limiterBeforeBraking: number;
  /** Time per limit, s, in the order of `limits` */
  readonly timeAtLimit: readonly number[];
  readonly limits: readonly Limit[];
  /** Share of the slowing that the engine does, air, rolling and grade left out; 0 without braking */
  readonly engineShareOfSlowing: number;
  /** Smallest (tip limit - lateral acceleration)/tip limit round the lap */
  readonly tipMargin: number;
  readonly tipMarginAt: number;
  readonly surfaces: readonly string[];
  readonly columns: LapColumns;
}

/** Everything that must hold between one kart and one track before a lap makes sense. */
export function pairKartAndTrack(
  kart: CompiledKart,
  track: CompiledTrack,
  trackId: string,
): { pairs: SurfacePair[]; problems: Problem[] } {
  const problems: Problem[] = [];
  const pairs: SurfacePair[] = [];
  for (const id of track.surfaces) {
    const found = surfaceOf(kart, id);
    if ('severity' in found) problems.push(found);
    else pairs.push(found);
  }
  if (track.tightest.radius < kart.turningRadius) {
    problems.push(
      problem(
        'too-tight',
        `tracks.${trackId}`,
        `the track is tighter than the kart can turn, ${track.tightest.distance.toFixed(0)} m from the start`,
        {
          value: `radius ${track.tightest.radius.toFixed(2)} m`,
          limit: `turning radius ${kart.turningRadius.toFixed(2)} m`,
          remedy: 'widen the bend, or correct the turning radius of the chassis',
        },
      ),
    );
  }
  if (track.narrowest.width < kart.width) {
    problems.push(
      problem(
        'too-narrow',
        `tracks.${trackId}`,
        `the track is narrower than the kart, ${track.narrowest.distance.toFixed(0)} m from the start`,
        {
          value: `${track.narrowest.width.toFixed(2)} m wide`,
          limit: `kart ${kart.width.toFixed(2)} m wide`,
          remedy: 'correct the width of the track or of the chassis',
        },
      ),
    );
  }
  return { pairs, problems };
}

/** A lap driven but not described yet. */
export interface DrivenLap {
  readonly lap: LapProblem;
  readonly solution: LapSolution;
  readonly start: LapStart;
  readonly problems: Problem[];
  readonly diagnostics: Outcome<never>['diagnostics'];
}

export function runLap(
  kart: CompiledKart,
  track: CompiledTrack,
  trackId: string,
  options: LapOptions = {},
): Outcome<LapResult> {
  const driven = driveLap(kart, track, trackId, options);
  if ('status' in driven) return driven;
  const { lap, solution, start, problems, diagnostics } = driven;
  const result = describeLap(lap, solution, start);
  if (result.timeAtLimit[LIMIT.tip]! > 0) {
    problems.push(
      warning(
        'tips',
        `karts.${kart.id}`,
        'the kart would tip before it slides: the lap is held at the point where the inner wheels lift',
        {
          value: `${result.timeAtLimit[LIMIT.tip]!.toFixed(2)} s of the lap`,
          remedy:
            'lower the centre of gravity, widen the track or fit tyres with less grip; ruts and kerbs tip it sooner still',
        },
      ),
    );
  }
  return { status: 'done', problems, result, diagnostics };
}

/** Drives the lap; an outcome without a result where it cannot be driven. */
export function driveLap(
  kart: CompiledKart,
  track: CompiledTrack,
  trackId: string,
  options: LapOptions = {},
): DrivenLap | Outcome<never> {
  const { pairs, problems } = pairKartAndTrack(kart, track, trackId);
  const start = options.start ?? (track.closed ? 'flying' : track.startSpeed > 0 ? 'rolling' : 'standing');
  if (start === 'flying' && !track.closed) {
    problems.push(
      problem('needs-closed-track', `tracks.${trackId}`, 'a flying lap needs a closed track', {
        remedy: 'start standing or rolling',
      }),
    );
  }
  if (isBlocking(problems)) return refused(problems);
  if (track.closed && kart.envelope.headwind !== 0) {
    problems.push(
      warning(
        'wind-left-out',
        `tracks.${trackId}`,
        'round a closed track the wind comes from every side: it is left out of the lap',
        { remedy: 'wind along the course counts on straight runs and open courses' },
      ),
    );
  }
  const driven = asDriven(kart, track, pairs);
  const lap = lapProblem(driven.kart, track, driven.pairs);
  const solution = solveLap(lap, { start, engineBraking: options.engineBraking ?? 'as it pays' });
  const diagnostics = { stations: track.count, rounds: solution.rounds, residual: solution.residual };
  if (solution.status === 'impossible') {
    return {
      status: 'failed',
      problems: [
        ...problems,
        problem(
          'cannot-drive',
          `tracks.${trackId}`,
          `no speed keeps the kart on the track ${placeOf(track, solution.failedAt)}`,
          {
            value: gradeText(track, solution.failedAt),
            remedy: 'check the grip of the surface, the grade and the bank there',
          },
        ),
      ],
      diagnostics,
    };
  }
  if (solution.status === 'runaway') {
    return {
      status: 'failed',
      problems: [
        ...problems,
        problem(
          'cannot-slow',
          `tracks.${trackId}`,
          `the brakes cannot slow the kart for what follows ${placeOf(track, solution.failedAt)}: it would run away`,
          {
            value: gradeText(track, solution.failedAt),
            remedy: 'look at the grip, the grade and the brake balance there',
          },
        ),
      ],
      diagnostics,
    };
  }
  if (solution.status === 'stalled') {
    return {
      status: 'failed',
      problems: [
        ...problems,
        problem(
          'stalls',
          `tracks.${trackId}`,
          `the kart comes to a stop ${placeOf(track, solution.failedAt)}: its thrust or its grip does not overcome rolling, air and grade there`,
          {
            value: gradeText(track, solution.failedAt),
            remedy: 'shorten the gearing, or look at the grip and the grade there',
          },
        ),
      ],
      diagnostics: { ...diagnostics, stalledAt: track.distance[solution.failedAt]! },
    };
  }
  const startSpeed = Math.sqrt(solution.squared[0]!);
  if (start === 'rolling' && track.startSpeed > startSpeed * (1 + 1e-6)) {
    problems.push(
      warning(
        'start-slower',
        `tracks.${trackId}.startSpeed`,
        'the start is taken slower than the track says: faster, the kart could not hold what follows or is beyond its limiter',
        {
          value: `${(track.startSpeed * 3.6).toFixed(0)} km/h`,
          limit: `${(startSpeed * 3.6).toFixed(1)} km/h`,
          remedy: 'take the place of the start, or its speed, from a run',
        },
      ),
    );
  }
  if (solution.status === 'unsettled') {
    problems.push(
      warning('unsettled', `tracks.${trackId}`, 'the flying lap did not repeat itself exactly', {
        value: `relative change ${solution.residual.toExponential(1)}`,
      }),
    );
  }
  return { lap, solution, start, problems, diagnostics };
}

/** A kart at its driver's share of grip, out of the wind where the track goes round, with its grip by surface. */
export function asDriven(
  kart: CompiledKart,
  track: CompiledTrack,
  pairs: readonly SurfacePair[],
): { readonly kart: CompiledKart; readonly pairs: readonly SurfacePair[] } {
  const driven = calmOn(track, scaleGrip(kart, kart.driver.gripUse));
  return { kart: driven, pairs: pairs.map((pair) => driven.surfaces.find((s) => s.id === pair.id)!) };
}

/** Round a closed track the wind of the day, which is only known along the course, is left out. */
function calmOn(track: CompiledTrack, kart: CompiledKart): CompiledKart {
  return track.closed && kart.envelope.headwind !== 0
    ? { ...kart, envelope: { ...kart.envelope, headwind: 0 } }
    : kart;
}

function gradeText(track: CompiledTrack, station: number): string {
  return `grade ${(100 * Math.tan(Math.asin(track.sinGrade[Math.max(0, station)]!))).toFixed(1)} %`;
}

function placeOf(track: CompiledTrack, station: number): string {
  return `${track.distance[Math.max(0, station)]!.toFixed(0)} m from the start`;
}

/** Turns a solution into columns and a summary. */
export function describeLap(lap: LapProblem, solution: LapSolution, start: LapStart): LapResult {
  const { kart, track, envelopes } = lap;
  const { drivetrain, envelope } = kart;
  const n = track.count;
  const mass = kart.mass;
  const column = () => new Float64Array(n);
  const c = {
    distance: track.distance,
    time: column(),
    speed: column(),
    gear: solution.gear,
    engineSpeed: column(),
    throttle: column(),
    brake: column(),
    longitudinal: column(),
    lateral: column(),
    frontLeft: column(),
    frontRight: column(),
    rearLeft: column(),
    rearRight: column(),
    useFront: column(),
    useRear: column(),
    limit: solution.limit,
    x: track.x,
    y: track.y,
    height: track.height,
    grade: track.sinGrade.map((sin) => sin / Math.sqrt(1 - sin * sin)),
    width: track.width,
    left: track.left,
    right: track.right,
    surface: track.surface,
  };
  const loads = new Float64Array(4);
  const use = new Float64Array(2);
  const timeInGear = drivetrain.gears.map(() => 0);
  const timeAtLimit = LIMITS.map(() => 0);
  let elapsed = 0;
  let topSpeed = 0;
  let topSpeedAt = 0;
  let lowestSpeed = Number.POSITIVE_INFINITY;
  let lowestSpeedAt = 0;
  let engineWork = 0;
  let brakeWork = 0;
  let leastMargin = Number.POSITIVE_INFINITY;
  let tipMarginAt = 0;
  const spin = envelope.spinFront + envelope.spinRear;
  for (let i = 0; i < n; i++) {
    const v = Math.sqrt(solution.squared[i]!);
    const k = solution.gear[i]!;
    const gear = drivetrain.gears[k]!;
    const env = envelopes[track.surface[i]!]!;
    env.place(
      v,
      track.lateralV[i]!,
      track.lateralG[i]!,
      track.normalV[i]!,
      track.normalG[i]!,
      track.sinGrade[i]!,
    );
    const a = solution.acceleration[i]!;
    const x = env.forceFor(a);
    const isBraking = solution.braking[i] === 1 || x < 0;
    const engine = isBraking && solution.clutchDipped[i] === 0 ? overrunDragAt(drivetrain, gear, v) : 0;
    const engineMass = engine > 0 ? gear.overrunEngineMass : 0;
    env.loads(x, loads);
    env.use(x, isBraking, engine, engineMass, use);
    const lateral = v * v * track.curvature[i]!;
    const side = v * v * track.lateralV[i]! + envelope.gravity * track.lateralG[i]!;
    const left = side > 0;
    c.time[i] = elapsed;
    c.speed[i] = v;
    // On closed throttle a belt stands in its high ratio, whatever it held before.
    c.engineSpeed[i] = isBraking
      ? overrunEngineSpeedAt(drivetrain, gear, v)
      : engineSpeedAt(drivetrain, gear, v);
    c.longitudinal[i] = a;
    c.lateral[i] = lateral;
    // Turning left loads the right wheels.
    c.frontLeft[i] = left ? loads[2]! : loads[0]! - loads[2]!;
    c.frontRight[i] = left ? loads[0]! - loads[2]! : loads[2]!;
    c.rearLeft[i] = left ? loads[3]! : loads[1]! - loads[3]!;
    c.rearRight[i] = left ? loads[1]! - loads[3]! : loads[3]!;
    c.useFront[i] = use[0]!;
    c.useRear[i] = use[1]!;
    if (isBraking) {
      const brakes = Math.max(0, -x - engine - (spin + engineMass) * a);
      c.brake[i] = brakes;
      const h = v * solution.stepTime[i]!;
      engineWork += Math.min(engine, Math.max(0, -x - (spin + engineMass) * a)) * h;
      brakeWork += brakes * h;
    } else if (solution.limit[i] !== LIMIT.shift) {
      const available = thrustAt(drivetrain, gear, Math.max(v, 1e-3));
      const asked = x + (gear.driveMass - mass) * a;
      c.throttle[i] = available > 0 ? Math.min(1, Math.max(0, asked / available)) : 0;
    }
    const dt = solution.stepTime[i]!;
    elapsed += dt;
    timeInGear[k] = timeInGear[k]! + dt;
    timeAtLimit[solution.limit[i]!] = timeAtLimit[solution.limit[i]!]! + dt;
    if (v > topSpeed) {
      topSpeed = v;
      topSpeedAt = track.distance[i]!;
    }
    if (v < lowestSpeed) {
      lowestSpeed = v;
      lowestSpeedAt = track.distance[i]!;
    }
    const margin = tipMargin(kart, side, loads);
    if (margin < leastMargin) {
      leastMargin = margin;
      tipMarginAt = track.distance[i]!;
    }
  }
  const slowing = engineWork + brakeWork;
  return {
    track: track.name,
    kart: kart.name,
    start,
    time: solution.time,
    length: track.length,
    topSpeed,
    topSpeedAt,
    lowestSpeed,
    lowestSpeedAt,
    averageSpeed: solution.time > 0 ? track.length / solution.time : 0,
    shifts: drivetrain.isBelt ? null : solution.shifts,
    gearNames: drivetrain.gearNames,
    timeInGear,
    timeAtLimiter: timeAtLimit[LIMIT.revLimiter]!,
    limiterBeforeBraking: limiterBeforeBraking(track, solution),
    timeAtLimit,
    limits: LIMITS,
    engineShareOfSlowing: slowing > 0 ? engineWork / slowing : 0,
    tipMargin: leastMargin,
    tipMarginAt,
    surfaces: track.surfaces,
    columns: c,
  };
}
