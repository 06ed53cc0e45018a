/**
 * The fit itself: factors on values of the file under which the estimate follows the log, and how sure they are.
 *
 * In: segments in groups, the values to try, curves for given changes. Out: fitted values with intervals, those refused
 * with the reason, correlation, condition. What inputs that are not fitted add is worked out by from-inputs.ts. Residuals
 * are logged less estimated speeds, each segment moved in time to fit.
 */
import type { Matrix } from 'ml-matrix';
import { conditionOf, covarianceOf, leastSquares } from '../../numerics/least-squares.ts';
import { hash } from '../../numerics/sobol.ts';
import type { InputChange } from '../../project/changed-inputs.ts';
import type { Problem } from '../../project/problem.ts';
import { warning } from '../../project/problem.ts';
import type { Curve, CurveGroup } from './curves.ts';
import { alongside } from './curves.ts';
import type { DriveLog } from './drive-log.ts';
import type { FitValue } from './fit-values.ts';
import { changesFor } from './fit-values.ts';
import type { AlongTaken, FromInputs, InputPart, Move, MovedInput } from './from-inputs.ts';
import { headingsOf, partsFromInputs, SLOPE_OF_GROUND } from './from-inputs.ts';
import type { FittedValue, RefusedValue } from './refusals.ts';
import { isGain, refusalOf } from './refusals.ts';
import { oneStepRefits, scatterOf } from './resampling.ts';
import type { Segment } from './segments.ts';
import type { SlopeFound } from './slope-fit.ts';
import { fitWithSlope } from './slope-fit.ts';

export interface FitTask {
  readonly log: DriveLog;
  readonly groups: readonly CurveGroup[];
  readonly values: readonly FitValue[];
  readonly seed: number;
  /** Inputs in doubt once these values are fitted. */
  readonly movedBeside: (fitted: readonly FitValue[]) => readonly MovedInput[];
  /** One standard deviation of the slope of the ground, rise over run */
  readonly levelWithin: number;
  /** The same for other groups than the task's. */
  readonly curvesOf: (
    groups: readonly CurveGroup[],
    changes: readonly InputChange[],
  ) => Promise<readonly (Curve | undefined)[]>;
  /** One curve per group, undefined where the run could not be. */
  readonly curvesAt: (changes: readonly InputChange[]) => Promise<readonly (Curve | undefined)[]>;
  /** The same with something moved on top, one after the other, from the curves without. */
  readonly curvesBeside: (
    changes: readonly InputChange[],
    curves: readonly (Curve | undefined)[],
  ) => (move: Move) => Promise<readonly (Curve | undefined)[]>;
}

export interface FitOutcome {
  readonly values: readonly FittedValue[];
  readonly refused: readonly RefusedValue[];
  readonly correlation: readonly (readonly number[])[];
  readonly condition: number | null;
  readonly wind: AlongTaken;
  readonly slope: AlongTaken;
  readonly slopeFound: SlopeFound | null;
  /** With the fitted values, by segment; undefined where nothing is fitted. */
  readonly curves?: ReadonlyMap<Segment, Curve | undefined>;
  readonly problems: readonly Problem[];
}

/** Step of the differences, of the factor: far above the solver's 1e-8, far below what bends a speed. */
const STEP = 1e-3;
/** Standard deviations of 90 % */
const NINETY = 1.6448536269514722;
/** Residuals of a factor moved by its whole spread, relative to the noise, below which nothing moves with it. */
const LEAST_MOVE = 0.02;

export async function fitLog(task: FitTask): Promise<FitOutcome> {
  const kinds = new Set(task.groups.flatMap(({ segments }) => segments.map(({ kind }) => kind)));
  const refused: RefusedValue[] = task.values
    .filter(({ shownBy }) => !shownBy.some((kind) => kinds.has(kind)))
    .map(({ id, shownBy }) => ({ ids: [id], why: `the log has no ${shownBy.join(', no ')}` }));
  let values = task.values.filter(({ shownBy }) => shownBy.some((kind) => kinds.has(kind)));
  const headings = headingsOf(
    task.log,
    task.groups.flatMap(({ segments }) => segments),
  );
  while (values.length > 0) {
    const tried = await fitOf(task, values);
    if (tried === undefined) break;
    const joint = await withSlope(task, values, tried, headings);
    const fit =
      joint === undefined
        ? tried
        : {
            ...tried,
            ...joint,
            atBound: values.map(() => false),
            ...sureness(joint, tried.lengths, values),
          };
    const refusal = refusalOf(values, fit.spreads, fit.correlation, fit.moves, kinds);
    if (refusal === undefined)
      return outcomeOf(values, fit, refused, await besideOf(task, values, fit, headings, joint));
    refused.push(refusal);
    values = values.filter(({ id }) => !refusal.ids.includes(id));
  }
  return {
    values: [],
    refused,
    correlation: [],
    condition: null,
    wind: null,
    slope: null,
    slopeFound: null,
    problems: [],
  };
}

