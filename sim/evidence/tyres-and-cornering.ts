/** Outside checks of tyre curves, lateral load transfer, tipping and steady cornering. */
import type { EvidenceCase } from './check.ts';
import { printed, within } from './check.ts';
import { vehicle } from './vehicle.ts';

const G = 9.80665;
const who = { kart: 'v', day: 'd', surface: 'road' } as const;

/** Bakker's longitudinal curve at one wheel load, entered as coefficients of a slip curve. */
function lengthwise(kN: number) {
  const peak = -21.3 * kN * kN + 1144 * kN;
  const product = (49.6 * kN * kN + 226 * kN) / Math.exp(0.069 * kN);
  // Slip in percent in the source: the stiffness factor is a hundred times as large here.
  const curve = {
    stiffness: (100 * product) / (1.65 * peak),
    shape: 1.65,
    curvature: -0.006 * kN * kN + 0.056 * kN + 0.486,
  };
  return vehicle({
    mass: (4000 * kN) / G,
    wheelbase: 2,
    toFront: 1,
    friction: peak / (1000 * kN),
    grip: { curve },
  });
}

/** Bakker's lateral peak, D = -22.1 Fz² + 1011 Fz, as friction at 4 kN and its loss when the load doubles. */
function sideways(kN: number) {
  const friction = (1011 - 22.1 * 4) / 1000;
  return vehicle({
    mass: (4000 * kN) / G,
    wheelbase: 2,
    toFront: 1,
    friction,
    grip: { loadSensitivity: (22.1 * 4) / (1000 * friction), referenceLoad: 4000 },
  });
}

const braking = (brakes: 'ideal' | 'locked') => ({
  ...who,
  verb: 'brake' as const,
  options: { fromSpeed: 20, brakes },
});
const bend = (radius: number, more: object = {}) => ({
  ...who,
  verb: 'corner' as const,
  options: { radius, ...more },
});

/** The printed car: sprung 1280 kg, d 0.365 m, roll axis 0.07/0.32 m, unsprung 140 kg at 0.28 m and 180 kg at 0.30 m. */
const springCar = (() => {
  const wheelbase = 2.5;
  const axis = 0.07 + 0.25 * 0.46;
  const mass = 1280 + 140 + 180;
  return vehicle({
    mass,
    wheelbase,
    toFront: (1280 * 0.46 * wheelbase + 180 * wheelbase) / mass,
    cgHeight: (1280 * (axis + 0.365) + 140 * 0.28 + 180 * 0.3) / mass,
    track: 1.46,
    friction: 1.5,
    gravity: 9.81,
    chassis: {
      roll: { frontStiffness: 28_650 * 0.699, rearStiffness: 28_650 * 0.301 },
      rollCentres: { front: 0.07, rear: 0.32 },
      unsprung: { front: { mass: 140, height: 0.28 }, rear: { mass: 180, height: 0.3 } },
    },
  });
})();
const transferAt = (ask: Parameters<EvidenceCase['rows'][number]['compute']>[0]) => {
  const loads = ask(bend(50, { atSpeed: Math.sqrt(0.6 * 9.81 * 50) })).loads;
  return { front: (loads.frontOuter - loads.frontInner) / 2, rear: (loads.rearOuter - loads.rearInner) / 2 };
};

const tipper = (track: number, cgHeight: number) =>
  vehicle({ mass: 300, wheelbase: 1.6, toFront: 0.8, cgHeight, track, friction: 4 });
const slab = (friction: number, gravity = G, downforceArea = 0) =>
  vehicle({ mass: 300, wheelbase: 1.6, toFront: 0.8, friction, gravity, downforceArea, density: 1.225 });
const TEN_DEGREES = Math.PI / 18;

