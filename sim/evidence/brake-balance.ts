/** Outside checks of the balance as a setting: the adhesion-utilisation corridor, the ideal distribution. */
import type { Ask, EvidenceCase } from './check.ts';
import { within } from './check.ts';
import { vehicle } from './vehicle.ts';

const who = { kart: 'v', day: 'd', surface: 'road', verb: 'balance-curve' as const };
/** Rear share of weight and height over wheelbase of an invented car. */
const PSI = 0.42;
const CHI = 0.22;
const L = 2.5;
const G = 9.80665;

const car = (brakeShare: number) =>
  vehicle({ mass: 1000, wheelbase: L, toFront: PSI * L, cgHeight: CHI * L, brakeShare, friction: 0.8 });

/** Closed form of the corridor's front limit: the least of ((1 - psi) + z chi)(z + 0.07)/(0.85 z) over z. */
const MOST = (1 - PSI + 0.07 * CHI + 2 * Math.sqrt(0.07 * (1 - PSI) * CHI)) / 0.85;
const TIGHTEST = Math.sqrt((0.07 * (1 - PSI)) / CHI);
/** Rear limit where the table of the regulation ends: k = 0.8 at z = 0.61. */
const LEAST = 1 - (0.8 * (PSI - 0.61 * CHI)) / 0.61;

/** Largest use of an axle over its allowance (z + 0.07)/0.85, through the range of the table. */
const worst = (ask: Ask, axle: 'adhesionFront' | 'adhesionRear') => {
  const rates = [...Array.from({ length: 103 }, (_, i) => 0.1 + 0.005 * i), TIGHTEST];
  const curve = ask({ ...who, options: { rates } });
  return Math.max(...rates.map((z, i) => curve[axle][i]! - (z + 0.07) / 0.85));
};

export const BRAKE_BALANCE: readonly EvidenceCase[] = [
  {
    id: 'adhesion-corridor-settings',
    title: 'Front shares inside the adhesion-utilisation corridor',
    source:
      'UN R13 annex 10 (71/320/EEC annex II, appendix): z >= 0.1 + 0.85 (k - 0.2) for k = 0.2 to 0.8, as quoted in Crolla (ed.), Automotive Engineering (2009), ch. 12; limits in closed form for an invented car',
    status: 'recomputed',
    project: car(MOST),
    rows: [
      within('most in front', MOST, '', 1e-12, 'closed form', (ask) => ask(who).corridor.most),
      within('least in front', LEAST, '', 1e-12, 'closed form', (ask) => ask(who).corridor.least),
      {
        ...within('front touches its line at the most', 0, '', 0, 'rounding', (ask) =>
          worst(ask, 'adhesionFront'),
        ),
        tolerance: 1e-12,
      },
      {
        ...within('rear at 0.61 g with the least in front', 0.8, '', 1e-12, 'rounding', (ask) => {
          const { adhesionRear } = ask({ ...who, options: { rates: [0.61] } });
          return adhesionRear[0]!;
        }),
        project: car(LEAST),
      },
      {
        ...within('rear stays under its line with the least in front', 0, '', 0, 'rounding', (ask) =>
          worst(ask, 'adhesionRear'),
        ),
        tolerance: 1e-12,
        project: car(LEAST),
      },
    ],
  },
  {
    id: 'ideal-distribution-parabola',
    title: 'Ideal braking forces lie on the parabola',
    source:
      'Limpert, Brake Design and Safety; Gillespie, Fundamentals of Vehicle Dynamics, ch. 3 (equation from memory): Fxr/W = sqrt((1 - psi)²/(4 chi²) + Fxf/(W chi)) - (1 - psi)/(2 chi) - Fxf/W',
    status: 'from memory',
    project: car(0.6),
    rows: [0.2, 0.5, 0.8].map((z) => {
      const front = (1 - PSI + z * CHI) * z;
      const rear = Math.sqrt(((1 - PSI) / (2 * CHI)) ** 2 + front / CHI) - (1 - PSI) / (2 * CHI) - front;
      return within(`rear force over weight at ${z} g`, rear, '', 1e-10, 'rounding', (ask) => {
        const { idealFrontShare } = ask({ ...who, options: { rates: [z] } });
        return (1 - idealFrontShare[0]!) * z;
      });
    }),
  },
  {
    id: 'best-balance',
    title: 'The best balance of a stop is the textbook share at its deceleration',
    source: 'As the parabola: without drag and spinning parts a stop on friction mu runs at mu g throughout',
    status: 'recomputed',
    project: car(1 - PSI + 0.8 * CHI),
    rows: [
      within(
        'distance from 20 m/s',
        400 / (2 * 0.8 * G),
        'm',
        1e-7,
        'integration error',
        (ask) =>
          ask({ kart: 'v', day: 'd', surface: 'road', verb: 'brake', options: { fromSpeed: 20 } }).distance,
      ),
    ],
  },
];