/** The slope of the ground fitted along, where the log's places tell which way each run went. */
async function withSlope(
  { log, groups, curvesOf, levelWithin }: FitTask,
  values: readonly FitValue[],
  tried: Tried,
  headings: readonly number[] | undefined,
) {
  return levelWithin > 0 && headings !== undefined
    ? await fitWithSlope({
        groups,
        values,
        headings,
        levelWithin,
        // A value at its bound on level ground may be the slope's doing: begun anew from the file.
        ...(tried.atBound.some((held) => held)
          ? { start: values.map(() => 1) }
          : { start: tried.parameters, jacobian: tried.jacobian }),
        lengths: tried.lengths,
        step: STEP,
        varianceOf: (residuals) => noiseOf(residuals, tried.lengths, values.length).variance,
        residualsAt: async (on, changes) => residualsOf(log, on, await curvesOf(on, changes)),
      })
    : undefined;
}

type Tried = NonNullable<Awaited<ReturnType<typeof fitOf>>>;

async function fitOf({ log, groups, curvesAt }: FitTask, values: readonly FitValue[]) {
  const fit = await leastSquares({
    start: values.map(() => 1),
    step: values.map(() => STEP),
    min: values.map(({ min }) => min),
    max: values.map(({ max }) => max),
    residuals: (points) =>
      Promise.all(
        points.map(async (factors) => residualsOf(log, groups, await curvesAt(changesFor(values, factors)))),
      ),
  });
  if (fit.status === 'stuck') return undefined;
  const lengths = groups.flatMap(({ segments }) => segments.map(({ from, to }) => to - from));
  const sure = sureness(fit, lengths, values);
  const { noise } = sure;
  return {
    ...fit,
    ...sure,
    lengths,
    moves: values.map(
      ({ spread }, i) =>
        Math.sqrt(fit.jacobian.getColumn(i).reduce((sum, x) => sum + x * x, 0)) * spread >
        LEAST_MOVE * Math.sqrt(noise > 0 ? noise : 1e-12),
    ),
  };
}

/** Variance of a residual, and the same widened for residuals that hang together in time; NaN where none is to spare. */
function noiseOf(
  residuals: Float64Array,
  lengths: readonly number[],
  values: number,
): { noise: number; variance: number } {
  const free = residuals.length - values - lengths.length;
  const noise = free > 0 ? residuals.reduce((sum, r) => sum + r * r, 0) / free : Number.NaN;
  return { noise, variance: noise * correlatedInTime(residuals, lengths) };
}

function sureness(
  fit: { readonly jacobian: Matrix; readonly residuals: Float64Array },
  lengths: readonly number[],
  values: readonly FitValue[],
) {
  const { noise, variance } = noiseOf(fit.residuals, lengths, values.length);
  // As if no bound held: whether the log can tell a value is another matter than whether the value is plausible.
  const inverse = covarianceOf(
    fit.jacobian,
    values.map(() => false),
  );
  const spreads =
    inverse === undefined || Number.isNaN(noise)
      ? undefined
      : values.map((_, i) => Math.sqrt(variance * inverse.get(i, i)));
  return {
    noise,
    variance,
    spreads,
    /** (J'J)^-1 */
    inverse,
    // Where rank is lost the columns themselves show which two are alike.
    correlation: inverse === undefined ? cosines(fit.jacobian) : correlationOf(inverse),
  };
}

interface Beside extends FromInputs {
  readonly fromLog: readonly FittedValue['fromLog'][];
  readonly wind: AlongTaken;
  readonly slope: AlongTaken;
  readonly slopeFound: SlopeFound | null;
  readonly curves: ReadonlyMap<Segment, Curve | undefined>;
}