export const TYRES_AND_CORNERING: readonly EvidenceCase[] = [
  {
    id: 'magic-formula-peaks',
    title: 'Peaks and locked values of a published tyre',
    source: 'Bakker, Nyborg and Pacejka, SAE 870421 (coefficients verified; peaks worked out from them)',
    status: 'recomputed',
    project: lengthwise(2),
    rows: [
      ...(
        [
          [2, 2202.8, 11.9, 1531],
          [4, 4235.2, 10.4, 2899],
          [6, 6097.2, 9.2, 4072],
          [8, 7788.8, 8.1, 5023],
        ] as const
      ).flatMap(([kN, peak, slip, locked]) => [
        printed(
          `${kN} kN: lengthwise peak`,
          peak,
          'N',
          1,
          (ask) => (ask(braking('ideal'), lengthwise(kN)).columns.deceleration[0]! * 4000 * kN) / G / 4,
        ),
        printed(
          `${kN} kN: slip at the peak`,
          slip,
          '%',
          1,
          (ask) =>
            100 * ask({ kart: 'v', day: 'd', verb: 'sheet' }, lengthwise(kN)).surfaces[0]!.peakSlipFront,
          { tolerance: 0.06, why: 'last printed digit' },
        ),
        printed(
          `${kN} kN: locked`,
          locked,
          'N',
          0,
          (ask) => (ask(braking('locked'), lengthwise(kN)).columns.deceleration[0]! * 4000 * kN) / G / 4,
          { tolerance: 1, why: 'last printed digit' },
        ),
      ]),
      ...(
        [
          [2, 1933.6],
          [4, 3690.4],
          [6, 5270.4],
          [8, 6673.6],
        ] as const
      ).map(([kN, peak]) =>
        printed(
          `${kN} kN: sideways peak`,
          peak,
          'N',
          1,
          (ask) => (ask(bend(50), sideways(kN)).lateralAcceleration * 4000 * kN) / G / 4,
          { tolerance: 0.06 },
        ),
      ),
    ],
  },
  {
    id: 'lateral-transfer',
    title: 'Lateral load transfer by roll stiffness',
    source:
      'Barton and Fieldhouse, Automotive Chassis Engineering (2018), p. 174 (inputs and answers verified)',
    status: 'verified',
    note: 'The printed front sum, 1919 N, is 10 N above its own parts; 1909 N is used.',
    project: springCar,
    rows: [
      within(
        'front',
        1909,
        'N',
        0.01,
        'the printed roll-stiffness part is 0.7 % below k phi/t',
        (ask) => transferAt(ask).front,
      ),
      within(
        'rear',
        1649,
        'N',
        0.01,
        'the printed roll-stiffness part is 0.7 % below k phi/t',
        (ask) => transferAt(ask).rear,
      ),
      printed(
        'lean',
        10.9,
        '°/g',
        1,
        (ask) => (ask({ kart: 'v', day: 'd', verb: 'sheet' }).leanPerG * 180) / Math.PI,
      ),
    ],
  },
  {
    id: 'rollover-factor',
    title: 'Static stability factor',
    source: 'NHTSA rollover rating, SSF = (t/2)/h (verified)',
    status: 'verified',
    project: tipper(1.25, 0.45),
    rows: [
      within(
        'track 1.25 m, height 0.45 m',
        1.25 / 0.9,
        'g',
        1e-9,
        'rounding',
        (ask) => ask({ kart: 'v', day: 'd', verb: 'sheet' }).tipFactor ?? 0,
      ),
      within(
        'speed round 20 m: the kart tips before it slides',
        Math.sqrt((1.25 / 0.9) * G * 20),
        'm/s',
        1e-9,
        'search tolerance',
        (ask) => ask(bend(20)).speed ?? 0,
      ),
      within('and the limit is named (1)', 1, '', 0, 'a verdict', (ask) =>
        ask(bend(20)).limit === 'tip' ? 1 : 0,
      ),
      within(
        'track 1.05 m, height 0.55 m',
        1.05 / 1.1,
        'g',
        1e-9,
        'rounding',
        (ask) => ask({ kart: 'v', day: 'd', verb: 'sheet' }, tipper(1.05, 0.55)).tipFactor ?? 0,
      ),
    ],
  },
  {
    id: 'cornering',
    title: 'Cornering speed: flat, banked, with downforce',
    source:
      'v² = g R (sin + mu cos)/(cos - mu sin); v² = mu m g/(m/R - mu rho ClA/2); school page (mu 0.5, R 50 m, g 9.8: 15.65 m/s, verified); physics forum (R 60 m, 100 km/h without friction: tan 1.31, verified)',
    status: 'recomputed',
    project: slab(0.8),
    rows: [
      {
        ...printed('flat: mu 0.5, R 50 m', 15.65, 'm/s', 2, (ask) => ask(bend(50)).speed ?? 0),
        project: slab(0.5, 9.8),
        status: 'verified',
      },
      printed('flat: mu 0.8, R 20 m', 12.526, 'm/s', 3, (ask) => ask(bend(20)).speed ?? 0),
      printed('banked 10° in', 14.931, 'm/s', 3, (ask) => ask(bend(20, { bank: TEN_DEGREES })).speed ?? 0),
      printed('banked 10° out', 10.354, 'm/s', 3, (ask) => ask(bend(20, { bank: -TEN_DEGREES })).speed ?? 0),
      {
        ...within(
          'no friction, bank with tan 1.31',
          100,
          'km/h',
          3e-3,
          'the tangent is printed to three digits',
          (ask) => (ask(bend(60, { bank: Math.atan(1.31) })).speed ?? 0) * 3.6,
        ),
        project: slab(1e-6),
        status: 'verified',
      },
      {
        ...printed('downforce 1.5 m²: R 20 m', 12.845, 'm/s', 3, (ask) => ask(bend(20)).speed ?? 0),
        project: slab(0.8, G, 1.5),
      },
      {
        ...printed('downforce 1.5 m²: R 60 m', 23.491, 'm/s', 3, (ask) => ask(bend(60)).speed ?? 0),
        project: slab(0.8, G, 1.5),
      },
    ],
  },
];
