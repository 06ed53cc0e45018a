/**
 * The project file: every field, in one place, as valibot schemas over the table of quantities.
 *
 * In: parsed JSON of unknown shape. Out: a `Project` in SI numbers, or issues with their paths. A
 * quantity may be written as an SI number, as text with a unit, or as `{value, spread, origin, note}`.
 * Knows nothing of how fields depend on one another: that is consistency.ts.
 */
import * as v from 'valibot';
import type { QuantityName } from '../quantities/table.ts';
import { defaultOf } from '../quantities/table.ts';
import { ORIGINS, quantitySchema, ratioSchema } from './quantity-field.ts';

/** The format this code writes; older ones are migrated, newer ones refused. */
export const FORMAT_VERSION = 1;
/** Entries of one kind (days, karts, tracks...) in a project. */
const MOST_ENTRIES = 200;

const need = (name: QuantityName) => quantitySchema(name);
const may = (name: QuantityName) => v.exactOptional(quantitySchema(name));
const or = (name: QuantityName, fallback = defaultOf(name)) => v.optional(quantitySchema(name), fallback);

const text = (most: number) => v.pipe(v.string(), v.maxLength(most));
const title = v.pipe(v.string(), v.minLength(1), v.maxLength(120));
const note = v.exactOptional(text(4000));
const id = v.pipe(
  v.string(),
  v.regex(/^[a-z0-9][a-z0-9-]{0,47}$/, 'must be lower-case letters, digits and hyphens'),
);
const reference = id;
const named = <T extends v.GenericSchema>(schema: T) =>
  v.optional(v.pipe(v.record(id, schema), v.maxEntries(MOST_ENTRIES)), {});

const day = v.strictObject({
  name: title,
  note,
  temperature: or('temperature'),
  /** Pressure at the place; where absent, the altitude gives it. */
  pressure: may('airPressure'),
  altitude: or('altitude'),
  humidity: or('humidity'),
  /** Overrides what temperature, pressure and humidity would give for drag (not for power). */
  density: may('airDensity'),
  wind: v.optional(
    v.strictObject({
      speed: or('windSpeed'),
      along: v.optional(v.picklist(['none', 'with', 'against']), 'none'),
    }),
    {
      speed: 0,
      along: 'none',
    },
  ),
  gravity: or('gravity'),
  /** Grip of each surface today against the figures of the tyres; 1 where not named. */
  grip: v.optional(v.record(id, need('gripFactor')), {}),
});

const surface = v.strictObject({
  name: title,
  note,
  kind: v.picklist(['hard', 'packed', 'loose', 'grass']),
});

const slipShape = v.strictObject({
  stiffness: need('shapeFactor'),
  shape: need('shapeFactor'),
  curvature: need('shapeFactor'),
});

const grip = v.strictObject({
  /** Peak friction lengthwise; sideways too unless `lateralPeak` says otherwise. */
  peak: need('friction'),
  lateralPeak: may('friction'),
  /** Friction of a locked or freely spinning wheel. */
  sliding: may('friction'),
  peakSlip: or('peakSlip'),
  loadSensitivity: or('loadSensitivity'),
  referenceLoad: or('referenceLoad'),
  /** Magic-Formula stiffness factor B, shape factor C and curvature factor E; replaces `sliding` and `peakSlip`. */
  curve: v.exactOptional(slipShape),
  rolling: v.strictObject({
    coefficient: need('rollingResistance'),
    perSpeed: or('rollingPerSpeed'),
    perSpeedSquared: or('rollingPerSpeedSquared'),
  }),
});

const tyre = v.strictObject({
  name: title,
  note,
  size: v.exactOptional(v.pipe(v.string(), v.maxLength(40))),
  rollOut: may('rollOut'),
  rollingRadiusFactor: or('rollingRadiusFactor'),
  mass: or('wheelMass'),
  /** Of one wheel; estimated from mass and radius where absent. */
  inertia: may('wheelInertia'),
  grip: v.record(id, grip),
});

