/**
 * Does the estimate match a log? First the raw gap, then a fit of what the log can tell, and what that does to the laps.
 *
 * In: project, notes, a log, who drove where, and a way to have runs answered (by a worker or here). Out: plain data. The
 * rules by which a value is refused stand in refusals.ts; bounds and causes in fit-values.ts. Intervals come from the
 * covariance, s^2 (J'J)^-1 with s^2 widened for residuals that hang together in time, and from refitting runs drawn with
 * replacement (one Gauss-Newton step from the fit: the one-step bootstrap, A. C. Davison and D. V. Hinkley, Bootstrap methods
 * and their application, 1997, section 7.2 on fits near to linear), the wider of the two; to that from-inputs.ts adds how sure
 * the file is of the masses, the air, the wind and every other input that is not fitted. The ground is level or one plane, whose slope slope-fit.ts
 * finds along where places tell which way runs went.
 */
import type { InputChange } from '../../project/changed-inputs.ts';
import { withInputs } from '../../project/changed-inputs.ts';
import type { InputNote } from '../../project/origins.ts';
import type { Problem } from '../../project/problem.ts';
import { problem } from '../../project/problem.ts';
import type { Project } from '../../project/schema.ts';
import { defaultOf, spreadOf } from '../../quantities/table.ts';
import type { RunRequest } from '../../run/perform.ts';
import type { ThrustResult } from '../../run/thrust.ts';
import { meanOf } from '../unknowns/statistics.ts';
import type { Ask } from './ask.ts';
import type { Curve, CurveGroup } from './curves.ts';
import { alongside, curveGroups, curveOf, speedAt, timeAt } from './curves.ts';
import type { DriveLog, Stretch } from './drive-log.ts';
import { fitLog } from './fit.ts';
import type { FitId, MatchWho } from './fit-values.ts';
import { changesFor, fitValuesOf } from './fit-values.ts';
import type { AlongTaken } from './from-inputs.ts';
import { movedInputs } from './from-inputs.ts';
import type { LapMatch } from './lap-match.ts';
import { matchLaps } from './lap-match.ts';
import type { LapsFound } from './laps.ts';
import { lapsOf } from './laps.ts';
import { movedCurves, onGrade } from './moved-curves.ts';
import type { FittedValue, RefusedValue } from './refusals.ts';
import type { PassedOver, Segment, SegmentKind, SegmentsFound } from './segments.ts';
import { segmentsOf } from './segments.ts';
import type { SlopeFound } from './slope-fit.ts';
import { pullsHeldByTyres, TYRES_HOLD } from './tyre-held-pulls.ts';

export interface MatchOptions extends MatchWho {
  /** For laps */
  readonly track?: string;
  /** What to fit; all the log can tell where absent. */
  readonly fit?: readonly FitId[];
  readonly seed?: number;
  /**
   * One standard deviation of the slope of the ground, rise over run, 0 for level beyond doubt. Default: as unsure as the
   * table of quantities has a grade nobody measured.
   */
  readonly levelWithin?: number;
  /** One standard deviation of the logger's speeds, relative, the same at every speed. Default: the table's. */
  readonly speedWithin?: number;
}

export interface MatchedSegment {
  readonly kind: SegmentKind;
  readonly gear?: number;
  /** s into the log */
  readonly start: number;
  readonly fromSpeed: number;
  readonly toSpeed: number;
  /** Time from the first speed to the last, logged and as the file has it: the raw gap. Null where it cannot be run. */
  readonly logged: number;
  readonly estimated: number | null;
  readonly fitted: number | null;
  /** A pull whose pace the tyres may set: it tells nothing of the engine, and is not fitted. */
  readonly tyresHold: boolean;
  readonly time: Float64Array;
  readonly speed: Float64Array;
  /** Speeds estimated at the same moments; empty where they cannot be. */
  readonly before: Float64Array;
  readonly after: Float64Array;
}

export interface MatchResult {
  readonly who: MatchWho;
  readonly duration: number;
  readonly segments: readonly MatchedSegment[];
  /** What looks like a run and was not taken for one, s into the log and why. */
  readonly passedOver: readonly (Pick<PassedOver, 'kind' | 'why'> & { readonly start: number })[];
  /** Root mean square of logged less estimated speed over all segments, m/s; null where nothing was found. */
  readonly gapBefore: number | null;
  readonly gapAfter: number | null;
  readonly values: readonly FittedValue[];
  readonly refused: readonly RefusedValue[];
  /** Of the fitted values, in their order, and the condition of the problem with its columns scaled */
  readonly correlation: readonly (readonly number[])[];
  readonly condition: number | null;
  /** How the wind of the day and the slope of the ground are counted in the intervals. */
  readonly wind: AlongTaken;
  readonly slope: AlongTaken;
  /** The slope of the ground the runs tell, where the log has places. */
  readonly slopeFound: SlopeFound | null;
  /** One standard deviation of the slope counted, rise over run */
  readonly levelWithin: number;
  /** One standard deviation of the logger's speeds counted, relative */
  readonly speedWithin: number;
  readonly laps: LapMatch | null;
  /** What of the log is of laps and therefore left out of the fit: s, and m of a lap on average where whole ones are found. */
  readonly leftOut: { readonly time: number; readonly way: number | null } | null;
  readonly problems: readonly Problem[];
}

