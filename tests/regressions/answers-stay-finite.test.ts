/** Odd but allowed entries: an answer marked done or partial holds no infinity and no NaN, and partial has a result. */
import { expect, it } from 'vitest';
import type { Project, Request } from '../../sim/index.ts';
import { perform } from '../../sim/index.ts';
import type { Raw } from '../sim/demo-project.ts';
import { demoWith } from '../sim/demo-project.ts';

const who = { kart: 'clodlet-four-asphalt', day: 'mild' };

/** The first few places of numbers that are not finite. */
function notFinite(value: unknown, at = 'result'): string[] {
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [`${at} = ${value}`];
  if (value === null || typeof value !== 'object') return [];
  const found = Object.entries(value).flatMap(([key, inner]) => notFinite(inner, `${at}.${key}`));
  return found.slice(0, 5);
}

function answer(request: Request, change?: (raw: Raw) => void) {
  const project: Project = demoWith(change);
  return perform(project, request);
}

it('a section with a speed limit of zero is refused when the file is read', () => {
  expect(() =>
    answer({ verb: 'lap', ...who, track: 'oval' }, (raw) => {
      raw.tracks.oval.sections = [{ from: 100, to: 110, speedLimit: 0 }];
    }),
  ).toThrow(/speed limit of a stretch is out of range/);
});

it('a centre of gravity on the ground has no tip limit, said as null', () => {
  const { result } = answer({ verb: 'sheet', ...who }, (raw) => {
    const corners = { frontLeft: 80, frontRight: 80, rearLeft: 95, rearRight: 95 };
    raw.karts['clodlet-four-asphalt'].weighed = { ...corners, cgHeight: 0 };
  });
  expect(notFinite(result)).toEqual([]);
});

it('locked brakes on tyres without sideways grip give numbers, or the file is refused', () => {
  const change = (raw: Raw) => {
    for (const tyre of ['asphalt-front', 'asphalt-rear']) raw.tyres[tyre].grip.asphalt.lateralPeak = 0;
  };
  let refused = false;
  try {
    const options = { fromSpeed: 16, brakes: 'locked', engine: 'clutch in' } as const;
    const { result } = answer({ verb: 'brake', ...who, surface: 'asphalt', options }, change);
    expect(notFinite(result)).toEqual([]);
  } catch (error) {
    refused = String(error).includes('lateralPeak');
    if (!refused) throw error;
  }
});

it('a kart that stalls on the lap has the part it drove as its result', () => {
  const { status, result } = answer({ verb: 'lap', ...who, track: 'fettlebrow' }, (raw) => {
    raw.donors.four.torque.points.rows = [
      [3000, 3],
      [14000, 3],
    ];
  });
  expect(status === 'partial').toBe(result !== undefined);
});

it('a start with a foot of roll-out that ends within the foot has no negative distance', () => {
  const options = { toSpeed: 1, oneFootRollout: true };
  const { result } = answer({ verb: 'accelerate', ...who, surface: 'asphalt', options });
  expect(result === undefined || (result as { distance: number }).distance >= 0).toBe(true);
});
