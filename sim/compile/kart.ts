/**
 * A kart ready to run: a validated project's parts followed, weighed and turned into SI constants.
 *
 * In: project, kart id, day id. Out: a readonly `CompiledKart`, or the problems that prevent one.
 * Only this file makes one.
 */
import type { AxleGrip, EnvelopeKart } from '../physics/grip/grip-inputs.ts';
import type { PlacedMass } from '../physics/load-transfer.ts';
import { combineMasses, staticStabilityFactor, transferHeights } from '../physics/load-transfer.ts';
import type { LoadCurve, SlipCurve } from '../physics/tyre.ts';
import { loadCurve, peakSlipOf, slipCurveThrough, slipForce } from '../physics/tyre.ts';
import type { Problem } from '../project/problem.ts';
import { isBlocking, problem, warning } from '../project/problem.ts';
import type { ChassisSpec, DonorSpec, GripSpec, KartSpec, Project, TyreSpec } from '../project/schema.ts';
import { tyreDiameter } from '../project/tyre-size.ts';
import {
  brakeGain,
  rollingRadius,
  rollStiffness,
  rollStiffnessShare,
  weighKart,
} from '../project/worksheets.ts';
import type { CompiledDay } from './day.ts';
import { compileDay } from './day.ts';
import type { Drivetrain } from './drivetrain.ts';
import { compileDrivetrain } from './drivetrain.ts';

/** One axle's tyres on one surface. */
export interface SurfaceGrip {
  readonly grip: AxleGrip;
  /** Lengthwise load curve of one wheel. */
  readonly lengthwise: LoadCurve;
  /** Sliding over peak friction of a locked wheel. */
  readonly slidingShare: number;
  readonly peakSlip: number;
  readonly curve: SlipCurve;
}

export interface SurfacePair {
  readonly id: string;
  readonly name: string;
  readonly kind: 'hard' | 'packed' | 'loose' | 'grass';
  readonly front: SurfaceGrip;
  readonly rear: SurfaceGrip;
}

export interface CompiledKart {
  readonly id: string;
  readonly name: string;
  readonly day: CompiledDay;
  readonly mass: number;
  /** Everything of the grip envelope but the surface. */
  readonly envelope: EnvelopeKart;
  readonly surfaces: readonly SurfacePair[];
  readonly drivetrain: Drivetrain;
  readonly radiusFront: number;
  readonly radiusRear: number;
  readonly width: number;
  readonly turningRadius: number;
  readonly brakes: {
    readonly frontShare: number;
    /** Braking force per newton of pedal force, N/N; undefined when only a share is known. */
    readonly gain?: number;
    readonly buildUp: number;
  };
  readonly driver: { readonly gripUse: number; readonly reaction: number };
  /** Static front share of weight. */
  readonly frontWeightShare: number;
  /** Lateral acceleration in g at which a rigid kart lifts its inner wheels. */
  readonly tipFactor: number;
  /** Lean per g of lateral acceleration, rad; 0 where springs were not given. */
  readonly leanPerG: number;
  readonly price: number | undefined;
}

export interface KartChoice {
  readonly kart: string;
  readonly day: string;
}

/** Spin inertia over m r^2 of a tyre with its rim where none was given: rubber and rim near 0.8 r (assumed). */
const WHEEL_INERTIA_SHARE = 0.65;

/** Factors of correction for which ISO 1585 is stated; the other standards' are about as far. */
const CORRECTED_FROM = 0.93;
const CORRECTED_TO = 1.07;

