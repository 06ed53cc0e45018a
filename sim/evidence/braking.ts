/** Outside checks of braking: distances, adhesion used, lock order, ideal distribution, grades. */
import type { EvidenceCase } from './check.ts';
import { bound, printed, within } from './check.ts';
import { vehicle } from './vehicle.ts';

const G = 9.80665;
const KMH = 1 / 3.6;
const MPH = 0.44704;
const FOOT = 0.3048;
const who = { kart: 'v', day: 'd', surface: 'road' } as const;
const stop = (fromSpeed: number, more: object = {}) => ({
  ...who,
  verb: 'brake' as const,
  options: { fromSpeed, brakes: 'threshold' as const, ...more },
});

/** A body whose balance fits its weight and whose height is zero: the deceleration is mu g. */
const slab = (friction: number, gravity = G, more: object = {}) =>
  vehicle({ mass: 1000, wheelbase: 2, toFront: 1, cgHeight: 0, brakeShare: 0.5, friction, gravity, ...more });

const wongCar = (friction: number, rolling = 0.02) =>
  vehicle({
    mass: 21_240 / G,
    wheelbase: 2.87,
    toFront: 1.27,
    cgHeight: 0.508,
    brakeShare: 0.6,
    rolling,
    friction,
  });
const lightTruck = (brakeShare: number) =>
  vehicle({
    mass: 4080,
    wheelbase: 3.95,
    toFront: 2.1,
    cgHeight: 0.845,
    brakeShare,
    friction: 0.8,
    gravity: 9.8,
    brakes: { buildUp: 0.02 },
    kart: { driver: { mass: 0, reaction: 0.02 } },
  });
const slopeCar = vehicle({
  mass: 2250,
  wheelbase: 1.8,
  toFront: 1,
  cgHeight: 0.9,
  friction: 0.5,
  gravity: 9.8,
});
const TEN_DEGREES = Math.tan((10 * Math.PI) / 180);

