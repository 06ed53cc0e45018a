/**
 * Symmetric positive definite systems whose non-zeros lie near the diagonal, round the ends too where they are cyclic.
 *
 * In: rows filled by index pairs. Out: factor (Cholesky) and solutions. A cyclic system is folded - 0, n-1, 1, n-2, ... -
 * which brings its corners to the diagonal at twice the bandwidth. Source: Golub and Van Loan, Matrix Computations,
 * section 4.3 (band Cholesky).
 */

export interface BandedMatrix {
  readonly size: number;
  /** Non-zeros reach this far from the diagonal, as the rows are numbered by the caller */
  readonly reach: number;
  readonly cyclic: boolean;
  /** Place of each of the caller's rows in storage */
  readonly place: Int32Array;
  /** Stored bandwidth, and the lower triangle row by row: entry (i, j) at i (width + 1) + j - i + width */
  readonly width: number;
  readonly lower: Float64Array;
}

export function bandedMatrix(size: number, reach: number, cyclic: boolean): BandedMatrix {
  const width = Math.min(size - 1, cyclic ? 2 * reach + 1 : reach);
  const place = new Int32Array(size);
  for (let i = 0; i < size; i++) {
    if (!cyclic) place[i] = i;
    else place[i] = 2 * i < size ? 2 * i : 2 * (size - 1 - i) + 1;
  }
  return { size, reach, cyclic, place, width, lower: new Float64Array(size * (width + 1)) };
}

/** Adds to entry (i, j) and, as it is symmetric, to (j, i); throws outside the band. */
export function addTo(m: BandedMatrix, i: number, j: number, value: number): void {
  const p = m.place[i]!;
  const q = m.place[j]!;
  const row = Math.max(p, q);
  const back = Math.abs(p - q);
  if (back > m.width) throw new Error(`addTo: (${i}, ${j}) lies outside the band`);
  const at = row * (m.width + 1) + m.width - back;
  m.lower[at] = m.lower[at]! + value;
}

/** y = M x. */
export function multiply(m: BandedMatrix, x: ArrayLike<number>): Float64Array {
  const { size, width, lower, place } = m;
  const stored = new Float64Array(size);
  for (let i = 0; i < size; i++) stored[place[i]!] = x[i]!;
  const product = new Float64Array(size);
  for (let row = 0; row < size; row++) {
    const base = row * (width + 1) + width - row;
    let sum = lower[base + row]! * stored[row]!;
    for (let column = Math.max(0, row - width); column < row; column++) {
      const entry = lower[base + column]!;
      sum += entry * stored[column]!;
      product[column] = product[column]! + entry * stored[row]!;
    }
    product[row] = product[row]! + sum;
  }
  for (let i = 0; i < size; i++) stored[i] = product[place[i]!]!;
  return stored;
}

/** The Cholesky factor of M + diag(extra), as rows like those of M; undefined where it is not positive definite. */
export function factor(m: BandedMatrix, extra?: ArrayLike<number>): Float64Array | undefined {
  const { size, width, place } = m;
  const l = m.lower.slice();
  const stride = width + 1;
  if (extra !== undefined)
    for (let i = 0; i < size; i++) {
      const at = place[i]! * stride + width;
      l[at] = l[at]! + extra[i]!;
    }
  for (let row = 0; row < size; row++) {
    const first = Math.max(0, row - width);
    const here = row * stride + width - row + first;
    const entries = row - first;
    for (let c = 0; c <= entries; c++) {
      // Row `first + c` from column `first` on.
      const there = (first + c) * stride + width - c;
      let sum = l[here + c]!;
      let other = 0;
      let k = 0;
      for (; k + 1 < c; k += 2) {
        sum -= l[here + k]! * l[there + k]!;
        other += l[here + k + 1]! * l[there + k + 1]!;
      }
      if (k < c) sum -= l[here + k]! * l[there + k]!;
      sum -= other;
      if (c < entries) l[here + c] = sum / l[there + c]!;
      else if (sum > 0) l[here + c] = Math.sqrt(sum);
      else return undefined;
    }
  }
  return l;
}

/** Solves M x = b with the factor of M. */
export function solveWith(m: BandedMatrix, l: Float64Array, b: ArrayLike<number>): Float64Array {
  const { size, width, place } = m;
  const stride = width + 1;
  const x = new Float64Array(size);
  for (let i = 0; i < size; i++) x[place[i]!] = b[i]!;
  for (let row = 0; row < size; row++) {
    const base = row * stride + width - row;
    let sum = x[row]!;
    for (let k = Math.max(0, row - width); k < row; k++) sum -= l[base + k]! * x[k]!;
    x[row] = sum / l[base + row]!;
  }
  for (let row = size - 1; row >= 0; row--) {
    const base = row * stride + width - row;
    const value = x[row]! / l[base + row]!;
    x[row] = value;
    for (let k = Math.max(0, row - width); k < row; k++) x[k] = x[k]! - l[base + k]! * value;
  }
  const solved = new Float64Array(size);
  for (let i = 0; i < size; i++) solved[i] = x[place[i]!]!;
  return solved;
}