export function compileKart(
  project: Project,
  choice: KartChoice,
): { kart?: CompiledKart; problems: readonly Problem[] } {
  const problems: Problem[] = [];
  const spec = pick(project.karts, choice.kart, 'karts', problems);
  const daySpec = pick(project.days, choice.day, 'days', problems);
  if (spec === undefined || daySpec === undefined) return { problems };
  const at = `karts.${choice.kart}`;
  const chassis = pick(project.chassis, spec.chassis, 'chassis', problems, `${at}.chassis`);
  const donor = pick(project.donors, spec.donor, 'donors', problems, `${at}.donor`);
  const brakes = pick(project.brakes, spec.brakes, 'brakes', problems, `${at}.brakes`);
  const frontTyre = pick(project.tyres, spec.tyres.front, 'tyres', problems, `${at}.tyres.front`);
  const rearTyre = pick(project.tyres, spec.tyres.rear, 'tyres', problems, `${at}.tyres.rear`);
  if (!chassis || !donor || !brakes || !frontTyre || !rearTyre) return { problems };

  const radiusFront = tyreRadius(frontTyre, `tyres.${spec.tyres.front}`, problems);
  const radiusRear = tyreRadius(rearTyre, `tyres.${spec.tyres.rear}`, problems);
  if (radiusFront === undefined || radiusRear === undefined) return { problems };
  const day = compileDay(daySpec);
  const cg = weigh(spec, chassis, donor, frontTyre, rearTyre, { front: radiusFront, rear: radiusRear });
  if (!(cg.mass > 0))
    problems.push(
      problem('no-mass', at, 'the kart weighs nothing', { remedy: 'give the frame, donor or driver a mass' }),
    );
  if (!(cg.behindFrontAxle > 0 && cg.behindFrontAxle < chassis.wheelbase)) {
    problems.push(
      problem(
        'cg-outside',
        at,
        'the centre of gravity lies outside the wheelbase: the kart would not stand',
        {
          value: `${cg.behindFrontAxle.toFixed(3)} m behind the front axle`,
          limit: `0 to ${chassis.wheelbase} m`,
          remedy: 'check where frame, donor and driver sit, or the corner weights',
        },
      ),
    );
  }
  if (isBlocking(problems)) return { problems };

  const unsprung = (chassis.unsprung?.front.mass ?? 0) + (chassis.unsprung?.rear.mass ?? 0);
  if (unsprung >= cg.mass) {
    problems.push(
      problem('nothing-sprung', `chassis.${spec.chassis}.unsprung`, 'the unsprung masses outweigh the kart', {
        value: `${unsprung.toFixed(1)} kg`,
        limit: `below ${cg.mass.toFixed(1)} kg`,
        remedy: 'give the masses that do not ride on the springs: wheels, hubs, axle',
      }),
    );
    return { problems };
  }
  const roll = rollSetup(chassis);
  const heights = transferHeights({
    mass: cg.mass,
    wheelbase: chassis.wheelbase,
    cg,
    frontShare: roll.frontShare,
    stiffness: roll.stiffness,
    rollCentres: chassis.rollCentres ?? { front: 0, rear: 0 },
    unsprung: chassis.unsprung ?? { front: { mass: 0, height: 0 }, rear: { mass: 0, height: 0 } },
    gravity: day.gravity,
  });
  if (
    roll.stiffness !== undefined &&
    !(heights.front + heights.rear >= 0 && Number.isFinite(heights.front))
  ) {
    problems.push(
      problem(
        'too-soft',
        `chassis.${spec.chassis}.roll`,
        'the springs cannot hold the frame upright in roll',
        { remedy: 'check spring rates, motion ratios and bars' },
      ),
    );
    return { problems };
  }
  if (heights.front < 0 || heights.rear < 0) {
    problems.push(
      problem(
        'roll-centres',
        `chassis.${spec.chassis}.rollCentres`,
        'the roll centres lie so high that an axle would load its inner wheel',
        { remedy: 'check their heights above the ground' },
      ),
    );
    return { problems };
  }
  const spinFront = (2 * wheelInertia(frontTyre, radiusFront)) / radiusFront ** 2;
  const spinRear = (2 * wheelInertia(rearTyre, radiusRear)) / radiusRear ** 2;
  const drivenRadius = chassis.driven === 'front' ? radiusFront : radiusRear;
  const drivetrain = compileDrivetrain({
    donor,
    kart: spec,
    radius: drivenRadius,
    air: day.air,
    coastMass: cg.mass + spinFront + spinRear,
    shiftAt: spec.shiftAt,
  });
  if (donor.torque.points.rows.length > 0 && drivetrain.revLimit < donor.revLimit) {
    problems.push(
      warning(
        'sheet-ends-early',
        `donors.${spec.donor}.torque.points`,
        'the torque points end below the rev limit: nothing is assumed beyond them',
        {
          remedy: 'add a point at the limiter if the engine pulls that far',
        },
      ),
    );
  }
  const { dayFactor } = drivetrain;
  if (dayFactor < 1 / CORRECTED_TO || dayFactor > 1 / CORRECTED_FROM) {
    problems.push(
      warning(
        'beyond-correction',
        `donors.${spec.donor}.torque`,
        'the air of the day is so far from that of the torque sheet that no standard says what the engine gives in it',
        {
          value: `${(100 * dayFactor).toFixed(0)} % of the sheet`,
          limit: `corrections are stated for factors from ${CORRECTED_FROM} to ${CORRECTED_TO}`,
          remedy: 'take the torque as a guess, or enter a sheet taken in such air as it stands',
        },
      ),
    );
  }
  const gain =
    brakes.hydraulics === undefined
      ? undefined
      : brakeGain(
          {
            pedalRatio: brakes.hydraulics.pedalRatio,
            barFrontShare: brakes.hydraulics.barFrontShare,
            ...present('front', brakes.hydraulics.front),
            ...present('rear', brakes.hydraulics.rear),
          },
          { front: radiusFront, rear: radiusRear },
        );
  const frontShare = brakes.frontShare ?? gain?.frontShare ?? 0.5;
  const q = 0.5 * day.density;
  const { aero } = chassis;
  const downforce = 'downforceArea' in aero ? aero.downforceArea : 0;
  const downforceFrontShare = 'downforceFrontShare' in aero ? aero.downforceFrontShare : 0.5;
  const dragHeight = 'height' in aero ? aero.height : 0;
  const coupling = typeof chassis.coupling === 'string' ? chassis.coupling : 'limited';
  const envelope: EnvelopeKart = {
    mass: cg.mass,
    gravity: day.gravity,
    wheelbase: chassis.wheelbase,
    toFront: cg.behindFrontAxle,
    toRear: chassis.wheelbase - cg.behindFrontAxle,
    cgHeight: cg.height,
    trackFront: chassis.track.front,
    trackRear: chassis.track.rear,
    transferFront: heights.front,
    transferRear: heights.rear,
    spinFront,
    spinRear,
    drag: q * aero.dragArea,
    downFront: q * downforce * downforceFrontShare,
    downRear: q * downforce * (1 - downforceFrontShare),
    dragHeight,
    headwind: day.headwind,
    driven: chassis.driven,
    coupling,
    biasRatio: typeof chassis.coupling === 'string' ? 1 : chassis.coupling.biasRatio,
    shaftTransfer: shaftTransfer(chassis, drivenRadius, roll.frontShare),
    brakeShare: frontShare,
  };
  const meanTrack = (chassis.track.front + chassis.track.rear) / 2;
  const kart: CompiledKart = {
    id: choice.kart,
    name: spec.name,
    day,
    mass: cg.mass,
    envelope,
    surfaces: surfacePairs(project, frontTyre, rearTyre, day),
    drivetrain,
    radiusFront,
    radiusRear,
    width: chassis.width ?? Math.max(chassis.track.front, chassis.track.rear) + 0.25,
    turningRadius: chassis.turningRadius,
    brakes: {
      frontShare,
      buildUp: brakes.buildUp,
      ...(gain === undefined ? {} : { gain: gain.front + gain.rear }),
    },
    driver: {
      gripUse: 'gripUse' in spec.driver ? spec.driver.gripUse : 1,
      reaction: 'reaction' in spec.driver ? spec.driver.reaction : 0,
    },
    frontWeightShare: (chassis.wheelbase - cg.behindFrontAxle) / chassis.wheelbase,
    tipFactor: staticStabilityFactor(meanTrack, cg.height),
    leanPerG: heights.lean,
    price: donor.price,
  };
  return { kart, problems };
}

