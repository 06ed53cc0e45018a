/**
 * Stopping distance over the front share: the best share, the band round it, and which axle is first to lock.
 *
 * In: stops at rising front shares. Out: best, band within so much of it, the share from which the front locks first.
 * Between two stops the curve is taken as straight. Knows nothing of how the stops were made.
 */

export interface ShareStop {
  readonly frontShare: number;
  /** m; null where the kart could not stop so */
  readonly distance: number | null;
  /** Grip used at the start of full braking, 1 being all of it */
  readonly useFront: number;
  readonly useRear: number;
  /** s, wheels locked while the pedal is held */
  readonly frontLockedFor: number;
  readonly rearLockedFor: number;
}

export interface ShareBand {
  readonly best: number;
  readonly distance: number;
  /** Shares between which no more than `within` is lost */
  readonly from: number;
  readonly to: number;
}

/** Null where no stop is there. */
export function bandOf(stops: readonly ShareStop[], within: number): ShareBand | null {
  const known = stops.flatMap((s) =>
    s.distance === null ? [] : [{ share: s.frontShare, distance: s.distance }],
  );
  if (known.length === 0) return null;
  let b = 0;
  for (let i = 1; i < known.length; i++) if (known[i]!.distance < known[b]!.distance) b = i;
  const limit = known[b]!.distance * (1 + within);
  const edge = (step: 1 | -1): number => {
    let i = b;
    while (known[i + step] !== undefined && known[i + step]!.distance <= limit) i += step;
    const inside = known[i]!;
    const outside = known[i + step];
    if (outside === undefined) return inside.share;
    const part = (limit - inside.distance) / (outside.distance - inside.distance);
    return inside.share + part * (outside.share - inside.share);
  };
  return { best: known[b]!.share, distance: known[b]!.distance, from: edge(-1), to: edge(1) };
}

/** Least share from which on the front is the first at its limit; 1 where the rear always is. */
export function frontFirstFrom(stops: readonly ShareStop[]): number {
  const lead = (s: ShareStop) => s.useFront - s.useRear;
  let from = 1;
  for (let i = stops.length - 1; i >= 0; i--) {
    if (lead(stops[i]!) < -FIRST) {
      const above = stops[i + 1];
      if (above === undefined) return 1;
      const [low, high] = [lead(stops[i]!), lead(above)];
      return stops[i]!.frontShare + ((above.frontShare - stops[i]!.frontShare) * -low) / (high - low);
    }
    from = stops[i]!.frontShare;
  }
  return from;
}

/** Share of an axle's grip: closer than this both are at their limit together. */
const FIRST = 1e-6;

/** Distance at a share between stops, m; null outside them. */
export function distanceAt(stops: readonly ShareStop[], share: number): number | null {
  for (let i = 1; i < stops.length; i++) {
    const [a, b] = [stops[i - 1]!, stops[i]!];
    if (share < a.frontShare || share > b.frontShare) continue;
    if (a.distance === null || b.distance === null) return null;
    const part = b.frontShare > a.frontShare ? (share - a.frontShare) / (b.frontShare - a.frontShare) : 0;
    return a.distance + part * (b.distance - a.distance);
  }
  return null;
}

/** The share that serves several curves: the least of the largest relative loss, looked for at every stop made. */
export function shareServing(
  curves: readonly (readonly ShareStop[])[],
): { readonly frontShare: number; readonly losses: readonly number[] } | null {
  const best = curves.map((stops) => bandOf(stops, 0)?.distance ?? null);
  if (curves.length === 0 || best.includes(null)) return null;
  const shares = [...new Set(curves.flatMap((stops) => stops.map((s) => s.frontShare)))].sort(
    (a, b) => a - b,
  );
  let found: { frontShare: number; losses: number[] } | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const frontShare of shares) {
    const distances = curves.map((stops) => distanceAt(stops, frontShare));
    if (distances.includes(null)) continue;
    const losses = distances.map((d, i) => d! - best[i]!);
    const worst = Math.max(...losses.map((loss, i) => loss / best[i]!));
    if (worst < least) {
      least = worst;
      found = { frontShare, losses };
    }
  }
  return found;
}
