/**
 * Whatever a builder may enter: seeded extreme changes of the demo that the reader accepts, and extreme requests.
 * An answer never throws, is done or partial with a result of finite numbers or says what the problem is, ends soon,
 * carries no wheel below zero and no axle beyond its grip. Values come from the limits of the table of quantities.
 */
import { expect, it } from 'vitest';
import type { Answer, QuantityName, Request } from '../../sim/index.ts';
import { perform, quantity, readProjectValue } from '../../sim/index.ts';
import { demoInput } from '../../ui/demo/demo-project.ts';
import type { Raw } from '../sim/demo-project.ts';

const CASES = 900;
const MOST_TIME = 12_000; // ms for all cases: the suite's budget, not a claim about speed
const SLOWEST = 2000; // ms for one answer: what a builder waits for without wondering
// Accelerations are reported between stations up to 2 m apart; with the clutch in, 0.05 is seen at that spacing.
const COARSENESS = 0.1;

const SURFACES = ['asphalt', 'packed-earth', 'loose-clay', 'grass'];

/** Mulberry32: a small seeded generator, so that a failing case can be run again by its number. */
function random(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = Math.imul(a ^ (a >>> 15), a | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

function chooser(seed: number) {
  const next = random(seed);
  const pick = <T>(of: readonly T[]): T => of[Math.floor(next() * of.length)]!;
  /** A limit of the table, a power of ten below the upper one, a usual value, or anything between. */
  const within = (name: QuantityName): number => {
    const { min, max, usual } = quantity(name);
    const kind = next();
    if (kind < 0.15) return min;
    if (kind < 0.3) return max;
    if (kind < 0.5 && min >= 0) return Math.max(min, max * 10 ** (-9 * next()));
    const [low, high] = kind < 0.8 && usual !== undefined ? usual : [min, max];
    return low + (high - low) * next();
  };
  return { next, pick, within };
}
type Chooser = ReturnType<typeof chooser>;

const grips = (raw: Raw): Raw[] => Object.values(raw.tyres).flatMap((tyre: Raw) => Object.values(tyre.grip));
const each = (group: Raw): Raw[] => Object.values(group);

const CHANGES: Record<string, (raw: Raw, c: Chooser) => void> = {
  day: (raw, { pick, within }) => {
    for (const day of each(raw.days)) {
      const name = pick(['temperature', 'altitude', 'humidity', 'gravity'] as const);
      day[name] = within(name);
      day.wind = { speed: within('windSpeed'), along: pick(['with', 'against', 'none']) };
    }
  },
  friction: (raw, { pick, within }) => {
    for (const grip of grips(raw)) {
      grip.peak = pick([1e-9, 0.01, 5, within('friction')]);
      delete grip.sliding;
      grip.loadSensitivity = within('loadSensitivity');
      grip.rolling = { coefficient: within('rollingResistance') };
    }
  },
  sideways: (raw, { within }) => {
    for (const grip of grips(raw)) grip.lateralPeak = within('friction');
  },
  wheels: (raw, { within }) => {
    for (const tyre of each(raw.tyres))
      Object.assign(tyre, { rollOut: within('rollOut'), mass: within('wheelMass') });
  },
  mass: (raw, { pick, within }) => {
    for (const chassis of each(raw.chassis)) chassis.mass = pick([0.001, 1e5, within('mass')]);
    for (const donor of each(raw.donors)) donor.mass = pick([0, within('mass')]);
    for (const kart of each(raw.karts)) kart.driver.mass = within('driverMass');
  },
  tall: (raw, { next, within }) => {
    for (const chassis of each(raw.chassis)) {
      const x = chassis.wheelbase === '1750 mm' ? 1.75 * (0.01 + 0.98 * next()) : 0.9;
      chassis.cg = { behindFrontAxle: x, height: within('cgHeight') };
      chassis.driverAt = { behindFrontAxle: x, height: within('cgHeight') };
    }
  },
  roll: (raw, { pick, within }) => {
    for (const chassis of each(raw.chassis)) {
      chassis.roll = pick([
        { frontShare: within('rollStiffnessShare') },
        { frontStiffness: within('rollStiffness'), rearStiffness: within('rollStiffness') },
      ]);
      chassis.rollCentres = { front: within('cgHeight'), rear: within('cgHeight') };
    }
  },
  air: (raw, { pick, within }) => {
    for (const chassis of each(raw.chassis)) {
      chassis.aero = {
        dragArea: within('dragArea'),
        downforceArea: pick([50, -20, within('downforceArea')]),
        downforceFrontShare: within('share'),
        height: within('aeroHeight'),
      };
    }
  },
  axles: (raw, { pick, within }) => {
    for (const chassis of each(raw.chassis)) {
      chassis.driven = pick(['rear', 'front', 'all']);
      chassis.coupling = pick(['spool', 'open', { biasRatio: within('biasRatio') }]);
    }
  },
  brakes: (raw, { pick, within }) => {
    raw.brakes.bar = {
      name: 'Bar',
      frontShare: pick([0, 1, within('brakeShare')]),
      buildUp: within('delay'),
    };
  },
  driver: (raw, { within }) => {
    for (const kart of each(raw.karts)) kart.driver.gripUse = within('gripUse');
  },
  teeth: (raw, { next }) => {
    const teeth = () => Math.round(5 + 115 * next());
    for (const kart of each(raw.karts)) kart.sprockets = { front: teeth(), rear: teeth() };
  },
  scales: (raw, { next, within }) => {
    const load = () => 300 * next() ** 4;
    for (const kart of each(raw.karts))
      kart.weighed = {
        frontLeft: load(),
        frontRight: load(),
        rearLeft: load(),
        rearRight: load(),
        cgHeight: within('cgHeight'),
      };
  },
  gears: (raw, { pick, within }) => {
    for (const donor of [raw.donors.four, raw.donors.single]) {
      const [first, step] = [Math.max(0.1, within('ratio')), pick([0.999999, 0.9, 0.6])];
      const count = pick([1, 2, 12]);
      donor.gears = Array.from({ length: count }, (_, i) => first * step ** i).filter(
        (ratio) => ratio > 0.05,
      );
      donor.shift = { up: within('shiftTime'), down: within('shiftTime') };
    }
  },
  clutch: (raw, { within }) => {
    for (const donor of each(raw.donors)) donor.clutch = { torque: within('clutchTorque') };
  },
  engine: (raw, { next, pick, within }) => {
    for (const donor of each(raw.donors)) {
      const rows = [1000, 3000, 9000].map((rpm) => [rpm, pick([0, 1e-6, 300 * next(), 20_000])]);
      donor.torque = { at: pick(['crank', 'wheel']), points: { columns: ['rpm', 'N·m'], rows } };
      donor.inertia = within('engineInertia');
      donor.pumping = within('pumpingPressure');
      delete donor.closedThrottle;
    }
  },
  stretches: (raw, { next, pick, within }) => {
    const stretch = () => ({
      ...(next() < 0.5
        ? { straight: pick([0.001, 10, 500 * next() + 0.1]) }
        : {
            turn: pick(['left', 'right']),
            angle: pick(['0.001°', '90°', '720°']),
            radius: pick([3.3, 60 * next() + 3, 1e4]),
          }),
      ...(next() < 0.4 ? { grade: within('grade') } : {}),
      ...(next() < 0.3 ? { bank: within('bank') } : {}),
      ...(next() < 0.2 ? { speedLimit: pick([0, 1e-6, within('speed')]) } : {}),
    });
    const stretches = Array.from({ length: 1 + Math.floor(next() * 6) }, stretch);
    const startSpeed = pick([0, 0, 10, within('speed')]);
    raw.tracks.oval = { name: 'Odd', closed: false, surface: pick(SURFACES), startSpeed, stretches };
  },
};

function requestFor({ pick, within }: Chooser): Request {
  const who = {
    kart: pick([
      'clodlet-four-asphalt',
      'clodlet-single-knobbly',
      'clodlet-twin-asphalt',
      'clodlet-single-plain',
    ]),
    day: pick(['mild', 'high-heat', 'damp']),
  };
  const surface = pick(SURFACES);
  const grade = pick([0, 0, 2, -2, within('grade')]);
  const engine = pick(['clutch in', 'in gear', 'shifting down'] as const);
  const brakes = pick(['threshold', 'locked', 'ideal', 'none'] as const);
  const engineBraking = pick(['as it pays', 'always', 'never'] as const);
  const track = pick(['oval', 'oval', 'circle', 'tansy-hollow', 'fettlebrow']);
  return pick<Request>([
    { verb: 'sheet', ...who },
    { verb: 'topspeed', ...who, surface, options: { grade } },
    { verb: 'balance-curve', ...who, surface },
    { verb: 'chain', ...who, options: { links: pick([2, 40, 106, 107, 4000]), rear: within('teeth') } },
    { verb: 'chain', ...who },
    {
      verb: 'brake-in-corner',
      ...who,
      surface,
      options: { speed: pick([1e-6, 16, 400]), lateralShare: pick([0, 0.5, 0.999]), gear: pick([1, 2]) },
    },
    { verb: 'corner', ...who, surface, options: { radius: within('radius'), grade, bank: within('bank') } },
    { verb: 'brake', ...who, surface, options: { fromSpeed: pick([1e-6, 16, 400]), grade, brakes, engine } },
    { verb: 'accelerate', ...who, surface, options: { grade, fromSpeed: pick([0, 10, 400]) } },
    { verb: 'lap', ...who, track, spacing: pick([0.5, 2, 1000]), options: { engineBraking } },
    { verb: 'lap', ...who, track, spacing: 2, options: { start: 'standing', engineBraking } },
  ]);
}

function notFinite(value: unknown, at: string): string[] {
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [`${at} = ${value}`];
  if (value === null || typeof value !== 'object') return [];
  const found = Object.entries(value).flatMap(([key, inner]) => notFinite(inner, `${at}.${key}`));
  return found.slice(0, 2);
}

/** What is wrong with an answer. */
function faults(answer: Answer, spacing: number): string[] {
  const { status, problems, result } = answer;
  const blocked = problems.some((p) => p.severity === 'problem');
  if (result === undefined) {
    if (status === 'done' || status === 'partial') return [`${status} without a result`];
    return blocked ? [] : [`${status} without a problem`];
  }
  if (status === 'partial' && problems.length === 0) return ['partial without a problem'];
  const wrong = [...notFinite(result, 'result'), ...notFinite(answer.diagnostics, 'diagnostics')];
  if (/NaN|Infinity|undefined/.test(JSON.stringify(problems))) wrong.push(`problem ${problems[0]?.message}`);
  if (!('averageSpeed' in result) || status !== 'done') return wrong;
  if (!(result.time > 0)) wrong.push(`lap time ${result.time}`);
  const c = result.columns;
  for (const name of ['frontLeft', 'frontRight', 'rearLeft', 'rearRight'] as const) {
    const [least, most] = [
      c[name].reduce((a, b) => Math.min(a, b), 0),
      c[name].reduce((a, b) => Math.max(a, b), 1),
    ];
    // Rounding of the largest load.
    if (least < -1e-9 * most) wrong.push(`${name} carries ${least} N`);
  }
  if (spacing > 2) return wrong;
  for (const name of ['useFront', 'useRear'] as const) {
    const [left, right] = name === 'useFront' ? [c.frontLeft, c.frontRight] : [c.rearLeft, c.rearRight];
    // An axle about to lift carries a few newtons, of which a step's change of speed is a large part.
    const stands = (i: number) =>
      left[i]! + right[i]! > 0.02 * (c.frontLeft[i]! + c.frontRight[i]! + c.rearLeft[i]! + c.rearRight[i]!);
    const most = c[name].reduce((a, b, i) => (stands(i) ? Math.max(a, b) : a), 0);
    if (most > 1 + COARSENESS) wrong.push(`${name} ${most}`);
  }
  return wrong;
}

const DEMO = JSON.stringify(demoInput());

it(
  'answers every extreme project and request with finite numbers or a problem',
  () => {
    const found: string[] = [];
    const seen = { refused: 0, done: 0, partial: 0, failed: 0, problems: 0 };
    const start = performance.now();
    for (let seed = 1; seed <= CASES && performance.now() - start < MOST_TIME; seed++) {
      const c = chooser(seed);
      const raw = JSON.parse(DEMO);
      const names = Array.from({ length: 1 + Math.floor(c.next() * 4) }, () => c.pick(Object.keys(CHANGES)));
      for (const name of names) CHANGES[name]!(raw, c);
      const request = requestFor(c);
      const { project } = readProjectValue(raw);
      if (project === undefined) {
        seen.refused += 1;
        continue;
      }
      const say = (fault: string) =>
        found.push(`case ${seed} (${names.join(', ')}) ${request.verb}: ${fault}`);
      try {
        const before = performance.now();
        const answer = perform(project, request);
        const took = performance.now() - before;
        if (took > SLOWEST) say(`took ${Math.round(took)} ms`);
        seen[answer.status] += 1;
        for (const fault of faults(answer, 'spacing' in request ? (request.spacing ?? 0) : 0)) say(fault);
      } catch (error) {
        say(`threw ${error}`);
      }
    }
    // The changes must not be so wild that hardly anything is computed.
    expect(seen.done).toBeGreaterThan(100);
    expect(found).toEqual([]);
  },
  3 * MOST_TIME,
);
