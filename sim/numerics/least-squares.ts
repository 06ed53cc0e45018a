/**
 * Nonlinear least squares with bounds: Levenberg and Marquardt on a QR decomposition, with the covariance of the answer.
 *
 * In: residuals as a function of the parameters (asked for in batches, so that they may be computed side by side), a start,
 * steps and bounds. Out: parameters, Jacobian, covariance of unit-variance residuals, which parameters ended at a bound.
 * Source: J. J. More, The Levenberg-Marquardt algorithm: implementation and theory (1978), damping by the columns' norms;
 * ratio test after Nielsen, Damping parameter in Marquardt's method (1999). A parameter pressed against its bound is held
 * there for the step. Pinned by tests/sim/numerics/least-squares.test.ts.
 */
import { Matrix, QrDecomposition, SingularValueDecomposition } from 'ml-matrix';

export interface LeastSquaresProblem {
  readonly start: readonly number[];
  /** Step of the one-sided differences, per parameter. */
  readonly step: readonly number[];
  readonly min: readonly number[];
  readonly max: readonly number[];
  /** Residuals at each of the points; undefined where there are none (refused there). */
  readonly residuals: (
    points: readonly (readonly number[])[],
  ) => Promise<readonly (Float64Array | undefined)[]>;
}

export interface LeastSquaresFit {
  /** 'stuck': no residuals at the start; 'unfinished': the rounds ran out. */
  readonly status: 'done' | 'unfinished' | 'stuck';
  readonly parameters: readonly number[];
  readonly residuals: Float64Array;
  /** Row per residual */
  readonly jacobian: Matrix;
  /** (J' J)^-1; of the free parameters, zero rows for those at a bound; undefined where J has no full rank. */
  readonly covariance: Matrix | undefined;
  readonly atBound: readonly boolean[];
  /** Of J with its columns scaled to length one; infinite where rank is lost */
  readonly condition: number;
  readonly rounds: number;
}

const MOST_ROUNDS = 40;
const MOST_TRIES = 12;
/** Relative fall of the sum of squares, and share of a difference step, below which nothing more is to be had. */
const FALL = 1e-10;
const SMALL_STEP = 1e-4;

export async function leastSquares(problem: LeastSquaresProblem): Promise<LeastSquaresFit> {
  const { step, min, max } = problem;
  const n = problem.start.length;
  const clamp = (p: readonly number[]) => p.map((x, i) => Math.min(max[i]!, Math.max(min[i]!, x)));
  let p = clamp(problem.start);
  let [r] = await problem.residuals([p]);
  if (r === undefined) return nothing(p);
  let jacobian = new Matrix(r.length, n);
  let damping = 1e-3;
  let growth = 2;
  let status: LeastSquaresFit['status'] = 'unfinished';
  let rounds = 0;
  let atBound = p.map(() => false);
  for (; rounds < MOST_ROUNDS; rounds++) {
    jacobian = await jacobianAt(problem, p, r);
    const gradient = jacobian.transpose().mmul(Matrix.columnVector(r)).to1DArray();
    atBound = p.map((x, i) => (x <= min[i]! && gradient[i]! > 0) || (x >= max[i]! && gradient[i]! < 0));
    const free = p.flatMap((_, i) => (atBound[i] ? [] : [i]));
    if (free.length === 0) {
      status = 'done';
      break;
    }
    const before = sumOfSquares(r);
    let moved = false;
    for (let tries = 0; tries < MOST_TRIES && !moved; tries++) {
      const delta = dampedStep(jacobian, r, free, damping);
      const next = clamp(p.map((x, i) => x + (delta[i] ?? 0)));
      const small = next.every((x, i) => Math.abs(x - p[i]!) < SMALL_STEP * step[i]!);
      const [tried] = await problem.residuals([next]);
      const after = tried === undefined ? Number.POSITIVE_INFINITY : sumOfSquares(tried);
      const promised = fallPromised(
        jacobian,
        r,
        next.map((x, i) => x - p[i]!),
      );
      const ratio = (before - after) / Math.max(promised, Number.MIN_VALUE);
      if (tried !== undefined && after < before) {
        moved = true;
        p = next;
        r = tried;
        damping *= Math.max(1 / 3, 1 - (2 * ratio - 1) ** 3);
        growth = 2;
        if (before - after < FALL * before || small) status = 'done';
      } else {
        damping *= growth;
        growth *= 2;
        if (small) {
          status = 'done';
          break;
        }
      }
    }
    if (!moved) status = 'done';
    if (status === 'done') break;
  }
  jacobian = await jacobianAt(problem, p, r);
  atBound = p.map((x, i) => x <= min[i]! || x >= max[i]!);
  return {
    status,
    parameters: p,
    residuals: r,
    jacobian,
    covariance: covarianceOf(jacobian, atBound),
    atBound,
    condition: conditionOf(jacobian),
    rounds,
  };
}

