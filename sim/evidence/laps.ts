/** Outside checks of laps: the published corner-segment table, circle and oval in closed form, bang-bang. */
import type { LapResult } from '../run/lap.ts';
import type { EvidenceCase } from './check.ts';
import { printed, within } from './check.ts';
import { steadyPull, vehicle } from './vehicle.ts';

const FOOT = 0.3048;
const MPH = 0.44704;
const G = 9.80665;
const who = { kart: 'v', day: 'd', track: 'line' } as const;

/** Time at a distance along a lap: between stations acceleration is steady. */
function timeAt(lap: LapResult, distance: number): number {
  const { distance: s, time, speed } = lap.columns;
  let i = 0;
  while (i + 2 < s.length && s[i + 1]! <= distance) i++;
  const h = s[i + 1]! - s[i]!;
  if (h <= 0) return time[i]!;
  const part = (distance - s[i]!) / h;
  const v = Math.sqrt(speed[i]! ** 2 + part * (speed[i + 1]! ** 2 - speed[i]! ** 2));
  return time[i]! + (2 * part * h) / (speed[i]! + v);
}

/** One radius of the table: 650 ft less h, a half circle, and as much again; g is 32 ft/s². */
export function segmentOf(r: number) {
  const h = Math.sqrt(200 * r - 30_000);
  const phi = Math.atan2(200 - r, h);
  const straight = 650 - h;
  const project = vehicle({
    mass: 1000,
    wheelbase: 2.5,
    toFront: 1.25,
    brakeShare: 0.5,
    friction: 1,
    gravity: '32 ft/s²',
    donor: steadyPull(1000 * 16 * FOOT, 80),
    line: {
      closed: false,
      startSpeed: '100 mph',
      stretches: [
        { straight: `${straight} ft`, speedLimit: '100 mph' },
        { turn: 'left', angle: '180 deg', radius: `${r} ft` },
        { straight: `${straight} ft` },
      ],
    },
  });
  const apex = (straight + r * (Math.PI / 2 + phi)) * FOOT;
  const exit = (straight + r * Math.PI) * FOOT;
  return { project, apex, exit };
}

// r, to apex, after apex, entry and corner, exit mph, exit time, total, after apex and exit
const TABLE = [
  [150, 11.872, 0, 11.872, 109.091, 5.67, 17.541, 5.67],
  [155, 10.401, 1.348, 11.75, 107.26, 5.43, 17.18, 6.779],
  [160, 9.872, 1.881, 11.753, 106.697, 5.308, 17.061, 7.189],
  [180, 8.762, 3.126, 11.888, 105.806, 4.955, 16.844, 8.082],
  [200, 8.15, 3.927, 12.077, 105.627, 4.682, 16.76, 8.609],
] as const;

export const TABLE_RADII: readonly number[] = TABLE.map(([radius]) => radius);

const lap = (more: object = {}) => ({ ...who, verb: 'lap' as const, ...more });

const LAST_DIGIT =
  'last printed digit: the table is printed to 0.001 and its constants were found by fitting it';

const ring = vehicle({
  mass: 300,
  wheelbase: 1.6,
  toFront: 0.8,
  friction: 0.8,
  donor: steadyPull(900, 60),
  line: { closed: true, stretches: [{ turn: 'left', angle: '360 deg', radius: 20 }] },
});

/** Two straights of 60 m and two half circles of 15 m; pull 3 m/s², grip 6 m/s². */
const oval = vehicle({
  mass: 300,
  wheelbase: 1.6,
  toFront: 0.8,
  brakeShare: 0.5,
  friction: 6 / G,
  donor: steadyPull(900, 60),
  line: {
    closed: true,
    stretches: [
      { straight: 60 },
      { turn: 'left', angle: '180 deg', radius: 15 },
      { straight: 60 },
      { turn: 'left', angle: '180 deg', radius: 15 },
    ],
  },
});
const ovalCorner = Math.sqrt(6 * 15);
const ovalPeak = Math.sqrt(ovalCorner ** 2 + (2 * 60 * 3 * 6) / 9);

/** Rest to rest over 100 m: a last millimetre may only be crept over. */
const bangBang = vehicle({
  mass: 300,
  wheelbase: 1.6,
  toFront: 0.8,
  brakeShare: 0.5,
  friction: 6 / G,
  donor: steadyPull(900, 60),
  line: { closed: false, stretches: [{ straight: 100 }, { straight: 0.001, speedLimit: 0.011 }] },
});

