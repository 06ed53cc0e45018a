/** What chassis, brakes, tyres and karts demand of their own fields and of one another. */
import type { Problem } from '../problem.ts';
import { problem, warning } from '../problem.ts';
import type { BrakesSpec, ChassisSpec, KartSpec, Project, TyreSpec } from '../schema.ts';
import { tyreDiameter } from '../tyre-size.ts';

const mm = (length: number) => `${Math.round(length * 1000)} mm`;
const rpm = (speed: number) => `${Math.round((speed * 30) / Math.PI)} rpm`;

export function checkTyre(tyre: TyreSpec, path: string): Problem[] {
  const problems: Problem[] = [];
  const diameter = tyre.size === undefined ? undefined : tyreDiameter(tyre.size);
  if (tyre.size === undefined && tyre.rollOut === undefined) {
    problems.push(
      problem('missing', path, 'has neither a size nor a roll-out', {
        remedy: "add 'size' as moulded on the tyre, or better the measured 'rollOut'",
      }),
    );
  } else if (tyre.size !== undefined && diameter === undefined) {
    const report = tyre.rollOut === undefined ? problem : warning;
    problems.push(
      report('bad-text', `${path}.size`, 'the size code cannot be read', {
        value: tyre.size,
        limit: 'forms such as 20x11-9, 25x8R12, 10x4.50-5, 225/40-10 or 20 in',
        remedy: tyre.rollOut === undefined ? 'correct it, or measure the roll-out' : 'the roll-out is used',
      }),
    );
  } else if (diameter !== undefined && tyre.rollOut !== undefined) {
    const expected = Math.PI * diameter * tyre.rollingRadiusFactor;
    if (Math.abs(tyre.rollOut / expected - 1) > 0.1) {
      problems.push(
        warning('disagree', `${path}.rollOut`, 'is more than a tenth away from what the size code gives', {
          value: mm(tyre.rollOut),
          limit: `about ${mm(expected)} for ${tyre.size}`,
          remedy: 'measure again over two turns; the roll-out is used',
        }),
      );
    }
  }
  for (const [surface, grip] of Object.entries(tyre.grip)) {
    for (const field of ['peak', 'lateralPeak'] as const) {
      if (grip[field] === undefined || grip[field] > 0) continue;
      problems.push(
        problem('out-of-range', `${path}.grip.${surface}.${field}`, 'friction must be above zero', {
          value: '0',
        }),
      );
    }
  }
  return problems;
}

export function checkChassis(chassis: ChassisSpec, path: string): Problem[] {
  const problems: Problem[] = [];
  for (const part of ['cg', 'driverAt'] as const) {
    const x = chassis[part].behindFrontAxle;
    if (x >= 0 && x <= chassis.wheelbase) continue;
    problems.push(
      warning('outside-axles', `${path}.${part}.behindFrontAxle`, 'does not lie between the axles', {
        value: mm(x),
        limit: `0 to ${mm(chassis.wheelbase)}`,
        remedy: 'check the sign: behind the front axle is positive',
      }),
    );
  }
  const widest = Math.max(chassis.track.front, chassis.track.rear);
  if (chassis.width !== undefined && chassis.width < widest) {
    problems.push(
      problem('order', `${path}.width`, 'the overall width is less than the track', {
        value: mm(chassis.width),
        limit: mm(widest),
      }),
    );
  }
  if (chassis.unsprung !== undefined) {
    const unsprung = chassis.unsprung.front.mass + chassis.unsprung.rear.mass;
    if (unsprung >= chassis.mass) {
      problems.push(
        problem('order', `${path}.unsprung`, 'weighs as much as the whole chassis', {
          value: `${unsprung.toFixed(1)} kg`,
          limit: `below ${chassis.mass.toFixed(1)} kg`,
          remedy: 'wheels and tyres are counted with the tyres, not here',
        }),
      );
    }
  }
  return problems;
}

export function checkBrakes(brakes: BrakesSpec, path: string): Problem[] {
  const { frontShare, hydraulics } = brakes;
  if ((frontShare === undefined) === (hydraulics === undefined)) {
    const both = frontShare !== undefined;
    return [
      problem(
        'one-of',
        path,
        both ? 'has both a front share and hydraulics' : 'has neither a front share nor hydraulics',
        {
          remedy: both ? 'remove one of them' : "add 'frontShare', or 'hydraulics' from pedal to disc",
        },
      ),
    ];
  }
  if (hydraulics !== undefined && hydraulics.front === undefined && hydraulics.rear === undefined) {
    return [
      problem('missing', `${path}.hydraulics`, 'has no circuit', { remedy: "add 'front', 'rear' or both" }),
    ];
  }
  if (hydraulics === undefined) return [];
  const shares = { front: hydraulics.barFrontShare, rear: 1 - hydraulics.barFrontShare };
  const working = (['front', 'rear'] as const).some(
    (axle) => (hydraulics[axle]?.pistons ?? 0) > 0 && shares[axle] > 0,
  );
  if (working) return [];
  return [
    problem(
      'no-brakes',
      `${path}.hydraulics`,
      'brakes no wheel: the bar sends its force to a circuit that is not there',
      {
        value: `bar ${Math.round(shares.front * 100)} % to the front`,
        remedy: 'set barFrontShare to 1 for front brakes only, to 0 for rear brakes only',
      },
    ),
  ];
}

