/**
 * The standard normal distribution and its inverse, and the same cut off at both ends.
 *
 * In: plain numbers. Out: probabilities and quantiles. Pinned against SciPy by tests/sim/numerics/normal.test.ts.
 */

/** Probability below z. Marsaglia (2004), Evaluating the normal distribution, J. Stat. Softw. 11(4): series and tail. */
export function normalCdf(z: number): number {
  if (z > 0) return 1 - lowerTail(-z);
  return lowerTail(z);
}

/** From here on the series loses digits against its small sum, and the continued fraction is quick. */
const TAIL = -2;

/** P(Z < z) for z <= 0, to full relative accuracy in the tail too. */
function lowerTail(z: number): number {
  if (z < -39) return 0;
  if (z > TAIL) {
    // 1/2 + phi(z) (z + z^3/3 + z^5/(3 5) + ...)
    let term = z;
    let sum = z;
    for (let i = 3; Math.abs(term) > 1e-18 * Math.abs(sum); i += 2) {
      term *= (z * z) / i;
      sum += term;
    }
    return 0.5 + density(z) * sum;
  }
  // phi(z) / (x + 1/(x + 2/(x + 3/(x + ...)))), x = -z; from the far end
  const x = -z;
  let fraction = x;
  for (let k = 90; k >= 1; k--) fraction = x + k / fraction;
  return density(z) / fraction;
}

export function density(z: number): number {
  return Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
}

/**
 * z with P(Z < z) = p, 0 < p < 1; relative accuracy 1e-15. Algorithm AS 241, PPND16: M. J. Wichura, The percentage
 * points of the normal distribution, Applied Statistics 37 (1988) 477-484.
 */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new Error(`normalQuantile: p = ${p} is not between 0 and 1`);
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) {
    const r = 0.180625 - q * q;
    return (q * horner(A, r)) / horner(B, r);
  }
  const r = Math.sqrt(-Math.log(q < 0 ? p : 1 - p));
  const z = r <= 5 ? horner(C, r - 1.6) / horner(D, r - 1.6) : horner(E, r - 5) / horner(F, r - 5);
  return q < 0 ? -z : z;
}

/** Quantile of a normal distribution cut off below `min` and above `max`; u in (0, 1). */
export function truncatedNormalQuantile(
  u: number,
  mean: number,
  deviation: number,
  min: number,
  max: number,
): number {
  return truncatedNormal(mean, deviation, min, max)(u);
}

/** The same for many u: the ends are worked out once. */
export function truncatedNormal(
  mean: number,
  deviation: number,
  min: number,
  max: number,
): (u: number) => number {
  const a = (min - mean) / deviation;
  const b = (max - mean) / deviation;
  // Worked in the tail where the numbers are small and keep their digits.
  const [sign, low, high] = a > 0 ? [-1, normalCdf(-a), normalCdf(-b)] : [1, normalCdf(a), normalCdf(b)];
  return (u) =>
    Math.min(max, Math.max(min, mean + deviation * sign * normalQuantile(inside(low + u * (high - low)))));
}

/**
 * E[z^k], k = 1 to 4, for z = x - mean, x normal with this mean and deviation and cut off below `min` and above `max`.
 *   E[z^k] = (k - 1) s^2 E[z^(k-2)] - s (h^(k-1) phi(h/s) - l^(k-1) phi(l/s)) / (Phi(h/s) - Phi(l/s)),
 * l and h the ends less the mean: by parts from the density. Needs both ends within 8 deviations on one side or the other
 * of the mean, or the difference of Phi loses its digits; a value in its own limits is.
 */
export function truncatedNormalMoments(
  mean: number,
  deviation: number,
  min: number,
  max: number,
): readonly [number, number, number, number] {
  const low = (min - mean) / deviation;
  const high = (max - mean) / deviation;
  const whole = normalCdf(high) - normalCdf(low);
  // In deviations. An end at infinity, or as good as, has no part in it: z^k phi(z) goes to nothing.
  const edge = (z: number, power: number): number => (Math.abs(z) > 39 ? 0 : z ** power * density(z));
  const raw = [1];
  for (let k = 1; k <= 4; k++)
    raw.push((k - 1) * (raw[k - 2] ?? 0) - (edge(high, k - 1) - edge(low, k - 1)) / whole);
  return [raw[1]! * deviation, raw[2]! * deviation ** 2, raw[3]! * deviation ** 3, raw[4]! * deviation ** 4];
}

function inside(p: number): number {
  return Math.min(1 - 1e-16, Math.max(1e-300, p));
}

function horner(coefficients: readonly number[], x: number): number {
  let sum = 0;
  for (let k = coefficients.length - 1; k >= 0; k--) sum = sum * x + coefficients[k]!;
  return sum;
}

const A = [
  3.3871328727963665, 133.14166789178438, 1971.5909503065513, 13731.69376550946, 45921.95393154987,
  67265.7709270087, 33430.57558358813, 2509.0809287301227,
];
const B = [
  1, 42.31333070160091, 687.1870074920579, 5394.196021424751, 21213.794301586597, 39307.89580009271,
  28729.085735721943, 5226.495278852546,
];
const C = [
  1.4234371107496835, 4.630337846156546, 5.769497221460691, 3.6478483247632045, 1.2704582524523684,
  0.2417807251774506, 0.022723844989269184, 0.0007745450142783414,
];
const D = [
  1, 2.053191626637759, 1.6763848301838038, 0.6897673349851, 0.14810397642748008, 0.015198666563616457,
  0.0005475938084995345, 1.0507500716444169e-9,
];
const E = [
  6.657904643501103, 5.463784911164114, 1.7848265399172913, 0.29656057182850487, 0.026532189526576124,
  0.0012426609473880784, 2.7115555687434876e-5, 2.0103343992922881e-7,
];
const F = [
  1, 0.599832206555888, 0.1369298809227358, 0.014875361290850615, 0.0007868691311456133,
  1.8463183175100548e-5, 1.421511758316446e-7, 2.0442631033899397e-15,
];