export const LAPS: readonly EvidenceCase[] = [
  {
    id: 'corner-segment-table',
    title: 'Entry, corner and exit of one bend on five radii',
    source:
      'Beckman, The Physics of Racing, part 18 (2000), full table (verified; g 32 ft/s², 1 g braking and 100 mph entry inferred from it)',
    status: 'verified',
    project: segmentOf(150).project,
    rows: TABLE.flatMap(([r, toApex, afterApex, corner, mph, exitTime, total, rest]) => {
      const { project, apex, exit } = segmentOf(r);
      const row = (name: string, expected: number, unit: string, value: (l: LapResult) => number) =>
        printed(`r ${r} ft: ${name}`, expected, unit, 3, (ask) => value(ask(lap(), project)), {
          tolerance: 0.0011,
          why: LAST_DIGIT,
        });
      return [
        row('time to apex', toApex, 's', (l) => timeAt(l, apex)),
        row('after apex', afterApex, 's', (l) => timeAt(l, exit) - timeAt(l, apex)),
        row('entry and corner', corner, 's', (l) => timeAt(l, exit)),
        row('exit speed', mph, 'mph', (l) => l.columns.speed.at(-1)! / MPH),
        row('exit time', exitTime, 's', (l) => l.time - timeAt(l, exit)),
        row('total', total, 's', (l) => l.time),
        row('after apex and exit', rest, 's', (l) => l.time - timeAt(l, apex)),
      ];
    }),
  },
  {
    id: 'circle-lap',
    title: 'Lap of a circle',
    source: 'T = 2 pi R/sqrt(mu g R)',
    status: 'recomputed',
    project: ring,
    rows: [
      within(
        'lap',
        (2 * Math.PI * 20) / Math.sqrt(0.8 * G * 20),
        's',
        1e-8,
        'the limit speed is found to 1e-8',
        (ask) => ask(lap()).time,
      ),
    ],
  },
  {
    id: 'oval-lap',
    title: 'Lap of an oval with steady pull and braking',
    source: 'v_p² = v_c² + 2 L a b/(a + b), T = 2 pi R/v_c + 2 (v_p - v_c)(1/a + 1/b)',
    status: 'recomputed',
    project: oval,
    rows: [
      within(
        'lap',
        (2 * Math.PI * 15) / ovalCorner + 2 * (ovalPeak - ovalCorner) * (1 / 3 + 1 / 6),
        's',
        1e-8,
        'steps are exact where acceleration is steady',
        (ask) => ask(lap()).time,
      ),
      within(
        'lap of the mirrored oval',
        (2 * Math.PI * 15) / ovalCorner + 2 * (ovalPeak - ovalCorner) * (1 / 3 + 1 / 6),
        's',
        1e-8,
        'steps are exact where acceleration is steady',
        (ask) => {
          const line = {
            closed: true,
            stretches: [
              { straight: 60 },
              { turn: 'right', angle: '180 deg', radius: 15 },
              { straight: 60 },
              { turn: 'right', angle: '180 deg', radius: 15 },
            ],
          };
          return ask(
            lap(),
            vehicle({
              mass: 300,
              wheelbase: 1.6,
              toFront: 0.8,
              brakeShare: 0.5,
              friction: 6 / G,
              donor: steadyPull(900, 60),
              line,
            }),
          ).time;
        },
      ),
    ],
  },
  {
    id: 'bang-bang',
    title: 'Rest to rest over 100 m with 3 and 6 m/s²',
    source: 't = sqrt(2 d (a + b)/(a b)), peak sqrt(2 d a b/(a + b)) (theory from memory)',
    status: 'recomputed',
    project: bangBang,
    rows: [
      within('time', 10, 's', 3e-4, 'the run ends at 11 mm/s, not at rest: 2 ms early', (ask) =>
        timeAt(ask(lap({ options: { start: 'standing' } })), 100),
      ),
      within(
        'peak speed',
        20,
        'm/s',
        1e-3,
        'read at the nearest station',
        (ask) => ask(lap({ options: { start: 'standing' }, spacing: 0.02 })).topSpeed,
      ),
    ],
  },
];