/** A ratio as a number or as driven/driving teeth: "39/14". */
const ratio = ratioSchema();

const cell = v.union([v.pipe(v.number(), v.finite()), text(64)]);
/** Engine points as columns with their units, the way a dyno sheet prints them. */
const points = v.strictObject({
  columns: v.strictTuple([text(24), text(24)]),
  rows: v.pipe(v.array(v.strictTuple([cell, cell])), v.minLength(2), v.maxLength(2000)),
});

const torqueSheet = v.strictObject({
  at: v.picklist(['crank', 'wheel']),
  /** The condition the figures stand for. 'as on the day' takes them uncorrected. */
  standard: v.optional(
    v.picklist(['SAE J1349', 'SAE J607', 'ISO 1585', 'DIN 70020', 'as measured', 'as on the day']),
    'as on the day',
  ),
  measuredIn: v.exactOptional(
    v.strictObject({
      temperature: need('temperature'),
      pressure: need('airPressure'),
      humidity: or('humidity'),
    }),
  ),
  /** Which factor carries the figures to the day. */
  correctBy: v.optional(v.picklist(['ISO 1585', 'SAE J1349', 'SAE J607']), 'ISO 1585'),
  points,
  /** One standard deviation of the whole sheet, as a share of its figures. */
  spread: may('share'),
  origin: v.exactOptional(v.picklist(ORIGINS)),
});

const donor = v.strictObject({
  name: title,
  note,
  strokes: v.picklist([2, 4]),
  displacement: need('displacement'),
  /** Piston stroke; lets the drag estimate follow piston speed. */
  stroke: may('stroke'),
  torque: torqueSheet,
  closedThrottle: v.exactOptional(points),
  pumping: or('pumpingPressure'),
  idle: need('engineSpeed'),
  revLimit: need('engineSpeed'),
  /** Highest speed the engine survives when a downshift drives it. */
  safeRev: need('engineSpeed'),
  inertia: need('engineInertia'),
  primary: v.optional(ratio, 1),
  gears: v.exactOptional(v.pipe(v.array(ratio), v.minLength(1), v.maxLength(12))),
  belt: v.exactOptional(
    v.strictObject({
      low: need('ratio'),
      high: need('ratio'),
      engages: need('engineSpeed'),
      shiftsOut: need('engineSpeed'),
      efficiency: or('efficiency', 0.82),
    }),
  ),
  shift: v.optional(v.strictObject({ up: or('shiftTime'), down: or('shiftTime') }), { up: 0.3, down: 0.3 }),
  clutch: v.exactOptional(v.strictObject({ torque: may('clutchTorque'), launchSpeed: may('engineSpeed') })),
  /** Of the primary drive and of the gearbox together. */
  efficiency: or('efficiency', 0.96),
  mass: need('mass'),
  price: may('price'),
});

const place = { behindFrontAxle: need('behindFrontAxle'), height: need('cgHeight') };

const axleSprings = v.strictObject({
  rate: need('springRate'),
  motionRatio: or('motionRatio'),
  bar: or('rollStiffness'),
});