export const BRAKING: readonly EvidenceCase[] = [
  {
    id: 'mean-fully-developed-deceleration',
    title: 'Mean fully developed deceleration of a constant stop',
    source: 'UN R13 Annex 4, definition of MFDD; constant 6.43 m/s2 from 100 km/h',
    status: 'recomputed',
    project: slab(6.43 / G),
    rows: [
      within(
        'MFDD',
        6.43,
        'm/s²',
        1e-8,
        'constant deceleration: integration error only',
        (ask) => ask(stop(100 * KMH)).meanFullyDevelopedDeceleration ?? 0,
      ),
      within(
        'distance',
        60.0006,
        'm',
        1e-5,
        'v²/2a with the digits given',
        (ask) => ask(stop(100 * KMH)).distance,
      ),
    ],
  },
  {
    id: 'stopping-distances',
    title: 'Stopping distances on friction alone',
    source:
      'University stopping-distance page (bmhakim.kau.edu.sa, mu 0.8, g 9.8); NHTSA interpretation letter 1970 (nhtsa.gov/node/64136)',
    status: 'verified',
    project: slab(0.8, 9.8),
    rows: [
      printed('50 km/h', 12.3, 'm', 2, (ask) => ask(stop(50 * KMH)).distance),
      printed('80 km/h', 31.49, 'm', 2, (ask) => ask(stop(80 * KMH)).distance),
      {
        ...printed('100 km/h', 49.21, 'm', 2, (ask) => ask(stop(100 * KMH)).distance),
        tolerance: 0.0062,
        why: 'the page cuts 49.2158 instead of rounding it',
      },
      {
        ...printed('60 mph at 20 ft/s²', 194, 'ft', 0, (ask) => ask(stop(60 * MPH)).distance / FOOT),
        project: slab((20 * FOOT) / G),
      },
    ],
  },
  {
    id: 'stop-with-reaction',
    title: 'Stopping distance with one second of reaction',
    source: 'Public programming exercise (git.wzu.me): 100 km/h, mu 0.7, g 9.81',
    status: 'verified',
    project: slab(0.7, 9.81, { kart: { driver: { mass: 0, reaction: 1 } } }),
    rows: [
      within(
        'distance',
        83.9598760937531,
        'm',
        1e-8,
        'integration error only',
        (ask) => ask(stop(100 * KMH, { withDelays: true })).distance,
      ),
    ],
  },
  {
    id: 'first-lock',
    title: 'Deceleration at which a car first locks an axle',
    source: 'J. Y. Wong, Theory of Ground Vehicles, example 3.2 (inputs and verdicts from memory)',
    status: 'from memory',
    project: wongCar(0.8),
    rows: [
      printed('mu 0.8: deceleration', 0.668, 'g', 3, (ask) => ask(stop(20)).columns.deceleration[0]! / G),
      within('mu 0.8: rear locks first (1)', 1, '', 0, 'a verdict', (ask) =>
        ask(stop(20)).firstToLock === 'rear' ? 1 : 0,
      ),
      printed('mu 0.8: ideal front share', 0.7026, '', 4, (ask) => {
        const c = ask(stop(20, { brakes: 'ideal' })).columns;
        return c.frontForce[0]! / (c.frontForce[0]! + c.rearForce[0]!);
      }),
      {
        ...printed(
          'mu 0.2: deceleration',
          0.2187,
          'g',
          4,
          (ask) => ask(stop(20)).columns.deceleration[0]! / G,
        ),
        project: wongCar(0.2),
      },
      {
        ...within('mu 0.2: front locks first (1)', 1, '', 0, 'a verdict', (ask) =>
          ask(stop(20)).firstToLock === 'front' ? 1 : 0,
        ),
        project: wongCar(0.2),
      },
      {
        ...printed('mu 0.2: ideal front share', 0.5964, '', 4, (ask) => {
          const c = ask(stop(20, { brakes: 'ideal' })).columns;
          return c.frontForce[0]! / (c.frontForce[0]! + c.rearForce[0]!);
        }),
        project: wongCar(0.2),
      },
    ],
  },
  {
    id: 'light-truck-stop',
    title: 'Light truck, empty: braking limits, failed circuits, stopping distance with build-up',
    source:
      'Yu Zhisheng, Automobile Theory, exercise 4.3 (inputs verified; 6.8407 m from memory, the rest worked out from its formulas)',
    status: 'recomputed',
    note: 'The book leaves a·τ²/24 out of the build-up distance: under 0.1 mm here.',
    project: lightTruck(0.38),
    rows: [
      printed('deceleration', 5.268, 'm/s²', 3, (ask) => ask(stop(30 * KMH)).columns.deceleration[0]!),
      within(
        'distance',
        6.8407,
        'm',
        5e-5,
        'the book leaves a tau²/24, 0.09 mm, out and rounds the deceleration first',
        (ask) => ask(stop(30 * KMH, { withDelays: true })).distance,
        { status: 'from memory' },
      ),
      within('rear axle always first (1)', 1, '', 0, 'a verdict', (ask) =>
        ask(stop(30 * KMH)).firstToLock === 'rear' ? 1 : 0,
      ),
      {
        ...printed(
          'front circuit failed: deceleration',
          3.559,
          'm/s²',
          3,
          (ask) => ask(stop(30 * KMH)).columns.deceleration[0]!,
        ),
        project: lightTruck(0),
      },
      {
        ...printed(
          'front circuit failed: distance',
          10.006,
          'm',
          3,
          (ask) => ask(stop(30 * KMH, { withDelays: true })).distance,
        ),
        project: lightTruck(0),
      },
      {
        ...printed(
          'rear circuit failed: deceleration',
          4.43,
          'm/s²',
          3,
          (ask) => ask(stop(30 * KMH)).columns.deceleration[0]!,
        ),
        project: lightTruck(1),
      },
      {
        ...printed(
          'rear circuit failed: distance',
          8.088,
          'm',
          3,
          (ask) => ask(stop(30 * KMH, { withDelays: true })).distance,
        ),
        project: lightTruck(1),
      },
    ],
  },
  {
    id: 'brake-force-proportioning',
    title: 'Brake force proportion for best braking at 80 mph',
    source:
      'Mannering and Washburn, Principles of Highway Engineering, example 2.7 (inputs verified; mu 0.60 from memory)',
    status: 'recomputed',
    project: vehicle({
      mass: 1500,
      wheelbase: '100 in',
      toFront: '40 in',
      cgHeight: '24 in',
      friction: 0.6,
      rolling: 0.01,
      rollingPerSpeed: 1 / (147 * FOOT),
    }),
    rows: [
      printed('front share', 74.83, '%', 2, (ask) => {
        const c = ask(stop(80 * MPH, { brakes: 'ideal' })).columns;
        return (100 * c.frontForce[0]!) / (c.frontForce[0]! + c.rearForce[0]!);
      }),
    ],
  },
  {
    id: 'stop-on-a-grade',
    title: 'Car on a ten-degree slope, all wheels at their friction',
    source: 'FOSSEE textbook companion, engineering mechanics example (inputs and answers verified)',
    status: 'verified',
    project: slopeCar,
    rows: [
      printed(
        'uphill distance',
        7.66,
        'm',
        2,
        (ask) => ask(stop(10, { grade: TEN_DEGREES, brakes: 'ideal' })).distance,
      ),
      printed(
        'uphill time',
        1.53,
        's',
        2,
        (ask) => ask(stop(10, { grade: TEN_DEGREES, brakes: 'ideal' })).time,
      ),
      {
        ...printed(
          'downhill distance',
          16,
          'm',
          1,
          (ask) => ask(stop(10, { grade: -TEN_DEGREES, brakes: 'ideal' })).distance,
        ),
      },
      {
        ...printed(
          'downhill time',
          3.2,
          's',
          2,
          (ask) => ask(stop(10, { grade: -TEN_DEGREES, brakes: 'ideal' })).time,
        ),
        tolerance: 0.0051,
        why: 'half of the last printed digit',
      },
    ],
  },
  {
    id: 'braking-with-drag',
    title: 'Braking with air drag',
    source: 'Closed form x = m/(2k) ln(1 + k v²/(mu m g)), k = rho CdA/2',
    status: 'recomputed',
    project: vehicle({
      mass: 300,
      wheelbase: 2,
      toFront: 1,
      brakeShare: 0.5,
      friction: 0.7,
      dragArea: 0.9,
      density: 1.225,
    }),
    rows: [10, 20, 27.78].map((v) => {
      const k = 0.5 * 1.225 * 0.9;
      return within(
        `from ${v} m/s`,
        (300 / (2 * k)) * Math.log(1 + (k * v * v) / (0.7 * 300 * G)),
        'm',
        1e-8,
        'integration error only',
        (ask) => ask(stop(v)).distance,
      );
    }),
  },
  {
    id: 'adhesion-used',
    title: 'Adhesion used per axle',
    source:
      'Crolla (ed.), Automotive Engineering (2009), eq. 12.1.61-64, evaluated for the car of first-lock',
    status: 'recomputed',
    project: wongCar(0.8, 0),
    rows: [0.3, 0.6, 0.9].flatMap((z) => {
      const front = (0.6 * z) / ((1.6 + z * 0.508) / 2.87);
      const rear = (0.4 * z) / ((1.27 - z * 0.508) / 2.87);
      const curve = { ...who, verb: 'balance-curve' as const, options: { rates: [z] } };
      return [
        within(`front at z ${z}`, front, '', 1e-12, 'rounding', (ask) => ask(curve).adhesionFront[0]!),
        within(`rear at z ${z}`, rear, '', 1e-12, 'rounding', (ask) => ask(curve).adhesionRear[0]!),
      ];
    }),
  },
  {
    id: 'lock-order',
    title: 'Rate at which both axles lock together',
    source: 'z_c = (phi - (1 - psi))/chi, textbook form (Limpert; Gillespie ch. 3), from memory',
    status: 'from memory',
    project: wongCar(0.8, 0),
    rows: [
      within(
        'both lock at',
        (0.6 - 1.6 / 2.87) / (0.508 / 2.87),
        'g',
        1e-12,
        'rounding',
        (ask) => ask({ ...who, verb: 'balance-curve' }).bothLockAt ?? 0,
      ),
      within('below it the front leads (1)', 1, '', 0, 'a verdict', (ask) =>
        ask(stop(20), wongCar(0.2, 0)).firstToLock === 'front' ? 1 : 0,
      ),
      within('above it the rear leads (1)', 1, '', 0, 'a verdict', (ask) =>
        ask(stop(20), wongCar(0.3, 0)).firstToLock === 'rear' ? 1 : 0,
      ),
    ],
  },
  {
    id: 'adhesion-corridor',
    title: 'Adhesion-utilisation corridor: the textbook car reaches the least rate on every friction',
    source:
      'Directive 71/320/EEC Annex II as quoted in Crolla, z >= 0.1 + 0.85 (k - 0.2) for k 0.2 to 0.8 (verified)',
    status: 'verified',
    project: wongCar(0.8, 0),
    rows: [0.2, 0.4, 0.6, 0.8].map((k) =>
      bound(
        'at least',
        `friction ${k}`,
        0.1 + 0.85 * (k - 0.2),
        'g',
        'the requirement is a bound',
        (ask) => ask(stop(20), wongCar(k, 0)).columns.deceleration[0]! / G,
      ),
    ),
  },
  {
    id: 'ideal-distribution',
    title: 'Parabola of ideal distribution',
    source:
      'F_xr = sqrt((1-psi)²/(4 chi²) + F_xf/(W chi)) W - W (1-psi)/(2 chi) - F_xf (Limpert; Gillespie; Wong), from memory',
    status: 'from memory',
    project: wongCar(0.8, 0),
    rows: [0.3, 0.5, 0.8].map((mu) => {
      const chi = 0.508 / 2.87;
      const frontStatic = 1.6 / 2.87;
      return within(
        `rear force for the front force at mu ${mu}, over weight`,
        0,
        '',
        0,
        'parabola against two axles at their limit',
        (ask) => {
          const c = ask(stop(20, { brakes: 'ideal' }), wongCar(mu, 0)).columns;
          const weight = 21_240;
          const front = c.frontForce[0]! / weight;
          const parabola =
            Math.sqrt(frontStatic ** 2 / (4 * chi * chi) + front / chi) - frontStatic / (2 * chi) - front;
          return c.rearForce[0]! / weight - parabola;
        },
        { tolerance: 1e-9 },
      );
    }),
  },
  {
    id: 'rear-lift',
    title: 'Rear wheels lift under braking',
    source: 'Moments about the front contact: z = (centre of gravity to front axle)/h',
    status: 'recomputed',
    project: vehicle({ mass: 300, wheelbase: 1.6, toFront: 0.8, cgHeight: 0.5, friction: 4, brakeShare: 1 }),
    rows: [
      within(
        'deceleration',
        0.8 / 0.5,
        'g',
        1e-6,
        'search tolerance',
        (ask) => ask(stop(20)).columns.deceleration[0]! / G,
      ),
    ],
  },
];
