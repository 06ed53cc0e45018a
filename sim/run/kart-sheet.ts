/**
 * What a kart amounts to before it runs: masses, weight distribution, tip margin, engine on the day, balance.
 *
 * In: compiled kart. Out: one record in SI, for tables and checks.
 */
import type { CompiledKart } from '../compile/kart.ts';
import { evaluateCubic } from '../numerics/monotone-cubic.ts';
import type { Outcome } from './outcome.ts';

export interface KartSheet {
  readonly kart: string;
  readonly donor: string;
  readonly mass: number;
  readonly frontWeightShare: number;
  readonly cgHeight: number;
  readonly wheelbase: number;
  /** Static loads per axle, N */
  readonly frontLoad: number;
  readonly rearLoad: number;
  /** Roll moment per side force carried by each axle, m */
  readonly transferFront: number;
  readonly transferRear: number;
  /** Lean per g, rad */
  readonly leanPerG: number;
  /** g at which a rigid kart lifts its inner wheels; null where none does */
  readonly tipFactor: number | null;
  /** The same with the give of springs and tyres, steady on the level: what the laps reckon with; null where none does */
  readonly tipAt: number | null;
  readonly radiusFront: number;
  readonly radiusRear: number;
  readonly airDensity: number;
  readonly airPressure: number;
  /** Torque on the day over torque on the sheet */
  readonly torqueFactor: number;
  /**
   * At the crank on the day, whatever the sheet was taken at: torque at the wheel, referred to engine speed, is divided by
   * the efficiency of gearbox and chain that the runs use. N m, rad/s, W
   */
  readonly peakTorque: number;
  readonly peakTorqueAt: number;
  readonly peakPower: number;
  readonly peakPowerAt: number;
  readonly brakeFrontShare: number;
  /** Braking force per pedal force; null where only a share is known */
  readonly brakeGain: number | null;
  readonly finalRatio: number;
  readonly surfaces: readonly {
    readonly id: string;
    readonly peakSlipFront: number;
    readonly peakSlipRear: number;
    readonly slidingShareFront: number;
    readonly slidingShareRear: number;
  }[];
  /** Closed-throttle drag torque against engine speed */
  readonly drag: {
    readonly engineSpeed: Float64Array;
    readonly torque: Float64Array;
    readonly estimate: boolean;
  };
  /** Full-throttle torque and power at the crank on the day */
  readonly engine: {
    readonly engineSpeed: Float64Array;
    readonly torque: Float64Array;
    readonly power: Float64Array;
  };
}

const CURVE_POINTS = 400;

export function runKartSheet(kart: CompiledKart): Outcome<KartSheet> {
  const { envelope: e, drivetrain: d } = kart;
  const weight = kart.mass * e.gravity;
  const low = d.torque.knots[0]!;
  const engineSpeed = Float64Array.from(
    { length: CURVE_POINTS + 1 },
    (_, i) => low + ((d.revLimit - low) * i) / CURVE_POINTS,
  );
  const torque = engineSpeed.map((n) => evaluateCubic(d.torque, n) / d.sheetOverCrank);
  const power = engineSpeed.map((n, i) => n * torque[i]!);
  const dragSpeed = Float64Array.from(
    { length: CURVE_POINTS + 1 },
    (_, i) => d.idle + ((d.safeRev - d.idle) * i) / CURVE_POINTS,
  );
  const peakT = peakOf(torque);
  const peakP = peakOf(power);
  return {
    status: 'done',
    problems: [],
    diagnostics: {},
    result: {
      kart: kart.name,
      donor: d.donor,
      mass: kart.mass,
      frontWeightShare: kart.frontWeightShare,
      cgHeight: e.cgHeight,
      wheelbase: e.wheelbase,
      frontLoad: weight * kart.frontWeightShare,
      rearLoad: weight * (1 - kart.frontWeightShare),
      transferFront: e.transferFront,
      transferRear: e.transferRear,
      leanPerG: kart.leanPerG,
      tipFactor: Number.isFinite(kart.tipFactor) ? kart.tipFactor : null,
      tipAt: tipAt(kart),
      radiusFront: kart.radiusFront,
      radiusRear: kart.radiusRear,
      airDensity: kart.day.density,
      airPressure: kart.day.air.pressure,
      torqueFactor: d.dayFactor,
      peakTorque: torque[peakT]!,
      peakTorqueAt: engineSpeed[peakT]!,
      peakPower: power[peakP]!,
      peakPowerAt: engineSpeed[peakP]!,
      brakeFrontShare: kart.brakes.frontShare,
      brakeGain: kart.brakes.gain ?? null,
      finalRatio: d.finalRatio,
      surfaces: kart.surfaces.map((s) => ({
        id: s.id,
        peakSlipFront: s.front.peakSlip,
        peakSlipRear: s.rear.peakSlip,
        slidingShareFront: s.front.slidingShare,
        slidingShareRear: s.rear.slidingShare,
      })),
      drag: {
        engineSpeed: dragSpeed,
        torque: dragSpeed.map((n) => evaluateCubic(d.drag, n)),
        estimate: d.dragIsEstimate,
      },
      engine: { engineSpeed, torque, power },
    },
  };
}

/** Side force per weight that takes all load off the inner wheels: sum of Fz t/2 over the sum of the roll moments. */
function tipAt({ envelope, frontWeightShare }: CompiledKart): number | null {
  const { trackFront, trackRear, transferFront, transferRear } = envelope;
  const arm = transferFront + transferRear;
  const half = (frontWeightShare * trackFront + (1 - frontWeightShare) * trackRear) / 2;
  return arm > 0 ? half / arm : null;
}

function peakOf(values: Float64Array): number {
  let best = 0;
  for (let i = 1; i < values.length; i++) if (values[i]! > values[best]!) best = i;
  return best;
}