/** How sure the fit is by the log alone, and what the inputs beside it add. */
async function besideOf(
  { log, groups, seed, curvesAt, curvesOf, curvesBeside, movedBeside }: FitTask,
  values: readonly FitValue[],
  fit: Tried,
  headings: readonly number[] | undefined,
  joint: Awaited<ReturnType<typeof fitWithSlope>>,
): Promise<Beside> {
  const refits = oneStepRefits(fit.jacobian, fit.residuals, fit.lengths, (k) => hash(seed, k) / 2 ** 32);
  const fromLog = values.map((_, i) => {
    const spreadByCovariance = fit.spreads![i]!;
    const spreadByResampling = scatterOf(refits, i);
    const spread = Math.max(spreadByCovariance, spreadByResampling ?? 0);
    return { spread, spreadByCovariance, spreadByResampling, ...ninety(fit.parameters[i]!, spread) };
  });
  const all = movedBeside(values);
  const moved = joint === undefined ? all : all.filter(({ path }) => path !== SLOPE_OF_GROUND);
  const changes = changesFor(values, fit.parameters);
  // Before the inputs, which may be ended half-way.
  const curves = await curvesAt(changes);
  const movedCurves = curvesBeside(changes, curves);
  const level = residualsOf(log, groups, curves);
  const sloped = joint === undefined ? undefined : await curvesOf(joint.ground, changes);
  const found = await partsFromInputs({
    moved,
    gain: joint?.gain ?? fit.inverse!.mmul(fit.jacobian.transpose()).mul(-1),
    // Inputs are moved on level ground: a slope bends what they do by second order.
    residuals: level ?? fit.residuals,
    lengths: fit.lengths,
    headings,
    spreads: fromLog.map(({ spread }) => spread),
    residualsAt: async (move) =>
      move.speedScale === undefined
        ? residualsOf(log, groups, await movedCurves(move))
        : residualsOf(withSpeedsTimes(move.speedScale, log), groups, curves),
  });
  const taken = (is: (path: string) => boolean): AlongTaken => {
    const input = all.find(({ path }) => is(path) && !found.leftOut.includes(path));
    if (input === undefined) return null;
    return input.byHeading && headings !== undefined ? 'by heading' : 'same in every run';
  };
  const andSlope = (parts: readonly InputPart[], i: number): readonly InputPart[] =>
    joint === undefined
      ? parts
      : [...parts, { path: SLOPE_OF_GROUND, spread: joint.slopeParts[i]! }].sort(
          (a, b) => b.spread - a.spread,
        );
  return {
    leftOut: found.leftOut,
    parts: found.parts.map(andSlope),
    fromLog,
    slopeFound: joint?.found ?? null,
    curves: new Map(
      joint === undefined
        ? groups.flatMap(({ segments }, k) => segments.map((segment) => [segment, curves[k]] as const))
        : joint.ground.map(({ segments }, k) => [segments[0]!, sloped![k]] as const),
    ),
    wind: taken((path) => path.endsWith('.wind.speed')),
    slope: taken((path) => path === SLOPE_OF_GROUND),
  };
}

function ninety(factor: number, spread: number): { low: number; high: number } {
  return { low: factor - NINETY * spread, high: factor + NINETY * spread };
}