export function checkKart(kart: KartSpec, path: string, project: Project): Problem[] {
  const problems: Problem[] = [];
  if ((kart.sprockets === undefined) === (kart.finalRatio === undefined)) {
    const both = kart.sprockets !== undefined;
    problems.push(
      problem(
        'one-of',
        path,
        both ? 'has both sprockets and a final ratio' : 'has neither sprockets nor a final ratio',
        {
          remedy: both ? 'remove one of them' : "add 'sprockets' with front and rear teeth, or 'finalRatio'",
        },
      ),
    );
  }
  const donor = own(project.donors, kart.donor);
  if (
    kart.shiftAt !== undefined &&
    donor !== undefined &&
    (kart.shiftAt <= donor.idle || kart.shiftAt > donor.revLimit)
  ) {
    problems.push(
      problem('out-of-range', `${path}.shiftAt`, 'the shift point must lie between idle and the limiter', {
        value: rpm(kart.shiftAt),
        limit: `${rpm(donor.idle)} to ${rpm(donor.revLimit)}`,
      }),
    );
  }
  return [...problems, ...checkBalance(kart, path, project)];
}

/** Total mass, and whether the kart stands on both axles. */
function checkBalance(kart: KartSpec, path: string, project: Project): Problem[] {
  const parts = kart.weighed === undefined ? partsOf(kart, project) : weighedParts(kart.weighed);
  if (parts === undefined) return [];
  const chassis = own(project.chassis, kart.chassis);
  const mass = parts.reduce((sum, part) => sum + part.mass, 0);
  const at = kart.weighed === undefined ? path : `${path}.weighed`;
  if (!(mass > 0)) {
    return [problem('no-mass', at, 'the kart weighs nothing', { value: `${mass} kg`, limit: 'above 0 kg' })];
  }
  if (kart.weighed !== undefined || chassis === undefined) {
    const bare = parts.find((part) => part.mass <= 0);
    if (bare === undefined) return [];
    return [warning('no-load', at, 'one wheel carries nothing', { value: `${bare.mass} kg` })];
  }
  const x = parts.reduce((sum, part) => sum + part.mass * part.x, 0) / mass;
  if (x > 0 && x < chassis.wheelbase) return [];
  return [
    problem('outside-axles', path, 'the centre of gravity of the whole kart does not lie between the axles', {
      value: `${mm(x)} behind the front axle`,
      limit: `0 to ${mm(chassis.wheelbase)}`,
      remedy: 'check masses and positions of chassis, donor, driver and ballast',
    }),
  ];
}

interface Part {
  readonly mass: number;
  readonly x: number;
}

function weighedParts(weighed: NonNullable<KartSpec['weighed']>): Part[] {
  const { frontLeft, frontRight, rearLeft, rearRight } = weighed;
  return [frontLeft, frontRight, rearLeft, rearRight].map((mass) => ({ mass, x: 0 }));
}

function partsOf(kart: KartSpec, project: Project): Part[] | undefined {
  const chassis = own(project.chassis, kart.chassis);
  const donor = own(project.donors, kart.donor);
  const front = own(project.tyres, kart.tyres.front);
  const rear = own(project.tyres, kart.tyres.rear);
  if (chassis === undefined || donor === undefined || front === undefined || rear === undefined)
    return undefined;
  return [
    { mass: chassis.mass, x: chassis.cg.behindFrontAxle },
    { mass: donor.mass, x: chassis.donorAt.behindFrontAxle },
    { mass: kart.driver.mass, x: chassis.driverAt.behindFrontAxle },
    { mass: 2 * front.mass, x: 0 },
    { mass: 2 * rear.mass, x: chassis.wheelbase },
    ...kart.ballast.map((b) => ({ mass: b.mass, x: b.behindFrontAxle })),
  ];
}

/** An entry by id, never a property every JavaScript object has. */
function own<T>(entries: Readonly<Record<string, T>>, id: string): T | undefined {
  return Object.hasOwn(entries, id) ? entries[id] : undefined;
}
