/** Karts and tracks drawn at random for the property tests; every number invented. Knows nothing of what is asserted. */
import fc from 'fast-check';
import {
  type Project,
  type ProjectInput,
  perform,
  type Request,
  readProjectValue,
  type Verb,
} from '../../sim/index.ts';

const RPM = Math.PI / 30;

/** What a property may turn; SI. */
export interface Knobs {
  readonly mass: number;
  readonly frontShare: number;
  readonly cgHeight: number;
  readonly torque: number;
  readonly peak: number;
  readonly sensitivity: number;
  readonly referenceLoad: number;
  readonly dragArea: number;
  readonly rolling: number;
  readonly rollShare: number;
  readonly brakeShare: number;
  readonly gears: readonly number[];
  readonly engineInertia: number;
  readonly wheelInertia: number;
  readonly shiftTime: number;
  readonly grip: number;
  readonly gravity: number;
  /** Every length of the kart, radius of the wheels included, against the usual */
  readonly size: number;
  /** Every engine speed against the usual */
  readonly revs: number;
  readonly points: readonly { readonly x: number; readonly y: number }[];
}

const span = (min: number, max: number) => fc.double({ min, max, noNaN: true, noDefaultInfinity: true });

/** Corners of a loop: radii about a circle, so that the curve never folds over itself. */
export const loop = fc.array(span(0.75, 1.25), { minLength: 6, maxLength: 8 }).map((radii) =>
  radii.map((radius, i) => ({
    x: 40 * radius * Math.cos((2 * Math.PI * i) / radii.length),
    y: 40 * radius * Math.sin((2 * Math.PI * i) / radii.length),
  })),
);

export const knobs: fc.Arbitrary<Knobs> = fc.record({
  mass: span(220, 420),
  frontShare: span(0.38, 0.52),
  cgHeight: span(0.25, 0.45),
  torque: span(15, 60),
  peak: span(0.5, 1.1),
  sensitivity: span(0, 0.15),
  referenceLoad: span(550, 1000),
  dragArea: span(0.4, 1.2),
  rolling: span(0.01, 0.06),
  rollShare: span(0.35, 0.65),
  brakeShare: span(0.5, 0.7),
  gears: fc.constantFrom([1.7], [2.4, 1.6], [2.6, 1.8, 1.3]),
  engineInertia: span(0.003, 0.02),
  wheelInertia: span(0.05, 0.3),
  shiftTime: fc.constant(0),
  grip: fc.constant(1),
  gravity: fc.constant(9.80665),
  size: fc.constant(1),
  revs: fc.constant(1),
  points: loop,
});

/** The project a set of knobs stands for, as somebody would write it. */
export function inputOf(k: Knobs): ProjectInput {
  const grip = {
    peak: k.peak,
    lateralPeak: 0.95 * k.peak,
    sliding: 0.8 * k.peak,
    loadSensitivity: k.sensitivity,
    referenceLoad: k.referenceLoad,
    rolling: { coefficient: k.rolling },
  };
  const wheel = { rollOut: 1.6 * k.size, inertia: k.wheelInertia, grip: { pad: grip } };
  const torque = [0.7, 0.85, 1, 0.98, 0.9, 0.7].map((share) => share * k.torque);
  const speeds = [300, 3000, 5000, 6500, 8000, 9500];
  return {
    kartwright: 1,
    note: 'Random numbers; no real kart.',
    days: { day: { name: 'Day', density: 1.2, gravity: k.gravity, grip: { pad: k.grip } } },
    surfaces: { pad: { name: 'Pad', kind: 'hard' } },
    tyres: { front: { name: 'Front', ...wheel }, rear: { name: 'Rear', ...wheel } },
    donors: {
      engine: {
        name: 'Engine',
        strokes: 4,
        displacement: 4.5e-4,
        torque: {
          at: 'crank',
          points: {
            columns: ['rpm', 'N·m'],
            rows: speeds.map((n, i) => [n * k.revs, torque[i]!] as [number, number]),
          },
        },
        idle: 1400 * RPM * k.revs,
        revLimit: 9500 * RPM * k.revs,
        safeRev: 10_500 * RPM * k.revs,
        inertia: k.engineInertia,
        primary: 2.2,
        gears: [...k.gears],
        shift: { up: k.shiftTime, down: k.shiftTime },
        clutch: { launchSpeed: 4000 * RPM * k.revs },
        efficiency: 0.95,
        mass: 40,
      },
    },
    chassis: {
      frame: {
        name: 'Frame',
        mass: 100,
        cg: { behindFrontAxle: 0.8, height: 0.3 },
        donorAt: { behindFrontAxle: 1.1, height: 0.3 },
        driverAt: { behindFrontAxle: 0.8, height: 0.4 },
        wheelbase: 1.6 * k.size,
        track: { front: 1.15 * k.size, rear: 1.1 * k.size },
        roll: { frontShare: k.rollShare },
        turningRadius: 1,
        aero: { dragArea: k.dragArea, height: 0.5 * k.size },
      },
    },
    brakes: { brakes: { name: 'Brakes', frontShare: k.brakeShare } },
    karts: {
      kart: {
        name: 'Kart',
        chassis: 'frame',
        donor: 'engine',
        brakes: 'brakes',
        tyres: { front: 'front', rear: 'rear' },
        sprockets: { front: 14, rear: 40 },
        weighed: {
          frontLeft: (k.mass * k.frontShare) / 2,
          frontRight: (k.mass * k.frontShare) / 2,
          rearLeft: (k.mass * (1 - k.frontShare)) / 2,
          rearRight: (k.mass * (1 - k.frontShare)) / 2,
          cgHeight: k.cgHeight * k.size,
        },
      },
    },
    tracks: { loop: { name: 'Loop', closed: true, surface: 'pad', points: k.points.map((p) => ({ ...p })) } },
  };
}

export function projectOf(input: unknown): Project {
  const { project, problems } = readProjectValue(input);
  if (project === undefined) throw new Error(`does not read: ${problems[0]?.path} ${problems[0]?.message}`);
  return project;
}

export function answerOf<V extends Verb>(project: Project, request: Extract<Request, { verb: V }>) {
  const { result, status, problems } = perform<V>(project, request);
  if (result === undefined) throw new Error(`${status}: ${problems[0]?.message} ${problems[0]?.value}`);
  return result;
}

export const lapOf = (
  k: Knobs,
  spacing = 0.5,
  engineBraking: 'always' | 'never' | 'as it pays' = 'as it pays',
) =>
  answerOf(projectOf(inputOf(k)), {
    verb: 'lap',
    kart: 'kart',
    day: 'day',
    track: 'loop',
    spacing,
    options: { engineBraking },
  });

export const sprintOf = (k: Knobs, toDistance = 120) =>
  answerOf(projectOf(inputOf(k)), {
    verb: 'accelerate',
    kart: 'kart',
    day: 'day',
    surface: 'pad',
    options: { toDistance },
  });
