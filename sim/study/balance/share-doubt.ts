/**
 * How unsure the share at a bar setting is, and the best share with it: to first order, each input moved by its spread.
 *
 * In: shares and best shares of the kart with each input less and more by its spread. Out: standard deviations
 *   u(phi) = phi (1 - phi) u(ln(phi/(1 - phi))),  u(b) = b (1 - b) u(ln(phi/(1 - phi)) - ln(p/(1 - p)))
 * for phi/(1 - phi) = (b/(1 - b)) k_f/k_r: pads, discs and pistons multiply the odds phi/(1 - phi) alike at every setting
 * b of the bar, so that what they leave open is one number for all marks (closed form; derivative of the odds). The best
 * share p is that of the stop with both axles at their own grip (sim/run/best-share.ts), so that front and rear tyres in doubt
 * by themselves count. Inputs that move both are counted once (JCGM 100:2008, 5.2.2 note 1). Pure.
 */

import type { Probe } from '../first-order.ts';
import { firstOrder } from '../first-order.ts';

/** Front shares of a kart: as the brakes give it, and as the ideal distribution wants it; 0 to 1. */
export interface SharePair {
  readonly set: number;
  readonly best: number;
}

export interface ShareDoubt {
  /** One standard deviation of the front share where the brakes give `share`; null at 0 or 1 */
  readonly ofShare: (share: number) => number | null;
  /** One standard deviation of the best share */
  readonly ofBest: number;
  /** One standard deviation of the bar position that gives the best share, where that stands at `bar` */
  readonly ofBar: (bar: number) => number | null;
}

/** Null without probes or where a share is beyond the brakes. `found[i]` belongs to `probes[i]`. */
export function shareDoubt(
  base: SharePair,
  probes: readonly Probe[],
  found: readonly { readonly less: SharePair | null; readonly more: SharePair | null }[],
): ShareDoubt | null {
  const odds = (share: number): number | null =>
    share > 0 && share < 1 ? Math.log(share / (1 - share)) : null;
  const apart = ({ set, best }: SharePair): number | null => {
    const [a, b] = [odds(set), odds(best)];
    return a === null || b === null ? null : a - b;
  };
  const spreadOf = (of: (pair: SharePair) => number | null): number | null => {
    const now = of(base);
    const moved = (pair: SharePair | null) => (pair === null ? null : of(pair));
    if (now === null || probes.length === 0) return null;
    const each = found.map(({ less, more }) => ({ less: moved(less), more: moved(more) }));
    return firstOrder(now, probes, each).spread;
  };
  const [ofSet, ofBest, ofApart] = [
    spreadOf(({ set }) => odds(set)),
    spreadOf(({ best }) => best),
    spreadOf(apart),
  ];
  if (ofSet === null || ofBest === null || ofApart === null) return null;
  const inside = (share: number) => (share > 0 && share < 1 ? share * (1 - share) : null);
  const times = (factor: number | null, spread: number) => (factor === null ? null : factor * spread);
  return {
    ofShare: (share) => times(inside(share), ofSet),
    ofBest,
    ofBar: (bar) => times(inside(bar), ofApart),
  };
}
