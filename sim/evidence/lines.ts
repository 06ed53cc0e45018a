/** Outside checks of lines: widest arcs, the corner-segment table searched freely, rings in closed form. */
import type { LineResult } from '../run/line/run-line.ts';
import type { Ask, EvidenceCase } from './check.ts';
import { bound, within } from './check.ts';
import { segmentOf, TABLE_RADII } from './laps.ts';
import { steadyPull, vehicle } from './vehicle.ts';

const G = 9.80665;
const FOOT = 0.3048;
const who = { kart: 'v', day: 'd', track: 'line' } as const;
/** Tracks here are wider by this than the width left to the line. */
const KART_WIDTH = 1.5;

const lines = (ask: Ask, options: object = {}) => ask({ ...who, verb: 'line', options });
const lineOf = (result: LineResult, kind: string) => result.lines.find((line) => line.kind === kind)!;

/** A corner between straights for a kart that brakes hard and hardly pulls: its slowest place sets the time. */
function corner(inner: number, width: number, angle: number) {
  return vehicle({
    mass: 300,
    wheelbase: 1.6,
    toFront: 0.8,
    brakeShare: 0.5,
    friction: 0.8,
    donor: steadyPull(0.3, 80),
    chassis: { width: KART_WIDTH },
    line: {
      closed: false,
      startSpeed: 40,
      width: width + KART_WIDTH,
      stretches: [
        { straight: 80 },
        { turn: 'left', angle: `${angle} deg`, radius: inner + width / 2 },
        { straight: 200 },
      ],
    },
  });
}

const arc = (inner: number, width: number, angle: number) =>
  inner + width / (1 - Math.cos((angle * Math.PI) / 360));

const CORNERS = [
  [15, 6, 90],
  [15, 6, 180],
] as const;

const ARC_WHY = 'no line inside the width keeps wider of every place; 0.5 % for the edges between nodes';

const ring = vehicle({
  mass: 300,
  wheelbase: 1.6,
  toFront: 0.8,
  friction: 0.8,
  donor: steadyPull(900, 60),
  chassis: { width: KART_WIDTH },
  line: {
    closed: true,
    width: 8 + KART_WIDTH,
    stretches: [{ turn: 'left', angle: '360 deg', radius: 20 }],
  },
});
const ringTime = (radius: number) => 2 * Math.PI * Math.sqrt(radius / (0.8 * G));
const RING_WHY = 'the ring is drawn as an exact circle, lines are splines through nodes 2.5 m apart';

/** Entry and corner of one radius; the whole segment. */
const segmentTime = (ask: Ask, radius: number, whole: boolean): number => {
  const { project, exit } = segmentOf(radius);
  const lap = ask({ ...who, verb: 'lap' }, project);
  if (whole) return lap.time;
  const { distance, time } = lap.columns;
  const i = distance.findIndex((s) => s >= exit - 1e-6);
  return time[i]!;
};
const quickest = (ask: Ask, whole: boolean): number => {
  let best: number = TABLE_RADII[0]!;
  for (const radius of TABLE_RADII)
    if (segmentTime(ask, radius, whole) < segmentTime(ask, best, whole)) best = radius;
  return best;
};

/** The same ground as the table's, free to any line: inner 100 ft, outer 200 ft; the kart is 5 ft wide. */
function freeSegment(exitStraight: number) {
  const { project } = segmentOf(150);
  const line = {
    name: 'Line',
    surface: 'road',
    closed: false,
    startSpeed: '100 mph',
    width: '105 ft',
    stretches: [
      { straight: '650 ft', speedLimit: '100 mph' },
      { turn: 'left', angle: '180 deg', radius: '150 ft' },
      ...(exitStraight > 0 ? [{ straight: `${exitStraight} ft` }] : []),
    ],
  };
  const chassis = project.chassis!['c']!;
  return {
    ...project,
    chassis: { c: { ...chassis, width: '5 ft' } },
    tracks: { line },
  } as typeof project;
}

