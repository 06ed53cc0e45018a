/**
 * Symmetric positive definite systems with few non-zeros: each row is stored from its first non-zero to the diagonal.
 *
 * In: the first column of each row, entries filled by index pairs. Out: factor (Cholesky, rows no longer than those of the
 * matrix) and solutions. The cost is that of the rows' lengths: unknowns are to be numbered so that most rows are short. A
 * ring needs no more than that: its last rows reach back to the first column, the others none. Source: George and Liu,
 * Computer Solution of Large Sparse Positive Definite Systems, chapter 4 (envelope method).
 */

export interface SkylineMatrix {
  readonly size: number;
  /** Column of each row's first entry stored */
  readonly first: Int32Array;
  /** The lower triangle row by row: entry (row, column) at base[row] + column */
  readonly base: Int32Array;
  readonly lower: Float64Array;
}

/** A matrix of nought whose row r reaches from column first[r] to the diagonal. */
export function skylineMatrix(first: Int32Array): SkylineMatrix {
  const size = first.length;
  const base = new Int32Array(size);
  let next = 0;
  for (let row = 0; row < size; row++) {
    base[row] = next - first[row]!;
    next += row - first[row]! + 1;
  }
  return { size, first, base, lower: new Float64Array(next) };
}

/** Entries no farther than `reach` from the diagonal, round the ends too where `cyclic`. */
export function bandMatrix(size: number, reach: number, cyclic: boolean): SkylineMatrix {
  const first = Int32Array.from({ length: size }, (_, row) =>
    cyclic && row >= size - reach ? 0 : Math.max(0, row - reach),
  );
  return skylineMatrix(first);
}

/** Where entry (i, j), or (j, i), lies in `lower`; throws where its row does not reach so far. */
export function entryAt(m: SkylineMatrix, i: number, j: number): number {
  const row = Math.max(i, j);
  const column = Math.min(i, j);
  if (!(column >= m.first[row]!)) throw new Error(`entryAt: (${i}, ${j}) lies before the first of its row`);
  return m.base[row]! + column;
}

/** Adds to entry (i, j) and, as it is symmetric, to (j, i); throws where the row does not reach so far. */
export function addTo(m: SkylineMatrix, i: number, j: number, value: number): void {
  const at = entryAt(m, i, j);
  m.lower[at] = m.lower[at]! + value;
}

/** y = M x. */
export function multiply({ size, first, base, lower }: SkylineMatrix, x: ArrayLike<number>): Float64Array {
  const product = new Float64Array(size);
  for (let row = 0; row < size; row++) {
    const here = base[row]!;
    const own = x[row]!;
    let sum = lower[here + row]! * own;
    for (let column = first[row]!; column < row; column++) {
      const entry = lower[here + column]!;
      sum += entry * x[column]!;
      product[column] = product[column]! + entry * own;
    }
    product[row] = product[row]! + sum;
  }
  return product;
}

/** The Cholesky factor of M + diag(extra), as rows like those of M; undefined where it is not positive definite. */
export function factor(
  { size, first, base, lower }: SkylineMatrix,
  extra?: ArrayLike<number>,
): Float64Array | undefined {
  const l = lower.slice();
  if (extra !== undefined)
    for (let row = 0; row < size; row++) l[base[row]! + row] = l[base[row]! + row]! + extra[row]!;
  for (let row = 0; row < size; row++) {
    const here = base[row]!;
    const from = first[row]!;
    let diagonal = l[here + row]!;
    for (let column = from; column < row; column++) {
      const there = base[column]!;
      let sum = l[here + column]!;
      for (let k = Math.max(from, first[column]!); k < column; k++) sum -= l[here + k]! * l[there + k]!;
      const entry = sum / l[there + column]!;
      l[here + column] = entry;
      diagonal -= entry * entry;
    }
    if (!(diagonal > 0)) return undefined;
    l[here + row] = Math.sqrt(diagonal);
  }
  return l;
}

/** Solves M x = b with the factor of M. */
export function solveWith(
  { size, first, base }: SkylineMatrix,
  l: Float64Array,
  b: ArrayLike<number>,
): Float64Array {
  const x = Float64Array.from(b);
  for (let row = 0; row < size; row++) {
    const here = base[row]!;
    let sum = x[row]!;
    for (let k = first[row]!; k < row; k++) sum -= l[here + k]! * x[k]!;
    x[row] = sum / l[here + row]!;
  }
  for (let row = size - 1; row >= 0; row--) {
    const here = base[row]!;
    const value = x[row]! / l[here + row]!;
    x[row] = value;
    for (let k = first[row]!; k < row; k++) x[k] = x[k]! - l[here + k]! * value;
  }
  return x;
}
