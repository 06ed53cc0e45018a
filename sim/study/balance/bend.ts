/**
 * Braking in a bend over the front share, read: the best share where there is one, and what is left of the straight.
 *
 * In: decelerations over the front share in the bend and on the straight, the same with the clutch in, the share of the
 * deceleration that counts as no loss. Out: best with its window, null where any share does as well; straight and bend
 * each at their own best share, so that like is compared with like. Pure.
 */
import type { BrakeInCornerResult } from '../../run/brake-in-corner.ts';

/** The greatest deceleration over the front share. */
export interface SlowingBest {
  /** m/s2 */
  readonly deceleration: number;
  /** Null where all shares tried slow as much within the window: any share does */
  readonly frontShare: number | null;
  /** Shares between which no more than the window is lost */
  readonly from: number;
  readonly to: number;
}

export interface BrakingInBend extends BrakeInCornerResult {
  /** Counted from 1; null with the clutch in */
  readonly gear: number | null;
  readonly best: SlowingBest;
  /** On the straight in the same gear, at its own best share */
  readonly straightBest: SlowingBest;
  /** best over straightBest, 0 to 1; null where the straight slows nothing */
  readonly left: number | null;
  /** Deceleration at the share tried that is nearest to the one set now, m/s2 */
  readonly asSet: number;
  /** Axle that the engine alone keeps at its limit at every share, so that the brakes can add nothing; null where none */
  readonly filledByEngine: 'front' | 'rear' | null;
  /** Deceleration with the clutch in at its own best share, m/s2, where it is greater by more than the window; else null */
  readonly clutchInBetter: number | null;
}

/** Use of an axle's grip that counts as all of it: the edge is found to parts in 1e8. */
const ALL = 1 - 1e-6;

export function brakingInBend(
  found: BrakeInCornerResult,
  gear: number | null,
  clutchIn: BrakeInCornerResult | undefined,
  { within, setShare }: { readonly within: number; readonly setShare: number },
): BrakingInBend {
  const best = slowingBest(found.frontShare, found.deceleration, within);
  const straightBest = slowingBest(found.frontShare, found.straight, within);
  const other = clutchIn === undefined ? undefined : Math.max(...clutchIn.deceleration);
  const isAll = (use: Float64Array) => use.every((part) => part >= ALL);
  const fills = gear !== null && best.frontShare === null;
  let nearest = 0;
  for (const [i, share] of found.frontShare.entries())
    if (Math.abs(share - setShare) < Math.abs(found.frontShare[nearest]! - setShare)) nearest = i;
  return {
    ...found,
    gear,
    best,
    straightBest,
    left: straightBest.deceleration > 0 ? best.deceleration / straightBest.deceleration : null,
    asSet: found.deceleration[nearest]!,
    filledByEngine: !fills ? null : isAll(found.useRear) ? 'rear' : isAll(found.useFront) ? 'front' : null,
    clutchInBetter:
      gear !== null && other !== undefined && best.deceleration < other * (1 - within) ? other : null,
  };
}

/** `within`: what may be lost to the greatest, as a share of it. */
export function slowingBest(
  shares: ArrayLike<number>,
  deceleration: ArrayLike<number>,
  within: number,
): SlowingBest {
  const n = shares.length;
  let b = 0;
  for (let i = 1; i < n; i++) if (deceleration[i]! > deceleration[b]!) b = i;
  const limit = deceleration[b]! * (1 - within);
  let from = b;
  while (from > 0 && deceleration[from - 1]! >= limit) from--;
  let to = b;
  while (to + 1 < n && deceleration[to + 1]! >= limit) to++;
  return {
    deceleration: deceleration[b]!,
    frontShare: n > 1 && from === 0 && to === n - 1 ? null : shares[b]!,
    from: shares[from]!,
    to: shares[to]!,
  };
}