export async function matchLog(
  project: Project,
  notes: readonly InputNote[],
  log: DriveLog,
  options: MatchOptions,
  ask: Ask,
): Promise<MatchResult> {
  const who: MatchWho = { kart: options.kart, day: options.day, surface: options.surface };
  const levelWithin = options.levelWithin ?? spreadOf('grade', 0);
  const speedWithin = options.speedWithin ?? defaultOf('loggedSpeedError');
  const held = inGearToTheLimiter(project, who);
  const found = lapsOf(log);
  const { segments, passedOver } = await findSegments(project, log, who, found.ground, ask);
  const groups = curveGroups(log, segments, who);
  const asked = async (changes: readonly InputChange[], requests: readonly RunRequest[]) =>
    requests.length === 0 ? [] : await ask(withInputs(project, [...held, ...changes]), requests);
  const curvesOf = async (list: readonly CurveGroup[], changes: readonly InputChange[]) => {
    const answers = await asked(
      changes,
      list.map((group) => group.request),
    );
    return list.map((group, k) => curveOf(group, answers[k]));
  };
  const values = fitValuesOf(project, notes, who);
  const before = await curvesOf(groups, []);
  const heldByTyres = await pullsHeldByTyres(project, who, groups, asked);
  const isHeldAll =
    heldByTyres.size > 0 &&
    groups.every((group) => group.request.verb !== 'accelerate' || heldByTyres.has(group));
  const usable = groups.filter((group, k) => before[k] !== undefined && !heldByTyres.has(group));
  const fit = await fitLog({
    log,
    groups: usable,
    values: values.filter(({ id, usual }) => (options.fit === undefined ? usual : options.fit.includes(id))),
    seed: options.seed ?? 1,
    movedBeside: (fitted) => movedInputs(project, notes, who, fitted, held, levelWithin, speedWithin),
    levelWithin,
    curvesOf,
    curvesAt: (changes) => curvesOf(usable, changes),
    curvesBeside: (changes, curves) =>
      movedCurves(usable, curves, (move, requests) =>
        asked(
          [...changes, ...move.changes],
          requests.map((request) => onGrade(request, move.grade)),
        ),
      ),
  });
  const fitted = values.filter((value) => fit.values.some(({ id }) => id === value.id));
  const changes = changesFor(
    fitted,
    fitted.map((value) => fit.values.find(({ id }) => id === value.id)!.factor),
  );
  const after = new Map<Segment, Curve | undefined>(fit.curves);
  if (fit.values.length > 0) {
    const held = [...heldByTyres];
    const curves = await curvesOf(held, changes);
    for (const [k, { segments: own }] of held.entries())
      for (const segment of own) after.set(segment, curves[k]);
  }
  // A run that cannot be as the file has it is shown in neither way.
  const matched = groups.flatMap((group, k) =>
    group.segments.map((segment) =>
      matchedSegment(
        log,
        segment,
        before[k],
        fit.values.length === 0 ? before[k] : after.get(segment),
        heldByTyres.has(group),
      ),
    ),
  );
  const laps =
    options.track === undefined
      ? null
      : await matchLaps({
          project,
          found,
          who,
          track: options.track,
          changes,
          fitted: fit.values.flatMap(({ places }) => places),
          ask,
          notes,
        });
  return {
    who,
    duration: log.time.at(-1) ?? 0,
    segments: matched.toSorted((a, b) => a.start - b.start),
    passedOver: passedOver.map(({ kind, why, from }) => ({ kind, why, start: log.time[from]! })),
    gapBefore: rootMeanSquare(matched.map((m) => [m.speed, m.before])),
    gapAfter: rootMeanSquare(matched.map((m) => [m.speed, m.after])),
    values: fit.values,
    refused: fit.refused.map((refusal) =>
      isHeldAll && refusal.ids.length === 1 && refusal.ids[0] === 'power'
        ? { ...refusal, why: TYRES_HOLD }
        : refusal,
    ),
    correlation: fit.correlation,
    condition: fit.condition,
    wind: fit.wind,
    slope: fit.slope,
    slopeFound: fit.slopeFound,
    levelWithin,
    speedWithin,
    laps,
    leftOut: leftOut(log, found),
    problems: [
      ...(matched.length === 0 && (laps?.logged.length ?? 0) === 0
        ? [
            problem(
              'nothing-found',
              '',
              `${found.ground.length === 0 ? '' : 'beside its laps '}the log shows no rolling out, no pull and no stop that lasts`,
              {
                value: `${(log.time.at(-1) ?? 0).toFixed(0)} s`,
                remedy: 'log some runs on a straight: roll out clutch in, pull at full throttle, stop hard',
              },
            ),
          ]
        : []),
      ...fit.problems,
    ],
  };
}