const chassis = v.strictObject({
  name: title,
  note,
  /** With all that is bolted to it, without donor, driver and wheels. */
  mass: need('frameMass'),
  cg: v.strictObject(place),
  donorAt: v.strictObject(place),
  driverAt: v.strictObject(place),
  wheelbase: need('wheelbase'),
  track: v.strictObject({ front: need('trackWidth'), rear: need('trackWidth') }),
  width: may('overallWidth'),
  turningRadius: or('turningRadius'),
  roll: v.optional(
    v.union([
      v.strictObject({ frontShare: need('rollStiffnessShare') }),
      v.strictObject({ front: axleSprings, rear: axleSprings }),
      v.strictObject({ frontStiffness: need('rollStiffness'), rearStiffness: need('rollStiffness') }),
    ]),
    { frontShare: 0.5 },
  ),
  rollCentres: v.exactOptional(v.strictObject({ front: need('cgHeight'), rear: need('cgHeight') })),
  unsprung: v.exactOptional(
    v.strictObject({
      front: v.strictObject({ mass: need('mass'), height: need('cgHeight') }),
      rear: v.strictObject({ mass: need('mass'), height: need('cgHeight') }),
    }),
  ),
  aero: v.optional(
    v.strictObject({
      dragArea: need('dragArea'),
      downforceArea: or('downforceArea'),
      downforceFrontShare: or('share', 0.5),
      height: or('aeroHeight', 0),
    }),
    { dragArea: 0 },
  ),
  driven: v.optional(v.picklist(['rear', 'front', 'all']), 'rear'),
  coupling: v.optional(
    v.union([v.picklist(['spool', 'open']), v.strictObject({ biasRatio: need('biasRatio') })]),
    'spool',
  ),
  /** Ratio of a bevel in a live axle whose lengthwise shaft tries to turn the frame; absent with a chain. */
  liveAxleShaftRatio: v.exactOptional(ratio),
});

const circuit = v.strictObject({
  masterBore: need('bore'),
  pistonBore: need('bore'),
  /** Pistons pressing on one side of the disc, all calipers of this axle together. */
  pistons: or('count', 1),
  padFriction: or('padFriction'),
  discRadius: need('discRadius'),
});

const brakes = v.strictObject({
  name: title,
  note,
  frontShare: may('brakeShare'),
  hydraulics: v.exactOptional(
    v.strictObject({
      pedalRatio: need('pedalRatio'),
      /** Share of the pedal rod's force the balance bar sends to the front master cylinder. */
      barFrontShare: or('share', 0.5),
      front: v.exactOptional(circuit),
      rear: v.exactOptional(circuit),
    }),
  ),
  buildUp: or('delay'),
});

const kart = v.strictObject({
  name: title,
  note,
  chassis: reference,
  donor: reference,
  brakes: reference,
  tyres: v.strictObject({ front: reference, rear: reference }),
  driver: v.optional(
    v.strictObject({ mass: or('driverMass'), gripUse: or('gripUse'), reaction: or('delay') }),
    { mass: 85 },
  ),
  ballast: v.optional(v.pipe(v.array(v.strictObject({ mass: need('mass'), ...place })), v.maxLength(20)), []),
  sprockets: v.exactOptional(v.strictObject({ front: need('teeth'), rear: need('teeth') })),
  /** Final drive where there are no sprockets. */
  finalRatio: v.exactOptional(ratio),
  chain: v.optional(
    v.strictObject({
      pitch: or('chainPitch'),
      centreDistance: may('centreDistance'),
      efficiency: or('efficiency', 0.96),
    }),
    {},
  ),
  /** Engine speed the driver shifts up at; absent: where the next gear pulls as hard. */
  shiftAt: may('engineSpeed'),
  /** Whole kart with driver on the scales; replaces the masses and positions of the parts. */
  weighed: v.exactOptional(
    v.strictObject({
      frontLeft: need('cornerWeight'),
      frontRight: need('cornerWeight'),
      rearLeft: need('cornerWeight'),
      rearRight: need('cornerWeight'),
      cgHeight: need('cgHeight'),
    }),
  ),
});

const laid = {
  surface: v.exactOptional(reference),
  /** Both edges as far from the drawn line, unless one is given by itself. */
  width: may('width'),
  widthLeft: may('edge'),
  widthRight: may('edge'),
  bank: may('bank'),
};

const point = v.strictObject({
  x: need('coordinate'),
  y: need('coordinate'),
  height: may('height'),
  ...laid,
});

const stretch = v.union([
  v.strictObject({
    straight: need('straightLength'),
    grade: may('grade'),
    speedLimit: may('postedSpeed'),
    ...laid,
  }),
  v.strictObject({
    turn: v.picklist(['left', 'right']),
    angle: need('turnAngle'),
    radius: need('radius'),
    grade: may('grade'),
    speedLimit: may('postedSpeed'),
    ...laid,
  }),
]);

