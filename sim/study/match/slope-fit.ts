/**
 * The slope of the ground fitted along with the values, where the log's places tell which way each run went.
 *
 * In: groups of segments, where each segment heads, the values with a start, one standard deviation u of the slope. Out: the
 * values, their Jacobian, and what the slope leaves open. The ground is a plane, rising e to the east and n to the north;
 * along a run heading a the grade is e cos a + n sin a. What was known of it before joins as two more residuals, e/u and n/u,
 * beside those of the log over their deviation s (generalized least squares with what is known of a parameter beforehand:
 * A. Tarantola, Inverse problem theory, 2005, chapter 3, cited from memory):
 *   minimum of sum of r(p, e, n)^2 / s^2 + (e^2 + n^2) / u^2,   C = (A'A)^-1
 * with A the derivatives of all of these, by Gauss and Newton from the fit on level ground; s from the residuals left. Where a
 * value would run to its bound, or the rounds run out, there is no such fit and the one on level ground stays. An input moved beside
 * moves the values by the rows of -C A'. The part of the slope is what C has beyond the spread were the slope known:
 *   S^2 = C_pp - s^2 (J'J)^-1_pp
 * One way only, slope and rolling resistance act alike and S is what the slope alone would do; both ways part them.
 * Pinned by tests/sim/study/match-slope.test.ts.
 */
import { Matrix } from 'ml-matrix';
import { covarianceOf } from '../../numerics/least-squares.ts';
import type { InputChange } from '../../project/changed-inputs.ts';
import type { CurveGroup } from './curves.ts';
import type { FitValue } from './fit-values.ts';
import { changesFor } from './fit-values.ts';
import { onGrade } from './moved-curves.ts';

export interface SlopeFound {
  /** Rise over run the way of the first run, and one standard deviation of it were every other input exact */
  readonly rise: number;
  readonly spread: number;
}

/** Of the differences, in deviations of the slope */
const SLOPE_STEP = 0.02;
/** Of a value's deviation: nearer is nothing. */
const NEAR = 1e-2;
const ROUNDS = 4;
const MOST_PASSES = 6;
/** Share of a step that would leave the bounds. */
const LEAST_STEP = 1 / 64;