/** Straight that follows the corner, ft */
const EXIT = 650;
/** Entry straight and half a turn about the middle of the road, ft */
const CORNER_ENDS = 650 + Math.PI * 150;

/** Of the free line's fastest where the drawn corner ends. */
function timeToCornerEnd(ask: Ask, exitStraight: number): number {
  const { along, clock } = lineOf(
    ask({ ...who, verb: 'line', options: { start: 'rolling' } }, freeSegment(exitStraight)),
    'fastest',
  );
  return clock[along.findIndex((s) => s >= CORNER_ENDS * FOOT - 1e-6)]!;
}

export const LINES: readonly EvidenceCase[] = [
  {
    id: 'widest-arc',
    title: 'The widest arc through a corner bounds the fastest line of a kart that hardly pulls',
    source: 'r = r_i + w/(1 - cos(theta/2)), plane geometry (verified in print, derived again)',
    status: 'recomputed',
    project: corner(15, 6, 90),
    rows: CORNERS.flatMap(([inner, width, angle]) => {
      const project = corner(inner, width, angle);
      const tightest = (ask: Ask) => lineOf(lines(ask, { start: 'rolling' }), 'fastest').tightest;
      const where = `${angle}° inside ${inner} m, ${width} m wide`;
      return [
        bound('at most', `least radius, ${where}`, 1.005 * arc(inner, width, angle), 'm', ARC_WHY, tightest, {
          project,
        }),
        {
          name: `share of the widest arc reached, ${where}`,
          unit: '-',
          expected: null,
          kind: 'report' as const,
          tolerance: 0,
          why: 'the search ends before the last of it: there one station alone sets the time, and it moves',
          project,
          compute: (ask: Ask) => tightest(ask) / arc(inner, width, angle),
        },
      ];
    }),
  },
  {
    id: 'ring-lines',
    title: 'Fastest and smoothest line of a ring',
    source:
      'T = 2 pi sqrt(r/(mu g)) is least on the inner edge; the integral of kappa² = 2 pi/r on the outer',
    status: 'recomputed',
    project: ring,
    rows: [
      within(
        'time of the fastest',
        ringTime(16),
        's',
        2e-3,
        RING_WHY,
        (ask) => lineOf(lines(ask), 'fastest').time,
      ),
      within(
        'length of the smoothest',
        2 * Math.PI * 24,
        'm',
        1e-3,
        RING_WHY,
        (ask) => lineOf(lines(ask, { smoothestOnly: true }), 'smoothest').length,
      ),
    ],
  },
  {
    id: 'corner-segment-lines',
    title: 'The corner-segment table: which radius is quickest, and what a free line does better',
    source:
      'Beckman, The Physics of Racing, part 18 (2000), full table (verified; g 32 ft/s², 1 g braking and 100 mph entry inferred from it)',
    status: 'verified',
    project: segmentOf(150).project,
    rows: [
      within('quickest radius for entry and corner', 155, 'ft', 1e-9, 'one of the five of the table', (ask) =>
        quickest(ask, false),
      ),
      within(
        'quickest radius for the whole segment',
        200,
        'ft',
        1e-9,
        'one of the five of the table',
        (ask) => quickest(ask, true),
      ),
      bound(
        'at most',
        'free line, entry and corner',
        11.75,
        's',
        'every line of the table is one the search may take',
        (ask) => lineOf(lines(ask, { start: 'rolling' }), 'fastest').time,
        { project: freeSegment(0) },
      ),
      bound(
        'at most',
        'free line, whole segment',
        16.76,
        's',
        'every line of the table is one the search may take',
        (ask) => lineOf(lines(ask, { start: 'rolling' }), 'fastest').time,
        { project: freeSegment(EXIT) },
      ),
      {
        name: 'time of entry and corner, on the whole segment less on their own',
        unit: 's',
        expected: null,
        kind: 'report',
        tolerance: 0,
        why: 'never negative of the least times themselves: by so much the local search falls short on their own',
        compute: (ask) => timeToCornerEnd(ask, EXIT) - timeToCornerEnd(ask, 0),
      },
    ],
  },
];