function outcomeOf(
  values: readonly FitValue[],
  fit: Tried,
  refused: readonly RefusedValue[],
  beside: Beside,
): FitOutcome {
  const problems: Problem[] =
    fit.status === 'unfinished'
      ? [
          warning('unfinished', '', 'the fit had not come to rest when it was ended', {
            remedy: 'fit fewer values',
          }),
        ]
      : [];
  const results = values.map((value, i): FittedValue => {
    const factor = fit.parameters[i]!;
    const atBound = fit.atBound[i]! ? (factor <= value.min ? value.lowCause : value.highCause) : null;
    const fromLog = beside.fromLog[i]!;
    const fromInputs = beside.parts[i]!;
    const spread = Math.hypot(fromLog.spread, ...fromInputs.map((part) => part.spread));
    const [first] = fromInputs;
    const largest = Math.max(fromLog.spread, first?.spread ?? 0);
    const mostFrom = {
      path: first !== undefined && first.spread > fromLog.spread ? first.path : null,
      share: spread > 0 ? (largest / spread) ** 2 : 1,
    };
    const asInFile = Math.abs(factor - 1) <= NINETY * spread;
    const isKnown = !isGain(spread, value.spread);
    // What stands at the place itself may be as sure already, and the same: then it was taken over before.
    const isBetter = !isKnown && !(asInFile && !isGain(spread, value.ownSpread));
    if (!isBetter)
      problems.push(
        warning(
          'no-better-than-file',
          value.places[0]!.path,
          `with the inputs that are not fitted counted, the log knows ${value.id} no better than the file, or by too little to matter`,
          {
            value: `± ${(100 * spread).toFixed(0)} %`,
            limit: `± ${(100 * (isKnown ? value.spread : value.ownSpread)).toFixed(0)} % in the file`,
            remedy: mostFrom.path === null ? 'log more runs' : `find out ${mostFrom.path} better`,
          },
        ),
      );
    if (atBound !== null)
      problems.push(
        warning('at-bound', value.places[0]!.path, `${value.id} ran to the edge of what is plausible`, {
          value: `${factor.toFixed(2)} times the file`,
          limit: `${value.min} to ${value.max.toFixed(2)} times`,
          remedy: `look for ${atBound}`,
        }),
      );
    return {
      id: value.id,
      factor,
      spread,
      ...ninety(factor, spread),
      fromLog,
      fromInputs,
      mostFrom,
      isBetter,
      places: value.places.map((place) => ({
        path: place.path,
        ...(place.quantity === undefined ? {} : { quantity: place.quantity }),
        before: place.value,
        after: place.value * factor,
        spread: place.value * spread,
      })),
      atBound,
    };
  });
  if (beside.leftOut.length > 0)
    problems.push(
      warning(
        'inputs-left-out',
        beside.leftOut[0]!,
        'inputs that could not be moved by their spread are not counted in the intervals',
        { value: beside.leftOut.join(', ') },
      ),
    );
  const condition = conditionOf(fit.jacobian);
  return {
    values: results,
    refused,
    correlation: fit.correlation,
    condition: Number.isFinite(condition) ? condition : null,
    wind: beside.wind,
    slope: beside.slope,
    slopeFound: beside.slopeFound,
    curves: beside.curves,
    problems,
  };
}

/** The kart runs as before; what it is laid against is not what it was. */
function withSpeedsTimes(scale: number, log: DriveLog): DriveLog {
  return { ...log, speed: log.speed.map((v) => scale * v) };
}

function residualsOf(
  log: DriveLog,
  groups: readonly CurveGroup[],
  curves: readonly (Curve | undefined)[],
): Float64Array | undefined {
  const all: number[] = [];
  for (const [k, group] of groups.entries()) {
    const curve = curves[k];
    if (curve === undefined) return undefined;
    for (const segment of group.segments) {
      const estimated = alongside(curve, log, segment);
      for (const [n, v] of estimated.entries()) all.push(v - log.speed[segment.from + n]!);
    }
  }
  return all.every(Number.isFinite) ? Float64Array.from(all) : undefined;
}

/**
 * How many times wider in variance the mean of the residuals is than if they were independent: 1 + 2 sum of the
 * autocorrelations within segments, summed while they stand out of the noise (Bartlett's 2/sqrt(n)); never below 1.
 */
export function correlatedInTime(residuals: Float64Array, lengths: readonly number[]): number {
  let square = 0;
  for (const r of residuals) square += r * r;
  if (!(square > 0)) return 1;
  const longest = Math.max(...lengths);
  let sum = 1;
  for (let lag = 1; lag < longest / 2; lag++) {
    let product = 0;
    let pairs = 0;
    let start = 0;
    for (const length of lengths) {
      for (let k = start; k + lag < start + length; k++) {
        product += residuals[k]! * residuals[k + lag]!;
        pairs += 1;
      }
      start += length;
    }
    const rho = product / pairs / (square / residuals.length);
    if (pairs === 0 || rho < 2 / Math.sqrt(pairs)) break;
    sum += 2 * rho;
  }
  return sum;
}

function correlationOf(covariance: Matrix): number[][] {
  const n = covariance.rows;
  const sd = Array.from({ length: n }, (_, i) => Math.sqrt(covariance.get(i, i)));
  return sd.map((a, i) =>
    sd.map((b, j) => (a > 0 && b > 0 ? covariance.get(i, j) / (a * b) : i === j ? 1 : 0)),
  );
}

function cosines(jacobian: Matrix): number[][] {
  const columns = Array.from({ length: jacobian.columns }, (_, i) => jacobian.getColumn(i));
  const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, x, k) => sum + x * b[k]!, 0);
  return columns.map((a) =>
    columns.map((b) => dot(a, b) / Math.max(Math.sqrt(dot(a, a) * dot(b, b)), Number.MIN_VALUE)),
  );
}
