/**
 * The one table of quantities: what a builder may enter, in which dimension, within which physical
 * range, with which default and plausible spread, and how to measure it.
 *
 * The reader of project files, the JSON Schema, the defaults, the units shown, the forms and the
 * reference page all read this table; nothing else states a limit. `min` and `max` are SI and say
 * what is physically meaningful, textbook vehicles included, not what is usual for a kart. `usual`
 * is the band of real builds of this kind (general practice, no source): outside it a reader warns.
 * A `spread` is one standard deviation, relative where it ends in '%', otherwise SI.
 */
import type { Dimension } from './units.ts';

export interface Quantity {
  readonly symbol: string;
  readonly dimension: Dimension;
  readonly label: string;
  /** Unit shown unless the project asks for another. */
  readonly shown: string;
  readonly min: number;
  readonly max: number;
  /** SI value taken where the builder gives none; absent when there is no honest default. */
  readonly default?: number;
  readonly spread?: number | `${number}%`;
  readonly usual?: readonly [number, number];
  readonly measure: string;
  /** Whole numbers only. */
  readonly whole?: true;
}

const RPM = Math.PI / 30;
const DEGREE = Math.PI / 180;
const INCH = 0.0254;

/** Keys are the names used by the schema, the forms and the uncertainty study. */
export const QUANTITIES = {
  // Day
  temperature: row('T', 'temperature', 'air temperature', '°C', 200, 340, 'thermometer in the shade', {
    default: 288.15,
    spread: 3,
    usual: [250, 325],
  }),
  airPressure: row(
    'p',
    'pressure',
    'air pressure at the place',
    'hPa',
    10_000,
    120_000,
    'barometer not reduced to sea level, or give the altitude',
    { spread: 300, usual: [60_000, 110_000] },
  ),
  altitude: row('H', 'length', 'altitude', 'm', -1000, 11_000, 'map', {
    default: 0,
    spread: 20,
    usual: [-420, 5000],
  }),
  humidity: row('φ', 'ratio', 'relative humidity', '%', 0, 1, 'hygrometer or forecast', {
    default: 0,
    spread: 0.1,
  }),
  windSpeed: row('w', 'speed', 'wind speed', 'km/h', 0, 60, 'forecast, halved at kart height', {
    default: 0,
    spread: 1,
    usual: [0, 20],
  }),
  airDensity: row(
    'ρ',
    'density',
    'air density, instead of pressure and humidity',
    'kg/m³',
    0,
    10,
    'leave it out: worked out from temperature and pressure',
    {},
  ),
  gravity: row('g', 'acceleration', 'gravity', 'm/s²', 0.1, 30, 'leave it out: standard gravity', {
    default: 9.80665,
  }),
  gripFactor: row(
    '',
    'ratio',
    'grip of the day against the tyre figures',
    '%',
    0,
    5,
    'best stop from a known speed today against the usual',
    { default: 1, spread: 0.1, usual: [0.3, 1.3] },
  ),

  // Tyres
  rollOut: row(
    '',
    'length',
    'roll-out, one turn of the loaded wheel',
    'mm',
    0.1,
    10,
    'chalk mark, driver aboard, push one turn and measure',
    { spread: '0.5%', usual: [0.8, 2.2] },
  ),
  rollingRadiusFactor: row(
    '',
    'ratio',
    'rolling radius over half the size-code diameter',
    '',
    0.8,
    1.05,
    'measure the roll-out instead',
    { default: 0.96, spread: 0.015 },
  ),
  wheelMass: row('', 'mass', 'tyre and rim', 'kg', 0, 500, 'scales', {
    default: 6,
    spread: 0.5,
    usual: [1, 20],
  }),
  wheelInertia: row(
    'I_w',
    'inertia',
    'spin inertia of one wheel with its hub and brake disc',
    'kg·m²',
    0,
    500,
    'time its swing as a pendulum',
    { spread: '25%', usual: [0.005, 2] },
  ),
  friction: row(
    'μ',
    'ratio',
    'friction coefficient',
    '',
    0,
    5,
    'best stop from a known speed, or speed round a known radius',
    { spread: '12%', usual: [0.1, 1.6] },
  ),
  peakSlip: row('σ', 'ratio', 'slip at the peak', '%', 0.005, 1, 'borrowed from tyre tests of the kind', {
    default: 0.12,
    spread: '30%',
  }),
  loadSensitivity: row(
    '',
    'ratio',
    'share of friction lost when the wheel load doubles',
    '%',
    0,
    0.6,
    'borrowed from tyre tests of the kind',
    { default: 0.06, spread: 0.03 },
  ),
  referenceLoad: row(
    'F_z0',
    'force',
    'wheel load the friction was found at',
    'N',
    1,
    100_000,
    'a quarter of the weight with driver',
    { default: 900 },
  ),
  rollingResistance: row(
    'f',
    'ratio',
    'rolling resistance coefficient',
    '',
    0,
    0.5,
    'coast both ways, clutch in, or a spring scale at walking pace',
    { spread: '25%', usual: [0.008, 0.2] },
  ),
  rollingPerSpeed: row(
    '',
    'perSpeed',
    'growth of rolling resistance with speed',
    's/m',
    0,
    1,
    'coast from high speed',
    { default: 0 },
  ),
  rollingPerSpeedSquared: row(
    '',
    'perSpeedSquared',
    'growth of rolling resistance with speed squared',
    's²/m²',
    0,
    1,
    'coast from high speed',
    { default: 0 },
  ),
  shapeFactor: row('', 'ratio', 'coefficient of the slip curve', '', -50, 500, 'tyre test report', {}),

  // Donor
  engineSpeed: row('n', 'angularSpeed', 'engine speed', 'rpm', 100 * RPM, 25_000 * RPM, 'tachometer', {
    spread: '1%',
  }),
  engineTorque: row('T', 'torque', 'torque', 'N·m', 0, 20_000, 'dyno sheet', { spread: '5%' }),
  enginePower: row('P', 'power', 'power', 'kW', 0, 5_000_000, 'dyno sheet', { spread: '5%' }),
  displacement: row('V_d', 'volume', 'displacement', 'cc', 1e-6, 0.1, 'papers', {
    spread: '0.2%',
    usual: [50e-6, 2e-3],
  }),
  stroke: row('s', 'length', 'piston stroke', 'mm', 0.005, 0.5, 'papers', { usual: [0.03, 0.12] }),
  pumpingPressure: row(
    '',
    'pressure',
    'closed-throttle pumping, as mean effective pressure',
    'bar',
    0,
    2e5,
    'coast closed-throttle in gear and give measured points instead',
    { default: 0.6e5, spread: '30%' },
  ),
  engineInertia: row(
    'I_e',
    'inertia',
    'engine inertia at the crank, clutch and box input included',
    'kg·m²',
    0,
    100,
    'borrowed from an engine of the kind',
    { spread: '30%', usual: [0.002, 0.1] },
  ),
  ratio: row('i', 'ratio', 'ratio', '', 0.05, 200, 'count the teeth', { usual: [0.3, 10] }),
  efficiency: row('η', 'ratio', 'efficiency', '%', 0.3, 1, 'borrowed from handbooks', { spread: 0.015 }),
  shiftTime: row('t_s', 'time', 'time without thrust in a shift', 's', 0, 5, 'film the rev counter', {
    default: 0.3,
    spread: 0.08,
    usual: [0.03, 1],
  }),
  clutchTorque: row(
    '',
    'torque',
    'torque the clutch carries, at the engine',
    'N·m',
    0,
    20_000,
    "peak torque times the maker's reserve",
    { spread: '10%' },
  ),
  price: row('', 'money', 'price', '', 0, 1e9, 'receipt', {}),

  // Masses and frame
  mass: row('m', 'mass', 'mass', 'kg', 0, 100_000, 'scales', { spread: 2 }),
  frameMass: row(
    'm',
    'mass',
    'mass of the frame with all that is bolted to it, without wheels, donor and driver',
    'kg',
    0,
    100_000,
    'scales, the wheels off: they are counted by themselves',
    { spread: 2 },
  ),
  wheelbase: row('L', 'length', 'wheelbase', 'mm', 0.2, 20, 'tape', { spread: 0.003, usual: [0.9, 2.6] }),
  trackWidth: row('t', 'length', 'track, middle to middle of the tyres', 'mm', 0.1, 10, 'tape', {
    spread: 0.005,
    usual: [0.6, 2],
  }),
  overallWidth: row('', 'length', 'overall width', 'mm', 0.1, 10, 'tape, over the tyres', {
    usual: [0.8, 2.2],
  }),
  cgHeight: row(
    'h',
    'length',
    'height of the centre of gravity',
    'mm',
    0,
    5,
    'weigh level, then with the rear raised, suspension locked',
    { spread: 0.04, usual: [0.2, 0.8] },
  ),
  behindFrontAxle: row('x', 'length', 'distance behind the front axle', 'mm', -5, 25, 'tape', {
    spread: 0.02,
  }),
  cornerWeight: row(
    '',
    'mass',
    'reading under one wheel',
    'kg',
    0,
    50_000,
    'bathroom scale under each wheel, the others on blocks of its height',
    { spread: 1 },
  ),
  rollStiffnessShare: row('λ', 'ratio', 'front share of roll stiffness', '%', 0, 1, 'from springs and bars', {
    default: 0.5,
    spread: 0.06,
  }),
  springRate: row('', 'stiffness', 'spring rate', 'N/mm', 0, 1e8, 'load it with a known weight', {
    spread: '4%',
    usual: [5_000, 80_000],
  }),
  motionRatio: row(
    '',
    'ratio',
    'spring travel over wheel travel',
    '',
    0.05,
    3,
    'lift the wheel 50 mm and measure the spring',
    { default: 1, spread: '3%' },
  ),
  rollStiffness: row('K_φ', 'rollStiffness', 'roll stiffness', 'N·m/°', 0, 1e9, 'from springs and bars', {
    default: 0,
    spread: '8%',
  }),
  dragArea: row('CdA', 'area', 'drag area', 'm²', 0, 50, 'coast both ways on a calm day', {
    spread: '20%',
    usual: [0.3, 2],
  }),
  downforceArea: row(
    'ClA',
    'area',
    'downforce area, negative for lift',
    'm²',
    -20,
    50,
    'spring travel at speed',
    { default: 0 },
  ),
  share: row('', 'ratio', 'front share', '%', 0, 1, 'worked out', {}),
  aeroHeight: row('h_a', 'length', 'height the drag acts at', 'mm', 0, 10, 'middle of the frontal area', {
    spread: 0.05,
  }),
  biasRatio: row(
    '',
    'ratio',
    'torque bias ratio of a limited-slip axle',
    '',
    1,
    20,
    'torque wrench, one wheel on the ground',
    {},
  ),
  turningRadius: row(
    '',
    'length',
    'smallest turning radius',
    'm',
    0.3,
    100,
    'push it round on full lock and measure',
    { default: 2.5, usual: [1, 12] },
  ),

  // Brakes
  brakeShare: row(
    '',
    'ratio',
    'front share of braking force',
    '%',
    0,
    1,
    'from pedal, bores and pads, or two spring scales on the tyres',
    { spread: 0.03 },
  ),
  pedalRatio: row('', 'ratio', 'pedal ratio', '', 0.5, 30, 'tape: pad to pivot over rod to pivot', {
    spread: '2%',
    usual: [2.5, 8],
  }),
  bore: row('', 'length', 'bore', 'mm', 0.001, 0.2, 'cast into the body, or calipers', {
    usual: [0.008, 0.06],
  }),
  discRadius: row(
    '',
    'length',
    'effective radius of the pads on the disc',
    'mm',
    0.01,
    1,
    'tape: axle to middle of the pad',
    { spread: '2%', usual: [0.05, 0.2] },
  ),
  padFriction: row('', 'ratio', 'pad friction', '', 0.05, 1.5, 'pad data sheet', {
    default: 0.4,
    spread: 0.05,
    usual: [0.25, 0.6],
  }),
  count: row('', 'count', 'number', '', 0, 100, 'count', { whole: true }),
  force: row('F', 'force', 'force', 'N', 0, 1e6, 'spring scale', {}),
  delay: row('', 'time', 'time', 's', 0, 5, 'film it', { default: 0 }),

  // Kart
  driverMass: row('', 'mass', 'driver with kit', 'kg', 0, 500, 'bathroom scale', {
    default: 85,
    spread: 1,
    usual: [40, 130],
  }),
  gripUse: row('', 'ratio', 'share of the grip the driver uses round a lap', '%', 0.2, 1, 'fit a known lap', {
    default: 1,
    spread: 0.03,
  }),
  teeth: row('z', 'count', 'teeth', '', 5, 120, 'count', { whole: true, usual: [9, 70] }),
  chainPitch: row(
    '',
    'length',
    'chain pitch',
    'mm',
    0.004,
    0.06,
    'chain number: first digit in eighths of an inch',
    { default: 0.625 * INCH },
  ),
  centreDistance: row('', 'length', 'distance between sprocket centres', 'mm', 0.05, 5, 'tape', {
    spread: 0.003,
  }),

  // Track
  coordinate: row('', 'length', 'position', 'm', -100_000, 100_000, 'map or a tape', {}),
  width: row('', 'length', 'track width', 'm', 0.3, 200, 'paces', { default: 6, usual: [2, 30] }),
  edge: row(
    '',
    'length',
    'distance from the drawn line to the edge of the track',
    'm',
    0.1,
    200,
    'tape or paces, square across from the line that was drawn to where the ground can no longer be driven',
    { usual: [1, 20] },
  ),
  smoothing: row(
    '',
    'length',
    'farthest that smoothing may move a drawn point',
    'm',
    0.001,
    20,
    'how far the points of a logger lie apart on a second lap',
    { usual: [0.01, 5] },
  ),
  distance: row('s', 'length', 'distance along the track', 'm', 0, 1_000_000, 'wheel or map', {}),
  straightLength: row('', 'length', 'length of a straight', 'm', 0, 100_000, 'wheel or map', {}),
  radius: row('R', 'length', 'radius', 'm', 0.3, 100_000, 'chord and its height', {}),
  turnAngle: row('', 'angle', 'angle turned', '°', 0, 20 * Math.PI, 'map', {}),
  grade: row('', 'ratio', 'grade, rise over horizontal run, uphill positive', '%', -2, 2, 'level and tape', {
    default: 0,
    spread: 0.01,
    usual: [-0.6, 0.6],
  }),
  bank: row(
    '',
    'angle',
    'cross slope, positive with the left edge higher',
    '°',
    -80 * DEGREE,
    80 * DEGREE,
    'a straight board across the track with a level that shows degrees (a phone has one) on it, in three places; or the height to lift its low end by until it is level, over its length',
    { default: 0, usual: [-40 * DEGREE, 40 * DEGREE] },
  ),
  height: row('z', 'length', 'height', 'm', -1000, 11_000, 'map', { default: 0 }),
  postedSpeed: row('v', 'speed', 'speed limit of a stretch', 'km/h', 0.01, 400, 'posted', {}),
  speed: row('v', 'speed', 'speed', 'km/h', 0, 400, 'speedometer', {}),
  loggedSpeedError: row(
    '',
    'ratio',
    'error of the speeds a logger shows, relative, the same at every speed',
    '%',
    0,
    0.2,
    'a satellite receiver is true to some 0.2 %; a wheel sensor to how well the roll-out is known: push the kart ten turns of the wheel along a tape',
    { default: 0.01, usual: [0, 0.05] },
  ),
} as const satisfies Record<string, Quantity>;

export type QuantityName = keyof typeof QUANTITIES;

/** Looks a quantity up by name. */
export function quantity(name: QuantityName): Quantity {
  return QUANTITIES[name];
}

/** SI default of a quantity; throws where the table has none (a programmer's mistake). */
export function defaultOf(name: QuantityName): number {
  const value = quantity(name).default;
  if (value === undefined) throw new Error(`defaultOf: '${name}' has no default`);
  return value;
}

/** One standard deviation in SI for a value of a quantity; 0 where the table gives none. */
export function spreadOf(name: QuantityName, value: number): number {
  const spread = quantity(name).spread;
  if (spread === undefined) return 0;
  return typeof spread === 'number' ? spread : (Math.abs(value) * Number(spread.slice(0, -1))) / 100;
}

function row(
  symbol: string,
  dimension: Dimension,
  label: string,
  shown: string,
  min: number,
  max: number,
  measure: string,
  more: Pick<Quantity, 'default' | 'spread' | 'usual' | 'whole'>,
): Quantity {
  return { symbol, dimension, label, shown, min, max, measure, ...more };
}
