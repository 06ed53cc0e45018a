/** Safeguarded root of a scalar function on a bracket (Brent's method), always bounded in steps. */

const MAX_STEPS = 120;

/**
 * Finds x in [a, b] with f(x) = 0, given f(a) and f(b) of opposite sign (or zero).
 * Converges to `tolerance` in x plus rounding; throws when the bracket holds no sign change.
 * Source: R. P. Brent, Algorithms for Minimization without Derivatives (1973), ch. 4.
 */
export function findRoot(f: (x: number) => number, a: number, b: number, tolerance = 1e-12): number {
  let fa = f(a);
  let fb = f(b);
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (!(fa * fb < 0)) throw new Error(`findRoot: no sign change on [${a}, ${b}] (${fa}, ${fb})`);
  let c = a;
  let fc = fa;
  let d = b - a;
  let e = d;
  for (let i = 0; i < MAX_STEPS; i++) {
    if (fb * fc > 0) {
      c = a;
      fc = fa;
      d = b - a;
      e = d;
    }
    if (Math.abs(fc) < Math.abs(fb)) {
      a = b;
      b = c;
      c = a;
      fa = fb;
      fb = fc;
      fc = fa;
    }
    const tol = 2 * Number.EPSILON * Math.abs(b) + tolerance / 2;
    const m = (c - b) / 2;
    if (Math.abs(m) <= tol || fb === 0) return b;
    if (Math.abs(e) >= tol && Math.abs(fa) > Math.abs(fb)) {
      const s = fb / fa;
      let p: number;
      let q: number;
      if (a === c) {
        p = 2 * m * s;
        q = 1 - s;
      } else {
        const r1 = fa / fc;
        const r2 = fb / fc;
        p = s * (2 * m * r1 * (r1 - r2) - (b - a) * (r2 - 1));
        q = (r1 - 1) * (r2 - 1) * (s - 1);
      }
      if (p > 0) q = -q;
      else p = -p;
      if (2 * p < Math.min(3 * m * q - Math.abs(tol * q), Math.abs(e * q))) {
        e = d;
        d = p / q;
      } else {
        d = m;
        e = m;
      }
    } else {
      d = m;
      e = m;
    }
    a = b;
    fa = fb;
    b += Math.abs(d) > tol ? d : Math.sign(m) * tol;
    fb = f(b);
  }
  return b;
}
