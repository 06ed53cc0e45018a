/**
 * What the trade says, put to the solver: facts without a source, and figures that are only reported.
 *
 * The kart here is an invented one of the class; nothing of it is a published value.
 */
import type { EvidenceCase } from './check.ts';
import { bound, within } from './check.ts';
import { vehicle } from './vehicle.ts';

const who = { kart: 'v', day: 'd' } as const;
const SLOW = 60 / 3.6;

/** An invented 380 kg kart of the class, ready to drive. */
const kart = (friction: number, more: { rollOut?: number; brakeShare?: number } = {}) =>
  vehicle({
    mass: 380,
    wheelbase: 1.75,
    toFront: 1.015,
    cgHeight: 0.45,
    track: 1.25,
    rollOut: more.rollOut ?? 1.53,
    friction,
    dragArea: 0.8,
    density: 1.2,
    rolling: 0.02,
    brakeShare: more.brakeShare ?? 0.62,
    chassis: {
      roll: {
        front: { rate: '120 lbf/in', motionRatio: 0.7 },
        rear: { rate: '120 lbf/in', motionRatio: 0.7 },
      },
    },
    donor: {
      displacement: '600 cc',
      closedThrottle: {
        columns: ['rpm', 'N*m'],
        rows: [
          [1500, 5],
          [6000, 8],
          [10_000, 11],
          [14_500, 15],
        ],
      },
      torque: {
        at: 'crank',
        points: {
          columns: ['rpm', 'N*m'],
          rows: [
            [3000, 40],
            [8000, 58],
            [11_000, 63],
            [13_200, 60],
            [14_000, 53],
          ],
        },
      },
      idle: '1300 rpm',
      revLimit: '14000 rpm',
      safeRev: '14500 rpm',
      inertia: 0.008,
      primary: 2.1,
      gears: [2.75, 2, 1.67, 1.44, 1.3, 1.2],
      efficiency: 0.96,
    },
    kart: { finalRatio: 3 },
  });
const ideal = {
  ...who,
  surface: 'road',
  verb: 'brake' as const,
  options: { fromSpeed: SLOW, brakes: 'ideal' as const },
};
const frontShare = (columns: { frontForce: Float64Array; rearForce: Float64Array }) =>
  columns.frontForce[0]! / (columns.frontForce[0]! + columns.rearForce[0]!);
const withEngine = {
  ...who,
  surface: 'road',
  verb: 'brake' as const,
  options: { fromSpeed: SLOW, brakes: 'threshold' as const, engine: 'shifting down' as const },
};

export const PRACTICE: readonly EvidenceCase[] = [
  {
    id: 'tyre-change',
    title: 'From a 26 in to an 18.5 in tyre: ratio and speedometer go by 26/18.5',
    source: 'common practice, no source',
    status: 'common practice',
    project: kart(0.8, { rollOut: Math.PI * 26 * 0.0254 }),
    rows: [
      within(
        'speed at the limiter, large over small tyre',
        26 / 18.5,
        '',
        1e-9,
        'rounding',
        (ask) =>
          ask({ ...who, surface: 'road', verb: 'topspeed' }).gears[0]!.limitSpeed /
          ask({ ...who, surface: 'road', verb: 'topspeed' }, kart(0.8, { rollOut: Math.PI * 18.5 * 0.0254 }))
            .gears[0]!.limitSpeed,
      ),
    ],
  },
  {
    id: 'front-share-span',
    title: 'Front share from about 50 % on loose ground to 80 % on asphalt spans what builders set',
    source: 'common practice, no source',
    status: 'common practice',
    note: 'Clutch in. With the engine braking the rear axle the pedal share that suits rises: see the report below.',
    project: kart(0.8),
    rows: [
      bound('at least', 'ideal share on friction 0.4', 0.5, '', 'the lower end', (ask) =>
        frontShare(ask(ideal, kart(0.4)).columns),
      ),
      bound('at most', 'ideal share on friction 1.0', 0.8, '', 'the upper end', (ask) =>
        frontShare(ask(ideal, kart(1)).columns),
      ),
    ],
  },
  {
    id: 'engine-share-of-slowing',
    title:
      'A sequential box lets engine braking do a large part of the slowing on asphalt: the share the model finds',
    source: 'common practice, no source; the figures are what this solver finds for an invented kart',
    status: 'common practice',
    project: kart(0.9),
    rows: [
      {
        name: "asphalt, friction 0.9: engine's share of a stop from 60 km/h, shifting down",
        unit: '%',
        expected: null,
        kind: 'report',
        tolerance: 0,
        why: 'reported',
        compute: (ask) => 100 * ask(withEngine).engineShare,
      },
      {
        name: 'loose ground, friction 0.45: the same',
        unit: '%',
        expected: null,
        kind: 'report',
        tolerance: 0,
        why: 'reported',
        compute: (ask) => 100 * ask(withEngine, kart(0.45)).engineShare,
      },
      {
        name: 'no brakes at all, asphalt: mean deceleration from 60 km/h, shifting down',
        unit: 'g',
        expected: null,
        kind: 'report',
        tolerance: 0,
        why: 'reported',
        compute: (ask) =>
          ask({ ...withEngine, options: { ...withEngine.options, brakes: 'none', toSpeed: 5 } })
            .meanDeceleration / 9.80665,
      },
    ],
  },
  {
    id: 'spring-rate',
    title: 'Small karts run springs near 120 lbf/in',
    source: 'common practice, no source',
    status: 'common practice',
    project: kart(0.9),
    rows: [
      {
        name: 'lean of the invented kart on such springs, motion ratio 0.7',
        unit: '°/g',
        expected: null,
        kind: 'report',
        tolerance: 0,
        why: 'reported',
        compute: (ask) => (ask({ ...who, verb: 'sheet' }).leanPerG * 180) / Math.PI,
      },
    ],
  },
];
