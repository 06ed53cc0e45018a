/**
 * A tyre on a surface: peak force against load, and force against slip.
 *
 * In: friction figures and a wheel load (SI). Out: force capacity in newtons, slip-curve values.
 */

/** Peak force of one wheel as a parabola in load, flat beyond its top. */
export interface LoadCurve {
  /** Friction at vanishing load, mu0 (1 + s). */
  readonly slope: number;
  /** Loss of friction per newton of load, mu0 s/F0, 1/N. */
  readonly fall: number;
  /** Load at which the force stops growing, N (Infinity without load sensitivity). */
  readonly topLoad: number;
}

/**
 * Load curve from friction mu0 at reference load F0 and the share s of it lost when the load doubles:
 * D(Fz) = mu0 Fz (1 - s (Fz/F0 - 1)), the form D = (a1 Fz + a2) Fz with a1 = -mu0 s/F0, a2 = mu0 (1 + s).
 * Capacity never decreases with load: beyond the top of the parabola it stays.
 * @param friction mu0, 0 to 5
 * @param sensitivity s, 0 to 0.6
 * @param referenceLoad F0, N, positive
 * Pinned by the `magic-formula-peaks` evidence.
 */
export function loadCurve(friction: number, sensitivity: number, referenceLoad: number): LoadCurve {
  const fall = (friction * sensitivity) / referenceLoad;
  const slope = friction * (1 + sensitivity);
  return { slope, fall, topLoad: fall > 0 ? slope / (2 * fall) : Number.POSITIVE_INFINITY };
}

/** Peak force D(Fz) of one wheel, N; 0 for a wheel in the air. */
export function peakForce(curve: LoadCurve, load: number): number {
  if (load <= 0) return 0;
  const z = Math.min(load, curve.topLoad);
  return z * (curve.slope - curve.fall * z);
}

/** Shape of force against slip, scaled so that the peak is 1 (Magic Formula with D = 1). */
export interface SlipCurve {
  readonly stiffness: number;
  readonly shape: number;
  readonly curvature: number;
}

/**
 * Force over peak force at slip sigma: sin(C atan(B s - E (B s - atan(B s)))).
 * @param slip sigma, 0 (rolling) to 1 (locked)
 * Source: Bakker, Nyborg and Pacejka, SAE 870421. Pinned by the `magic-formula-peaks` evidence.
 */
export function slipForce(curve: SlipCurve, slip: number): number {
  const x = curve.stiffness * slip;
  return Math.sin(curve.shape * Math.atan(x - curve.curvature * (x - Math.atan(x))));
}

/**
 * Slip at which the curve peaks: B s - E (B s - atan(B s)) = tan(pi/(2C)); 1 where it never peaks
 * before locking (C <= 1, as loose ground may behave).
 */
export function peakSlipOf(curve: SlipCurve): number {
  const { stiffness, shape } = curve;
  if (shape <= 1 || stiffness <= 0) return 1;
  let best = 1;
  let bestForce = slipForce(curve, 1);
  // The curve is smooth with a single top in (0, 1): golden section after a coarse look.
  let low = 0;
  let high = 1;
  const coarse = 200;
  for (let i = 1; i < coarse; i++) {
    const f = slipForce(curve, i / coarse);
    if (f > bestForce) {
      bestForce = f;
      best = i / coarse;
    }
  }
  low = Math.max(0, best - 1 / coarse);
  high = Math.min(1, best + 1 / coarse);
  const golden = (Math.sqrt(5) - 1) / 2;
  for (let i = 0; i < 60; i++) {
    const a = high - golden * (high - low);
    const b = low + golden * (high - low);
    if (slipForce(curve, a) >= slipForce(curve, b)) high = b;
    else low = a;
  }
  return (low + high) / 2;
}

/**
 * A slip curve through the builder's two facts: the peak at `peakSlip` and `slidingShare` of the
 * peak when locked. With E = 0 the peak fixes B s_p = tan(pi/(2C)) and C follows from the locked value.
 * @param slidingShare sliding over peak friction, 0 to 1; above 1 (loose ground that piles up) the
 *   curve keeps rising to its locked value and the peak is the locked wheel.
 */
export function slipCurveThrough(peakSlip: number, slidingShare: number): SlipCurve {
  const share = Math.min(slidingShare, 1);
  const locked = (shape: number): number => {
    const stiffness = Math.tan(Math.PI / (2 * shape)) / peakSlip;
    return slipForce({ stiffness, shape, curvature: 0 }, 1);
  };
  let low = 1 + 1e-9;
  let high = 2 - 1e-9;
  if (share >= locked(low) || peakSlip >= 1)
    return { stiffness: Math.tan(Math.PI / (2 * low)) / peakSlip, shape: low, curvature: 0 };
  for (let i = 0; i < 80; i++) {
    const middle = (low + high) / 2;
    if (locked(middle) > share) low = middle;
    else high = middle;
  }
  const shape = (low + high) / 2;
  return { stiffness: Math.tan(Math.PI / (2 * shape)) / peakSlip, shape, curvature: 0 };
}
