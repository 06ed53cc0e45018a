/** Checks of what the studies of unknowns and logs lean on: sampling, variance shares, the regulation's road load. */
import { truncatedNormalQuantile } from '../numerics/normal.ts';
import { pointMaker } from '../study/unknowns/plan.ts';
import type { Share } from '../study/unknowns/variance-shares.ts';
import { varianceShares } from '../study/unknowns/variance-shares.ts';
import type { EvidenceCase } from './check.ts';
import { within } from './check.ts';
import { vehicle } from './vehicle.ts';

const who = { kart: 'v', day: 'd', surface: 'road' } as const;
const ROWS = 4096;
const A = 7;
const B = 0.1;
const P4 = Math.PI ** 4;
const V1 = 0.5 * (1 + (B * P4) / 5) ** 2;
const V2 = A ** 2 / 8;
const V13 = B ** 2 * P4 ** 2 * (1 / 18 - 1 / 50);
const V = V1 + V2 + V13;

/** f = sin x1 + a sin^2 x2 + b x3^4 sin x1 on (-pi, pi)^3 */
function shares(): Share[] {
  const f = (u: readonly number[]): number => {
    const [x1, x2, x3] = u.map((x) => Math.PI * (2 * x - 1)) as [number, number, number];
    return Math.sin(x1) + A * Math.sin(x2) ** 2 + B * x3 ** 4 * Math.sin(x1);
  };
  const points = pointMaker(3, 1);
  const pairs = Array.from({ length: ROWS }, (_, n) => ({ a: [...points(n, 'a')], b: [...points(n, 'b')] }));
  return varianceShares({
    a: pairs.map((p) => f(p.a)),
    b: pairs.map((p) => f(p.b)),
    mixed: [0, 1, 2].map((i) => pairs.map((p) => f(p.a.map((x, j) => (i === j ? p.b[j]! : x))))),
  });
}

const SAMPLED = '4096 evenly spread points: shares within 0.02, some three of their standard errors';
const share = (name: string, expected: number, pick: (s: Share[]) => number) => ({
  ...within(name, expected, '-', 0, SAMPLED, () => pick(shares())),
  tolerance: 0.02,
});

const roller = vehicle({
  mass: 300,
  wheelbase: 1.6,
  toFront: 0.8,
  dragArea: 0.9,
  density: 1.17,
  rolling: 0.03,
  rollingPerSpeed: 0.01,
  wheelInertia: { front: 0.4, rear: 0.6 },
});
const GRADE = 0.02;
const SPEED = 20;
const slope = Math.atan(GRADE);
const weight = 300 * 9.80665;
/** A = m g f cos, B = A times its growth with speed, C = rho CdA/2; wheels of 1/pi m. */
const road =
  weight * Math.cos(slope) * 0.03 * (1 + 0.01 * SPEED) +
  0.5 * 1.17 * 0.9 * SPEED ** 2 +
  weight * Math.sin(slope);
const effectiveMass = 300 + (2 * 0.4 + 2 * 0.6) * Math.PI ** 2;

export const SAMPLING: readonly EvidenceCase[] = [
  {
    id: 'rolling-out-uphill',
    title: 'Rolling out on a grade: the road-load equation',
    source: '40 CFR 1066.210: F = A + B v + C v² + Me dv/dt + m g sin(atan(grade)), F = 0 when rolling out',
    status: 'verified',
    project: roller,
    rows: [
      within(
        'deceleration at 20 m/s up 2 %',
        road / effectiveMass,
        'm/s²',
        1e-9,
        'one evaluation of a closed form',
        (ask) =>
          ask({ ...who, verb: 'brake', options: { fromSpeed: SPEED, brakes: 'none', grade: GRADE } }).columns
            .deceleration[0]!,
      ),
    ],
  },
  {
    id: 'variance-shares',
    title: 'Shares of the variance of a function with an unknown that acts only in company',
    source:
      'T. Ishigami, T. Homma, An importance quantification technique in uncertainty analysis for computer models (1990); closed form with a = 7, b = 0.1',
    status: 'recomputed',
    project: roller,
    rows: [
      share('first unknown alone', V1 / V, (s) => s[0]!.first),
      share('second unknown alone', V2 / V, (s) => s[1]!.first),
      share('third unknown alone', 0, (s) => s[2]!.first),
      share('first unknown in all', (V1 + V13) / V, (s) => s[0]!.total),
      share('second unknown in all', V2 / V, (s) => s[1]!.total),
      share('third unknown in all', V13 / V, (s) => s[2]!.total),
    ],
  },
  {
    id: 'truncated-normal',
    title: 'A value about 0.9 ± 0.1, never above 1',
    source: 'scipy.stats.truncnorm of SciPy, tests/evidence/independent/sampling.py',
    status: 'recomputed',
    project: roller,
    rows: [
      within(
        'middle of the draws',
        0.8799826315094637,
        '-',
        1e-12,
        'two implementations of one function in double precision',
        () => truncatedNormalQuantile(0.5, 0.9, 0.1, 0.3, 1),
      ),
    ],
  },
];