export async function fitWithSlope(task: {
  readonly groups: readonly CurveGroup[];
  readonly values: readonly FitValue[];
  /** Per segment, in the order of the groups, rad from east */
  readonly headings: readonly number[];
  readonly levelWithin: number;
  /** Of the fit on level ground, with its Jacobian where it holds; it does not at a bound. */
  readonly start: readonly number[];
  readonly jacobian?: Matrix;
  /** Residuals per segment */
  readonly lengths: readonly number[];
  /** Of the differences */
  readonly step: number;
  /** s^2 of residuals */
  readonly varianceOf: (residuals: Float64Array) => number;
  readonly residualsAt: (
    groups: readonly CurveGroup[],
    changes: readonly InputChange[],
  ) => Promise<Float64Array | undefined>;
}) {
  const { groups, values, headings, levelWithin, residualsAt, lengths, step, varianceOf } = task;
  const n = values.length;
  const cosines = headings.map(Math.cos);
  const sines = headings.map(Math.sin);
  const gradesAt = ([east, north]: readonly number[], more = 0) =>
    headings.map((_, k) => levelWithin * (east! * cosines[k]! + north! * sines[k]! + more));
  const residuals = (point: readonly number[], more = 0) =>
    residualsAt(groundOf(groups, gradesAt(point.slice(n), more)), changesFor(values, point.slice(0, n)));
  /** A without its last two rows and not over s, from the derivatives by the values and by the grade along each run. */
  const columns = (byValue: readonly ArrayLike<number>[], byGrade: ArrayLike<number>) => {
    const run = lengths.flatMap((length, k) => new Array<number>(length).fill(k));
    return new Matrix(
      run.map((k, i) => [
        ...byValue.map((column) => column[i]!),
        byGrade[i]! * cosines[k]!,
        byGrade[i]! * sines[k]!,
      ]),
    );
  };
  const derivativesAt = async (at: readonly number[], r: Float64Array, jacobian?: Matrix) => {
    const more = await residuals(at, SLOPE_STEP);
    const beside =
      jacobian === undefined
        ? await Promise.all(values.map((_, i) => residuals(at.map((x, k) => (k === i ? x + step : x)))))
        : [];
    if (more === undefined || beside.some((b) => b === undefined)) return undefined;
    return columns(
      jacobian === undefined
        ? beside.map((b) => b!.map((x, i) => (x - r[i]!) / step))
        : values.map((_, i) => jacobian.getColumn(i)),
      more.map((x, i) => (x - r[i]!) / SLOPE_STEP),
    );
  };

  let point: number[] = [...task.start, 0, 0];
  let r = await residuals(point);
  if (r === undefined) return undefined;
  let derivatives = await derivativesAt(point, r, task.jacobian);
  let isNear = false;
  // The derivatives stay for a pass: its rounds cost one run for each run of the log. The last begins at the answer.
  for (let pass = 0; ; pass++) {
    const isLast = isNear;
    isNear = false;
    for (let round = 0; round < ROUNDS && !isNear; round++) {
      const joint = derivatives === undefined ? undefined : jointOf(derivatives, n, varianceOf(r));
      if (joint === undefined) return undefined;
      const { gain, covariance } = joint;
      const moved = gain.mmul(Matrix.columnVector([...r, ...point.slice(n)])).to1DArray();
      const from: readonly number[] = point;
      let share = 1;
      const isOut = () =>
        values.some(
          ({ min, max }, i) => from[i]! + share * moved[i]! <= min || from[i]! + share * moved[i]! >= max,
        );
      while (isOut() && share > LEAST_STEP) share /= 2;
      if (isOut()) return undefined;
      point = from.map((x, i) => x + share * moved[i]!);
      r = await residuals(point);
      if (r === undefined) return undefined;
      isNear = moved.every((x, i) => Math.abs(x) < NEAR * Math.sqrt(covariance.get(i, i)));
    }
    if (isLast && isNear) break;
    if (pass === MOST_PASSES) return undefined;
    derivatives = await derivativesAt(point, r);
  }
  if (derivatives === undefined) return undefined;
  const variance = varianceOf(r);
  const joint = jointOf(derivatives, n, variance);
  const jacobian = derivatives.subMatrix(0, r.length - 1, 0, n - 1);
  const known = covarianceOf(
    jacobian,
    values.map(() => false),
  );
  if (joint === undefined || known === undefined) return undefined;
  const { covariance, gain } = joint;
  const along = Matrix.columnVector([...values.map(() => 0), cosines[0]!, sines[0]!]);
  return {
    parameters: point.slice(0, n),
    residuals: r,
    jacobian,
    gain: gain.subMatrix(0, n - 1, 0, r.length - 1),
    slopeParts: values.map((_, i) =>
      Math.sqrt(Math.max(0, covariance.get(i, i) - variance * known.get(i, i))),
    ),
    /** One group per segment, on the ground found */
    ground: groundOf(groups, gradesAt(point.slice(n))),
    found: {
      rise: gradesAt(point.slice(n))[0]!,
      spread: levelWithin * Math.sqrt(along.transpose().mmul(covariance).mmul(along).get(0, 0)),
    },
  };
}

/** C, and -C A' for residuals not over s, the two of the slope last; undefined where A has no full rank. */
function jointOf(
  derivatives: Matrix,
  n: number,
  variance: number,
): { covariance: Matrix; gain: Matrix } | undefined {
  if (!(variance > 0)) return undefined;
  const scale = 1 / Math.sqrt(variance);
  const rows = derivatives.rows;
  const all = Matrix.zeros(rows + 2, n + 2);
  all.setSubMatrix(Matrix.mul(derivatives, scale), 0, 0);
  all.set(rows, n, 1);
  all.set(rows + 1, n + 1, 1);
  const covariance = covarianceOf(all, new Array<boolean>(n + 2).fill(false));
  if (covariance === undefined) return undefined;
  const gain = covariance.mmul(all.transpose()).mul(-1);
  for (let k = 0; k < rows; k++) gain.mulColumn(k, scale);
  return { covariance, gain };
}

function groundOf(groups: readonly CurveGroup[], grades: readonly number[]): CurveGroup[] {
  let k = 0;
  return groups.flatMap((group) =>
    group.segments.map((segment) => ({
      ...group,
      request: onGrade(group.request, grades[k++]),
      segments: [segment],
    })),
  );
}
