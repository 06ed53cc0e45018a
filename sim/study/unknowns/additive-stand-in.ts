/**
 * An answer as a sum of parabolas, one per unknown: what the shares of the variance are checked against point by point.
 *
 * In: how far the answer moves with each unknown less and more by its spread. Out: the parabola through the three, as a
 * function of the drawn value less its mean, and its variance in closed form. Costs no run: the moves have been asked for already.
 *   g(x) = sum_i p_i z_i + q_i z_i^2, z_i the drawn value less that in the file
 *   Var(p z + q z^2) = p^2 (m2 - m1^2) + 2 p q (m3 - m1 m2) + q^2 (m4 - m2^2), m_k = E[z^k]
 */
import { truncatedNormalMoments } from '../../numerics/normal.ts';
import type { Unknown } from './unknown.ts';

export interface Parabola {
  /** For a drawn value: how far the answer moves, less how far it moves on average. */
  readonly at: (value: number) => number;
  readonly variance: number;
}

/** `less`, `more`: the answer less its base with the unknown moved by its spread, as far as its limits let it. */
export function parabolaOf(unknown: Unknown, less: number, more: number): Parabola {
  const { note, min, max } = unknown;
  const down = Math.max(min, note.value - note.spread) - note.value;
  const up = Math.min(max, note.value + note.spread) - note.value;
  const [p, q] = coefficients(down, less, up, more);
  const [m1, m2, m3, m4] = truncatedNormalMoments(note.value, note.spread, min, max);
  const mean = p * m1 + q * m2;
  return {
    at: (value) => {
      const z = value - note.value;
      return z * (p + q * z) - mean;
    },
    variance: Math.max(0, p * p * (m2 - m1 * m1) + 2 * p * q * (m3 - m1 * m2) + q * q * (m4 - m2 * m2)),
  };
}

/** Through (down, less), (0, 0) and (up, more); a straight line where a limit leaves no way to one side. */
function coefficients(down: number, less: number, up: number, more: number): [number, number] {
  const fall = down < 0 ? less / down : undefined;
  const rise = up > 0 ? more / up : undefined;
  if (fall === undefined || rise === undefined) return [fall ?? rise ?? 0, 0];
  const q = (rise - fall) / (up - down);
  return [rise - q * up, q];
}
