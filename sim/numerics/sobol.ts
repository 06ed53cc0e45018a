/**
 * Sobol' points, scrambled by seed: evenly spread numbers between 0 and 1 in any number of dimensions.
 *
 * In: number of dimensions, seed, index. Out: the coordinates of one point; each depends on (seed, index, dimension) alone,
 * so that points may be made in any order and by any worker. Construction: Joe and Kuo's direction numbers
 * (sobol-directions.ts); nested uniform scrambling in base 2 (A. B. Owen, Randomly permuted (t,m,s)-nets, 1995) by the
 * Laine-Karras hash; dimensions beyond the table repeat it with the points shuffled in nested order (B. Burley, Practical
 * hash-based Owen scrambling, J. Computer Graphics Techniques 9(4), 2020, sections 3 and 5). Two seeds give independent
 * sets: their scatter is an honest standard error. Pinned by tests/sim/numerics/sobol.test.ts.
 */
import { DIRECTIONS } from './sobol-directions.ts';

export interface SobolSequence {
  readonly dimensions: number;
  /** Coordinates of point `index` under `seed`, each in (0, 1), into `out` or a new array. */
  point(index: number, seed: number, out?: Float64Array): Float64Array;
}

const BITS = 32;
/** Dimensions of the table, the first one included. */
export const TABLED = DIRECTIONS.length + 1;

export function sobolSequence(dimensions: number): SobolSequence {
  const tabled = Math.min(dimensions, TABLED);
  const numbers = Array.from({ length: tabled }, (_, d) => directionNumbers(d));
  return {
    dimensions,
    point(index, seed, out = new Float64Array(dimensions)) {
      let group = -1;
      let place = index;
      for (let d = 0; d < dimensions; d++) {
        if (Math.floor(d / TABLED) !== group) {
          group = Math.floor(d / TABLED);
          // The first group keeps its order: the points of one seed come as the sequence does.
          place = group === 0 ? index : scrambled(index >>> 0, hash(seed, -group));
        }
        const raw = coordinate(numbers[d % TABLED]!, place);
        out[d] = (scrambled(raw, hash(seed, d)) + 0.5) / 2 ** BITS;
      }
      return out;
    },
  };
}

/** A coordinate as a 32-bit whole number before scrambling: exclusive or of the direction numbers of the bits of index. */
export function coordinate(numbers: Uint32Array, index: number): number {
  let x = 0;
  for (let rest = index, k = 0; rest !== 0; rest >>>= 1, k++) if (rest & 1) x ^= numbers[k]!;
  return x >>> 0;
}

/** v_k = m_k 2^(32-k); m by the recurrence of the polynomial (Joe and Kuo 2008, equation 2). */
export function directionNumbers(dimension: number): Uint32Array {
  const v = new Uint32Array(BITS);
  if (dimension === 0) {
    for (let k = 0; k < BITS; k++) v[k] = 2 ** (BITS - 1 - k);
    return v;
  }
  const [polynomial, initial] = DIRECTIONS[dimension - 1]!.split(':') as [string, string];
  const bits = Number(polynomial);
  const m = initial.split(',').map(Number);
  const s = m.length;
  for (let k = 0; k < BITS; k++) {
    if (k < s) v[k] = m[k]! * 2 ** (BITS - 1 - k);
    else {
      let next = v[k - s]! ^ (v[k - s]! >>> s);
      for (let j = 1; j < s; j++) if ((bits >>> (s - j)) & 1) next ^= v[k - j]!;
      v[k] = next;
    }
  }
  return v;
}

/** Nested uniform scrambling: each bit flips by a hash of those above it. */
function scrambled(x: number, seed: number): number {
  let y = reversed(x);
  y = (y + seed) >>> 0;
  y ^= Math.imul(y, 0x6c50b47c);
  y ^= Math.imul(y, 0xb82f1e52);
  y ^= Math.imul(y, 0xc7afe638);
  y ^= Math.imul(y, 0x8d22f6e6);
  return reversed(y >>> 0);
}

function reversed(x: number): number {
  let y = x;
  y = ((y >>> 1) & 0x55555555) | ((y & 0x55555555) << 1);
  y = ((y >>> 2) & 0x33333333) | ((y & 0x33333333) << 2);
  y = ((y >>> 4) & 0x0f0f0f0f) | ((y & 0x0f0f0f0f) << 4);
  y = ((y >>> 8) & 0x00ff00ff) | ((y & 0x00ff00ff) << 8);
  return ((y >>> 16) | (y << 16)) >>> 0;
}

/** Two whole numbers mixed to 32 bits (finaliser of a public-domain hash, each step a bijection). */
export function hash(a: number, b: number): number {
  let h = (Math.imul(a ^ 0x9e3779b9, 0x85ebca6b) + b) | 0;
  for (let round = 0; round < 2; round++) {
    h ^= h >>> 16;
    h = Math.imul(h, 0x85ebca6b);
    h ^= h >>> 13;
    h = Math.imul(h, 0xc2b2ae35);
    h ^= h >>> 16;
    h = (h + 0x27d4eb2f) | 0;
  }
  return h >>> 0;
}