/** The kart with a share of every tyre's friction: a driver who does not use it all round a lap. */
export function scaleGrip(kart: CompiledKart, factor: number): CompiledKart {
  if (factor === 1) return kart;
  const scaleAxle = (g: SurfaceGrip): SurfaceGrip => ({
    ...g,
    grip: { ...g.grip, slope: g.grip.slope * factor, fall: g.grip.fall * factor },
    lengthwise: { ...g.lengthwise, slope: g.lengthwise.slope * factor, fall: g.lengthwise.fall * factor },
  });
  return {
    ...kart,
    surfaces: kart.surfaces.map((s) => ({ ...s, front: scaleAxle(s.front), rear: scaleAxle(s.rear) })),
  };
}

/** The surface a run asks for, or the problem of its absence. */
export function surfaceOf(kart: CompiledKart, id: string): SurfacePair | Problem {
  const found = kart.surfaces.find((s) => s.id === id);
  if (found !== undefined) return found;
  return problem(
    'no-grip',
    `karts.${kart.id}.tyres`,
    `the tyres have no friction figures for the surface '${id}'`,
    {
      limit: `figures exist for: ${kart.surfaces.map((s) => s.id).join(', ') || 'none'}`,
      remedy: 'add the surface to the grip of both tyres',
    },
  );
}

function pick<T>(
  record: Readonly<Record<string, T>>,
  id: string,
  kind: string,
  problems: Problem[],
  path = kind,
): T | undefined {
  if (Object.hasOwn(record, id)) return record[id];
  problems.push(
    problem('missing-reference', path, `there is no '${id}' in ${kind}`, {
      value: `'${id}'`,
      limit: Object.keys(record).slice(0, 12).join(', ') || 'none there',
      remedy: `add it to ${kind} or name one that is there`,
    }),
  );
  return undefined;
}