async function jacobianAt(
  { residuals, step, max }: LeastSquaresProblem,
  p: readonly number[],
  r: Float64Array,
): Promise<Matrix> {
  const steps = step.map((h, i) => (p[i]! + h > max[i]! ? -h : h));
  const moved = await residuals(p.map((_, i) => p.map((x, k) => (i === k ? x + steps[k]! : x))));
  const jacobian = new Matrix(r.length, p.length);
  for (const [i, column] of moved.entries())
    for (let k = 0; k < r.length; k++)
      jacobian.set(k, i, column === undefined ? 0 : (column[k]! - r[k]!) / steps[i]!);
  return jacobian;
}

/** Least squares of [J; sqrt(damping) D] delta = [-r; 0], D the lengths of the columns. */
function dampedStep(
  jacobian: Matrix,
  r: Float64Array,
  free: readonly number[],
  damping: number,
): (number | undefined)[] {
  const rows = r.length;
  const system = new Matrix(rows + free.length, free.length);
  const right = new Matrix(rows + free.length, 1);
  for (const [c, i] of free.entries()) {
    let square = 0;
    for (let k = 0; k < rows; k++) {
      const value = jacobian.get(k, i);
      system.set(k, c, value);
      square += value * value;
    }
    system.set(rows + c, c, Math.sqrt(damping * Math.max(square, 1e-20)));
  }
  for (let k = 0; k < rows; k++) right.set(k, 0, -r[k]!);
  const solved = new QrDecomposition(system).solve(right);
  const delta: (number | undefined)[] = [];
  for (const [c, i] of free.entries()) delta[i] = solved.get(c, 0);
  return delta;
}

function fallPromised(jacobian: Matrix, r: Float64Array, delta: readonly number[]): number {
  const linear = jacobian.mmul(Matrix.columnVector(delta));
  let sum = 0;
  for (let k = 0; k < r.length; k++) sum += r[k]! ** 2 - (r[k]! + linear.get(k, 0)) ** 2;
  return sum;
}

/** From the triangle of J = QR: (R' R)^-1. */
export function covarianceOf(jacobian: Matrix, held: readonly boolean[]): Matrix | undefined {
  const n = jacobian.columns;
  const free = held.flatMap((h, i) => (h ? [] : [i]));
  const covariance = Matrix.zeros(n, n);
  if (free.length === 0) return covariance;
  if (jacobian.rows < free.length) return undefined;
  const scales = free.map((i) => Math.sqrt(jacobian.getColumn(i).reduce((sum, x) => sum + x * x, 0)));
  if (scales.some((s) => !(s > 0))) return undefined;
  const scaled = new Matrix(jacobian.rows, free.length);
  for (const [c, i] of free.entries())
    for (let k = 0; k < jacobian.rows; k++) scaled.set(k, c, jacobian.get(k, i) / scales[c]!);
  const qr = new QrDecomposition(scaled);
  if (!qr.isFullRank()) return undefined;
  const triangle = qr.upperTriangularMatrix;
  for (let k = 0; k < free.length; k++) if (Math.abs(triangle.get(k, k)) < 1e-9) return undefined;
  const inverse = new QrDecomposition(triangle).solve(Matrix.eye(free.length));
  const small = inverse.mmul(inverse.transpose());
  for (const [a, i] of free.entries())
    for (const [b, j] of free.entries()) covariance.set(i, j, small.get(a, b) / (scales[a]! * scales[b]!));
  return covariance;
}

export function conditionOf(jacobian: Matrix): number {
  const scaled = jacobian.clone();
  for (let i = 0; i < scaled.columns; i++) {
    const length = Math.sqrt(scaled.getColumn(i).reduce((sum, x) => sum + x * x, 0));
    if (!(length > 0)) return Number.POSITIVE_INFINITY;
    scaled.mulColumn(i, 1 / length);
  }
  if (scaled.rows < scaled.columns) return Number.POSITIVE_INFINITY;
  const values = new SingularValueDecomposition(scaled).diagonal;
  const least = Math.min(...values);
  return least > 0 ? Math.max(...values) / least : Number.POSITIVE_INFINITY;
}

function sumOfSquares(r: Float64Array): number {
  let sum = 0;
  for (const x of r) sum += x * x;
  return sum;
}

function nothing(p: readonly number[]): LeastSquaresFit {
  return {
    status: 'stuck',
    parameters: p,
    residuals: new Float64Array(0),
    jacobian: new Matrix(0, p.length),
    covariance: undefined,
    atBound: p.map(() => false),
    condition: Number.POSITIVE_INFINITY,
    rounds: 0,
  };
}
