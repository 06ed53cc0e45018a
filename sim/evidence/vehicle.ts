/**
 * Textbook vehicles written as project files.
 *
 * In: the figures a textbook prints, as text with units or SI numbers. Out: the raw project file a builder
 * could have typed, ids `v` (vehicle), `d` (day), `road` (surface), `line` (track).
 */
import type { ProjectInput } from '../project/schema.ts';

type Value = number | string;

export interface VehicleFigures {
  readonly mass: Value;
  readonly wheelbase: Value;
  /** Centre of gravity behind the front axle */
  readonly toFront: Value;
  readonly cgHeight?: Value;
  readonly track?: Value;
  readonly rollOut?: Value;
  readonly friction?: Value;
  readonly gravity?: Value;
  readonly density?: Value;
  readonly dragArea?: Value;
  readonly downforceArea?: Value;
  readonly rolling?: Value;
  readonly rollingPerSpeed?: Value;
  readonly brakeShare?: Value;
  readonly driven?: 'rear' | 'front' | 'all';
  readonly coupling?: 'spool' | 'open';
  readonly grip?: Readonly<Record<string, unknown>>;
  readonly day?: Readonly<Record<string, unknown>>;
  readonly donor?: Readonly<Record<string, unknown>>;
  readonly chassis?: Readonly<Record<string, unknown>>;
  readonly brakes?: Readonly<Record<string, unknown>>;
  readonly wheelInertia?: { readonly front: Value; readonly rear: Value };
  readonly kart?: Readonly<Record<string, unknown>>;
  readonly line?: Readonly<Record<string, unknown>>;
}

/** Radius with a round roll-out: one engine turn per metre at overall ratio 2 pi r. */
const PLAIN_ROLL_OUT = 2;

export function vehicle(f: VehicleFigures): ProjectInput {
  const tyre = (inertia: Value) => ({
    name: 'Tyre',
    rollOut: f.rollOut ?? PLAIN_ROLL_OUT,
    mass: 0,
    inertia,
    grip: {
      road: {
        peak: f.friction ?? 1,
        loadSensitivity: 0,
        rolling: { coefficient: f.rolling ?? 0, perSpeed: f.rollingPerSpeed ?? 0 },
        ...f.grip,
      },
    },
  });
  const nowhere = { behindFrontAxle: 0, height: 0 };
  return {
    kartwright: 1,
    name: 'Textbook vehicle',
    days: {
      d: {
        name: 'Day',
        gravity: f.gravity ?? 9.80665,
        ...(f.density === undefined ? {} : { density: f.density }),
        ...f.day,
      },
    },
    surfaces: { road: { name: 'Road', kind: 'hard' } },
    tyres: { front: tyre(f.wheelInertia?.front ?? 0), rear: tyre(f.wheelInertia?.rear ?? 0) },
    donors: { e: donorOf(f.donor) },
    chassis: {
      c: {
        name: 'Body',
        mass: f.mass,
        cg: { behindFrontAxle: f.toFront, height: f.cgHeight ?? 0 },
        donorAt: nowhere,
        driverAt: nowhere,
        wheelbase: f.wheelbase,
        track: { front: f.track ?? 1.4, rear: f.track ?? 1.4 },
        turningRadius: 0.3,
        aero: { dragArea: f.dragArea ?? 0, downforceArea: f.downforceArea ?? 0 },
        driven: f.driven ?? 'rear',
        coupling: f.coupling ?? 'spool',
        ...f.chassis,
      },
    },
    brakes: { b: { name: 'Brakes', frontShare: f.brakeShare ?? 0.5, ...f.brakes } },
    karts: {
      v: {
        name: 'Vehicle',
        chassis: 'c',
        donor: 'e',
        brakes: 'b',
        tyres: { front: 'front', rear: 'rear' },
        driver: { mass: 0 },
        finalRatio: 1,
        ...f.kart,
      },
    },
    tracks: f.line === undefined ? {} : { line: { name: 'Line', surface: 'road', width: 20, ...f.line } },
  } as unknown as ProjectInput;
}

function donorOf(figures: VehicleFigures['donor']): Record<string, unknown> {
  const plain = steadyPull(1000, 80);
  if (figures?.['belt'] !== undefined) delete plain['gears'];
  return { ...plain, ...figures };
}

/** A donor whose thrust is the same at every speed up to `fastest`, m/s: force in N at the plain roll-out. */
export function steadyPull(force: number, fastest: number): Record<string, unknown> {
  // Overall ratio 20 at 2 m roll-out: 62.8 rad/s per m/s, thrust 62.8 N per N m.
  const perMetre = (20 * 2 * Math.PI) / PLAIN_ROLL_OUT;
  const top = Math.min(fastest * perMetre, 2600);
  const ratio = (top / fastest / (2 * Math.PI)) * PLAIN_ROLL_OUT;
  const torque = (force * fastest) / top;
  return {
    name: 'Steady pull',
    strokes: 4,
    displacement: '100 cc',
    torque: {
      at: 'crank',
      points: {
        columns: ['rad/s', 'N*m'],
        rows: [
          [11, torque],
          [top, torque],
        ],
      },
    },
    idle: '105 rpm',
    revLimit: top,
    safeRev: top,
    inertia: 0,
    gears: [ratio],
    efficiency: 1,
    mass: 0,
    shift: { up: 0, down: 0 },
  };
}

/** A donor that gives the same power at every speed between `slowest` and `fastest`, m/s: a wide belt drive. */
export function steadyPower(power: number, slowest: number, fastest: number): Record<string, unknown> {
  const speed = 300;
  const ratioAt = (v: number) => ((speed / v) * PLAIN_ROLL_OUT) / (2 * Math.PI);
  return {
    name: 'Steady power',
    strokes: 4,
    displacement: '100 cc',
    torque: {
      at: 'crank',
      points: {
        columns: ['rad/s', 'N*m'],
        rows: [
          [11, power / speed],
          [speed, power / speed],
          [speed * 1.5, power / speed],
        ],
      },
    },
    idle: '105 rpm',
    revLimit: speed * 1.5,
    safeRev: speed * 1.5,
    inertia: 0,
    belt: {
      low: ratioAt(slowest),
      high: ratioAt(fastest),
      engages: '110 rpm',
      shiftsOut: speed,
      efficiency: 1,
    },
    efficiency: 1,
    mass: 0,
    shift: { up: 0, down: 0 },
  };
}