function tyreRadius(tyre: TyreSpec, path: string, problems: Problem[]): number | undefined {
  if (tyre.rollOut !== undefined) return rollingRadius(tyre.rollOut);
  const diameter = tyre.size === undefined ? undefined : tyreDiameter(tyre.size);
  if (diameter !== undefined) return (diameter / 2) * tyre.rollingRadiusFactor;
  problems.push(
    problem('no-radius', path, 'the tyre has neither a roll-out nor a size code that can be read', {
      ...(tyre.size === undefined ? {} : { value: `'${tyre.size}'` }),
      remedy: 'measure the roll-out: one turn of the loaded wheel',
    }),
  );
  return undefined;
}

function weigh(
  spec: KartSpec,
  chassis: ChassisSpec,
  donor: DonorSpec,
  frontTyre: TyreSpec,
  rearTyre: TyreSpec,
  radius: { front: number; rear: number },
): PlacedMass {
  if (spec.weighed !== undefined) {
    const weighed = weighKart(spec.weighed, chassis.wheelbase, chassis.track);
    return { mass: weighed.mass, behindFrontAxle: weighed.behindFrontAxle, height: spec.weighed.cgHeight };
  }
  const driverMass = spec.driver.mass;
  return combineMasses([
    { mass: chassis.mass, ...chassis.cg },
    { mass: donor.mass, ...chassis.donorAt },
    { mass: driverMass, ...chassis.driverAt },
    { mass: 2 * frontTyre.mass, behindFrontAxle: 0, height: radius.front },
    { mass: 2 * rearTyre.mass, behindFrontAxle: chassis.wheelbase, height: radius.rear },
    ...spec.ballast,
  ]);
}

function rollSetup(chassis: ChassisSpec): { frontShare: number; stiffness?: number } {
  const { roll } = chassis;
  if ('frontShare' in roll) return { frontShare: roll.frontShare };
  const [front, rear] =
    'frontStiffness' in roll
      ? [roll.frontStiffness, roll.rearStiffness]
      : [rollStiffness(roll.front, chassis.track.front), rollStiffness(roll.rear, chassis.track.rear)];
  return { frontShare: rollStiffnessShare(front, rear), stiffness: front + rear };
}

function wheelInertia(tyre: TyreSpec, radius: number): number {
  return tyre.inertia ?? WHEEL_INERTIA_SHARE * tyre.mass * radius * radius;
}

/** Torque reaction of a lengthwise shaft on a live axle: side load per newton of drive (Gillespie, eq. 2-21). */
function shaftTransfer(chassis: ChassisSpec, radius: number, frontShare: number): number {
  if (chassis.liveAxleShaftRatio === undefined) return 0;
  const driven = chassis.driven === 'front' ? chassis.track.front : chassis.track.rear;
  const opposite = chassis.driven === 'front' ? 1 - frontShare : frontShare;
  return (radius / (chassis.liveAxleShaftRatio * driven)) * opposite;
}

function surfacePairs(project: Project, front: TyreSpec, rear: TyreSpec, day: CompiledDay): SurfacePair[] {
  return Object.entries(project.surfaces).flatMap(([id, surface]) => {
    const f = Object.hasOwn(front.grip, id) ? front.grip[id] : undefined;
    const r = Object.hasOwn(rear.grip, id) ? rear.grip[id] : undefined;
    if (f === undefined || r === undefined) return [];
    const scale = day.grip[id] ?? 1;
    return [
      {
        id,
        name: surface.name,
        kind: surface.kind,
        front: surfaceGrip(f, scale),
        rear: surfaceGrip(r, scale),
      },
    ];
  });
}

function surfaceGrip(spec: GripSpec, factor: number): SurfaceGrip {
  const lengthwise = loadCurve(spec.peak * factor, spec.loadSensitivity, spec.referenceLoad);
  const lateral = loadCurve(
    (spec.lateralPeak ?? spec.peak) * factor,
    spec.loadSensitivity,
    spec.referenceLoad,
  );
  const given = spec.curve;
  const sliding = spec.sliding ?? spec.peak;
  const slidingShare = given !== undefined ? slipForce(given, 1) : spec.peak > 0 ? sliding / spec.peak : 1;
  const curve = given ?? slipCurveThrough(spec.peakSlip, slidingShare);
  return {
    grip: {
      ...lateral,
      lateralRatio: spec.peak > 0 ? (spec.lateralPeak ?? spec.peak) / spec.peak : 1,
      rolling: spec.rolling.coefficient,
      rollingPerSpeed: spec.rolling.perSpeed,
      rollingPerSpeedSquared: spec.rolling.perSpeedSquared,
    },
    lengthwise,
    slidingShare,
    peakSlip: given !== undefined ? peakSlipOf(given) : slidingShare > 1 ? 1 : spec.peakSlip,
    curve,
  };
}

function present<K extends string, V>(key: K, value: V | undefined): Partial<Record<K, V>> {
  return value === undefined ? {} : ({ [key]: value } as Partial<Record<K, V>>);
}
