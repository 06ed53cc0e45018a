/**
 * How much the axles carry at given loads: load sensitivity, lateral load transfer, lifted wheels, couplings.
 *
 * In: a placed `Instant` and axle loads. Out: lateral capacities with their slopes against x in the state.
 * A lifted wheel carries nothing, and what its axle cannot take moves to the other axle.
 */
import type { Instant } from './instant.ts';

/** Axle capacities and their slopes against x, at loads Fz_f, Fz_r; `drive` adds shaft transfer. */
export function capacities(g: Instant, ff: number, fr: number, drive: number): void {
  const { k, s, drivesFront } = g;
  const side = s.side;
  const tau = s.tau;
  const trackFront = k.trackFront;
  const trackRear = k.trackRear;
  const shaftTransfer = k.shaftTransfer;
  const momentF = side * k.transferFront;
  const momentR = side * k.transferRear;
  let df = momentF / trackFront;
  let dr = momentR / trackRear;
  let ddf = 0;
  let ddr = 0;
  if (shaftTransfer !== 0 && drive > 0) {
    if (drivesFront) df += shaftTransfer * drive;
    else dr += shaftTransfer * drive;
    if (drivesFront) ddf = shaftTransfer;
    else ddr = shaftTransfer;
  }
  if (df > ff / 2) {
    dr += (momentF - (ff * trackFront) / 2) / trackRear;
    ddr += (tau * trackFront) / (2 * trackRear);
    df = ff / 2;
    ddf = -tau / 2;
    if (dr > fr / 2) {
      dr = fr / 2;
      ddr = tau / 2;
    }
  } else if (dr > fr / 2) {
    df += (momentR - (fr * trackRear) / 2) / trackFront;
    ddf -= (tau * trackRear) / (2 * trackFront);
    dr = fr / 2;
    ddr = tau / 2;
    if (df > ff / 2) {
      df = ff / 2;
      ddf = -tau / 2;
    }
  }
  const muF = k.muFront;
  const fallF = k.fallFront;
  const topF = k.topFront;
  if (ff <= 0) {
    s.capacityFront = muF * ff;
    s.capacityFrontSlope = -muF * tau;
  } else if (ff / 2 + df <= topF) {
    s.capacityFront = muF * ff - fallF * (0.5 * ff * ff + 2 * df * df);
    s.capacityFrontSlope = -(muF - fallF * ff) * tau - 4 * fallF * df * ddf;
  } else {
    const outer = muF * topF - fallF * topF * topF;
    const inner = Math.min(ff / 2 - df, topF);
    s.capacityFront = outer + inner * (muF - fallF * inner);
    s.capacityFrontSlope = (muF - 2 * fallF * inner) * (-tau / 2 - ddf);
  }
  const muR = k.muRear;
  const fallR = k.fallRear;
  const topR = k.topRear;
  if (fr <= 0) {
    s.capacityRear = muR * fr;
    s.capacityRearSlope = muR * tau;
  } else if (fr / 2 + dr <= topR) {
    s.capacityRear = muR * fr - fallR * (0.5 * fr * fr + 2 * dr * dr);
    s.capacityRearSlope = (muR - fallR * fr) * tau - 4 * fallR * dr * ddr;
  } else {
    const outer = muR * topR - fallR * topR * topR;
    const inner = Math.min(fr / 2 - dr, topR);
    s.capacityRear = outer + inner * (muR - fallR * inner);
    s.capacityRearSlope = (muR - 2 * fallR * inner) * (tau / 2 - ddr);
  }
  s.drivenSideways = drivesFront ? df : dr;
  s.drivenSidewaysSlope = drivesFront ? ddf : ddr;
}

/** rho of the driven axle when its wheels are not locked together: lateral over drive capacity. */
export function drivenRatio(g: Instant, load: number): number {
  const { k, s, drivesFront, coupling } = g;
  const rho = drivesFront ? k.rhoFront : k.rhoRear;
  if (coupling === 'spool') return rho;
  const mu = drivesFront ? k.muFront : k.muRear;
  const fall = drivesFront ? k.fallFront : k.fallRear;
  const top = drivesFront ? k.topFront : k.topRear;
  const all = drivesFront ? s.capacityFront : s.capacityRear;
  const inner = Math.min(Math.max(load / 2 - s.drivenSideways, 0), top);
  const outer = Math.min(load / 2 + s.drivenSideways, top);
  const lesser = inner * (mu - fall * inner);
  const greater = outer * (mu - fall * outer);
  const capacity = coupling === 'open' ? 2 * lesser : lesser + Math.min(greater, k.biasRatio * lesser);
  return capacity > 1e-9 * all ? (rho * all) / capacity : rho * 1e9;
}