/** A logged pull may go on beyond where the estimate would shift: the gear is held to the limiter. */
function inGearToTheLimiter(project: Project, who: MatchWho): InputChange[] {
  const donor = project.donors[project.karts[who.kart]!.donor]!;
  return donor.gears === undefined ? [] : [{ path: `karts.${who.kart}.shiftAt`, value: donor.revLimit }];
}

function leftOut({ time }: DriveLog, { laps, ground }: LapsFound): MatchResult['leftOut'] {
  if (ground.length === 0) return null;
  let [sum, end] = [0, 0];
  for (const { from, to } of ground) {
    const [a, b] = [Math.max(from, end), Math.max(to - 1, end)];
    sum += time[b]! - time[a]!;
    end = b;
  }
  return { time: sum, way: laps.length === 0 ? null : meanOf(laps.map(({ way }) => way)) };
}

async function findSegments(
  project: Project,
  log: DriveLog,
  who: MatchWho,
  laps: readonly Stretch[],
  ask: Ask,
): Promise<SegmentsFound> {
  const fastest = log.speed.reduce((a, b) => Math.max(a, b), 3) + 1;
  const closed = (engine: 'clutch in' | 'in gear', gear?: number): RunRequest => ({
    ...who,
    verb: 'brake',
    options: {
      fromSpeed: fastest,
      brakes: 'none',
      engine,
      tolerance: COARSE,
      ...(gear === undefined ? {} : { gear }),
    },
  });
  const [thrust] = await ask(project, [{ ...who, verb: 'topspeed' }]);
  const donor = project.donors[project.karts[who.kart]!.donor]!;
  const gears = donor.gears === undefined ? [] : ((thrust?.result as ThrustResult | undefined)?.gears ?? []);
  const requests = [
    closed('clutch in'),
    // From a speed the gear bears.
    ...gears.map((gear, k): RunRequest => {
      const run = closed('in gear', k + 1) as Extract<RunRequest, { verb: 'brake' }>;
      return { ...run, options: { ...run.options, fromSpeed: Math.min(fastest, gear.limitSpeed) } };
    }),
  ];
  const answers = await ask(project, requests);
  const curves = requests.map((request, k) => curveOf({ request, segments: [] }, answers[k]));
  return segmentsOf(
    log,
    {
      slowing: (v, gear) => {
        const curve = curves[gear ?? 0] ?? curves[0];
        return curve === undefined ? 1 : Math.max(0, -speedAt(curve, timeAt(curve, v)).a);
      },
      engineTurns: gears.map((gear) => donor.revLimit / gear.limitSpeed),
    },
    laps,
  );
}

/** Relative tolerance of runs that only sort the log. */
const COARSE = 1e-6;

function matchedSegment(
  log: DriveLog,
  segment: Segment,
  before: ReturnType<typeof curveOf>,
  after: ReturnType<typeof curveOf>,
  tyresHold: boolean,
): MatchedSegment {
  const { from, to, kind, gear } = segment;
  const speed = log.speed.slice(from, to);
  const fromSpeed = endSpeed(log, from, to, from);
  const toSpeed = endSpeed(log, from, to, to - 1);
  const took = (curve: typeof before) =>
    curve === undefined ? null : timeAt(curve, toSpeed) - timeAt(curve, fromSpeed);
  return {
    kind,
    ...(gear === undefined ? {} : { gear }),
    start: log.time[from]!,
    fromSpeed,
    toSpeed,
    logged: log.time[to - 1]! - log.time[from]!,
    estimated: took(before),
    fitted: took(after),
    tyresHold,
    time: log.time.slice(from, to),
    speed,
    before: before === undefined ? new Float64Array(0) : alongside(before, log, segment),
    after: after === undefined ? new Float64Array(0) : alongside(after, log, segment),
  };
}

/** A parabola of least squares would be finer; the mean of three samples about the end takes most noise out. */
function endSpeed(log: DriveLog, from: number, to: number, at: number): number {
  const inner = at === from ? from + 1 : to - 2;
  // Line through the end and its two inner neighbours, read at the end: 5/6, 2/6, -1/6.
  const far = at === from ? inner + 1 : inner - 1;
  return (5 * log.speed[at]! + 2 * log.speed[inner]! - log.speed[far]!) / 6;
}

function rootMeanSquare(pairs: readonly (readonly [Float64Array, Float64Array])[]): number | null {
  let sum = 0;
  let count = 0;
  for (const [logged, estimated] of pairs)
    for (let i = 0; i < estimated.length; i++) {
      sum += (logged[i]! - estimated[i]!) ** 2;
      count += 1;
    }
  return count === 0 ? null : Math.sqrt(sum / count);
}