/** Overrides along part of the lap, wherever the curve came from. */
const section = v.strictObject({
  from: need('distance'),
  to: need('distance'),
  grade: may('grade'),
  speedLimit: may('postedSpeed'),
  ...laid,
});

const metres = v.pipe(v.number(), v.finite(), v.minValue(-1e6), v.maxValue(1e6));

/** A line found for a kart, kept with its track; sim/run/line says when it is stale. */
const keptLine = v.strictObject({
  kind: v.picklist(['smoothest', 'fastest']),
  /** Ids at the time; the figures in `madeFor` decide whether the line still holds. */
  kart: text(48),
  day: text(48),
  /** Lap time when it was found, s */
  time: v.pipe(v.number(), v.finite()),
  /** Figures of kart and track it was found for */
  madeFor: v.pipe(v.record(text(80), v.pipe(v.number(), v.finite())), v.maxEntries(200)),
  /** Along the drawn line, m, and to the left of it, m */
  distance: v.pipe(v.array(metres), v.minLength(2), v.maxLength(20_000)),
  offset: v.pipe(v.array(metres), v.minLength(2), v.maxLength(20_000)),
});

const track = v.strictObject({
  name: title,
  note,
  closed: v.boolean(),
  surface: reference,
  width: or('width'),
  widthLeft: may('edge'),
  widthRight: may('edge'),
  /** Smooths the points of a noisy track, moving none farther than this. */
  smooth: may('smoothing'),
  points: v.exactOptional(v.pipe(v.array(point), v.minLength(2), v.maxLength(5000))),
  stretches: v.exactOptional(v.pipe(v.array(stretch), v.minLength(1), v.maxLength(5000))),
  sections: v.optional(v.pipe(v.array(section), v.maxLength(1000)), []),
  /** Speed at the start line of an open course. */
  startSpeed: or('speed', 0),
  lines: v.exactOptional(v.pipe(v.array(keptLine), v.maxLength(40))),
});

export const projectSchema = v.strictObject({
  /** Where an editor finds the JSON Schema. */
  $schema: v.exactOptional(text(500)),
  kartwright: v.literal(FORMAT_VERSION),
  name: v.optional(title, 'Unnamed project'),
  note,
  days: named(day),
  surfaces: named(surface),
  tyres: named(tyre),
  donors: named(donor),
  chassis: named(chassis),
  brakes: named(brakes),
  karts: named(kart),
  tracks: named(track),
  sprockets: v.optional(
    v.strictObject({
      front: v.optional(
        v.array(v.strictObject({ teeth: need('teeth'), owned: v.boolean(), price: may('price') })),
        [],
      ),
      rear: v.optional(
        v.array(v.strictObject({ teeth: need('teeth'), owned: v.boolean(), price: may('price') })),
        [],
      ),
    }),
    {},
  ),
  /** Unit shown per dimension, such as {"speed": "mph"}. */
  units: v.optional(v.record(v.string(), text(24)), {}),
});

/** A project as read: SI numbers, defaults filled in, references not yet followed. */
export type Project = v.InferOutput<typeof projectSchema>;
export type DaySpec = v.InferOutput<typeof day>;
export type SurfaceSpec = v.InferOutput<typeof surface>;
export type GripSpec = v.InferOutput<typeof grip>;
export type TyreSpec = v.InferOutput<typeof tyre>;
export type DonorSpec = v.InferOutput<typeof donor>;
export type ChassisSpec = v.InferOutput<typeof chassis>;
export type BrakesSpec = v.InferOutput<typeof brakes>;
export type KartSpec = v.InferOutput<typeof kart>;
export type TrackSpec = v.InferOutput<typeof track>;
export type PointsSpec = v.InferOutput<typeof points>;
export type KeptLineSpec = v.InferOutput<typeof keptLine>;
export type StretchSpec = v.InferOutput<typeof stretch>;
/** A project as somebody may write it in JSON. */
export type ProjectInput = v.InferInput<typeof projectSchema>;
