/** Outside checks of the chain: pitch circles, length and centre distance, even links, speed. */
import type { ProjectInput } from '../project/schema.ts';
import type { Ask, EvidenceCase } from './check.ts';
import { printed, within } from './check.ts';
import { vehicle } from './vehicle.ts';

const who = { kart: 'v', day: 'd', verb: 'chain' as const };
const PITCH = 0.015875;
const RAD = Math.PI / 180;

/** A body with these two sprockets instead of a final ratio; centre distance in pitches. */
function chained(front: number, rear: number, pitches: number): ProjectInput {
  const project = vehicle({ mass: 300, wheelbase: 1.7, toFront: 0.85 });
  const { finalRatio: _none, ...kart } = project.karts!['v']!;
  return {
    ...project,
    karts: {
      v: { ...kart, sprockets: { front, rear }, chain: { pitch: PITCH, centreDistance: pitches * PITCH } },
    },
  };
}

const distanceFor = (ask: Ask, links: number) => {
  const { centreDistance } = ask({ ...who, options: { links } });
  if (centreDistance === null) throw new Error('no centre distance');
  return centreDistance / PITCH;
};

/** f4 of the table: a = f4 p (2 X - (z1 + z2)), here for 20 and 60 teeth; X = 20 + 40 q. */
const f4 = (ask: Ask, q: number) => distanceFor(ask, 20 + 40 * q) / (2 * (20 + 40 * q) - 80);
/** From memory; the fourth and fifth decimals checked to be those of an open belt round circles. */
const F4: readonly (readonly [number, number])[] = [
  [12, 0.2499],
  [10, 0.24986],
  [8, 0.24978],
  [6, 0.24958],
  [5, 0.24937],
  [2, 0.24421],
];

export const CHAIN: readonly EvidenceCase[] = [
  {
    id: 'chain-geometry',
    title: 'Pitch diameters of sprockets',
    source: 'ISO 606, annex A, pitch circle diameters for unit pitch: d = p/sin(180°/z)',
    status: 'from memory',
    project: chained(17, 25, 40),
    rows: [
      printed('17 teeth', 5.4422, 'pitches', 4, (ask) => ask(who).pitchDiameters.front / PITCH),
      printed('25 teeth', 7.9787, 'pitches', 4, (ask) => ask(who).pitchDiameters.rear / PITCH),
    ],
  },
  {
    id: 'chain-length',
    title: 'Links for a centre distance, and the centre distance of an even number of them',
    source:
      'Selection of a roller chain by example in a paper on chain design (public translation): 20 and 63 teeth, 36 pitches apart',
    status: 'verified',
    project: chained(20, 63, 36),
    rows: [
      printed('links at 36 pitches', 114.8, 'links', 1, (ask) => ask(who).exactLinks ?? 0),
      printed('centre distance of 114 links', 35.6, 'pitches', 1, (ask) => distanceFor(ask, 114)),
      {
        ...printed('even number of links taken', 114, 'links', 0, (ask) => ask(who).links ?? 0),
        tolerance: 0,
        why: 'a whole number',
      },
    ],
  },
  {
    id: 'chain-centre-distance-factor',
    title: 'Factor of the centre distance over (X - z1)/(z2 - z1)',
    source: 'ISO 10823, table of f4: a = f4 p (2 X - (z1 + z2))',
    status: 'from memory',
    project: chained(20, 60, 40),
    rows: F4.map(([q, factor]) => ({
      ...printed(`at ${q}`, factor, '', 5, (ask) => f4(ask, q)),
      tolerance: 1.5e-5,
      why: 'one and a half of the last digit: the table rounds, and takes circles of the same perimeter for pitch circles',
    })),
  },
  {
    id: 'chain-handbook-formula',
    title: 'A kart chain, 15 and 45 teeth, by the handbook formula',
    source:
      'X = 2C + (z1 + z2)/2 + ((z2 - z1)/2 pi)²/C and its inverse (ISO 10823; ANSI/ASME B29.1, supplement), worked out by hand',
    status: 'recomputed',
    project: chained(15, 45, 600 / 15.875),
    rows: [
      within('links at 600 mm', 106.1937, 'links', 2e-5, 'terms the formula leaves out', (ask) => {
        const { exactLinks } = ask(who);
        return exactLinks ?? 0;
      }),
      within(
        '106 links',
        598.45,
        'mm',
        5e-5,
        'terms the formula leaves out',
        (ask) => distanceFor(ask, 106) * 15.875,
      ),
      within(
        '108 links',
        614.45,
        'mm',
        5e-5,
        'terms the formula leaves out',
        (ask) => distanceFor(ask, 108) * 15.875,
      ),
    ],
  },
  {
    id: 'chain-equal-sprockets',
    title: 'Two sprockets alike: strands parallel, half a turn of wrap',
    source: 'Closed form: X = 2C + z, wrap 180°; chain speed v = z p n (ISO 10823)',
    status: 'recomputed',
    project: chained(20, 20, 40),
    rows: [
      within('links', 100, 'links', 1e-12, 'rounding', (ask) => ask(who).exactLinks ?? 0),
      within('wrap', 180, '°', 1e-9, 'rounding', (ask) => (ask(who).wrap ?? 0) / RAD),
      within('chain speed over that of the sprocket', 20 * PITCH, 'm a turn', 1e-12, 'rounding', (ask) => {
        const { speedAtLimiter, frontSpeedAtLimiter } = ask(who);
        return (speedAtLimiter * 2 * Math.PI) / frontSpeedAtLimiter;
      }),
    ],
  },
];
