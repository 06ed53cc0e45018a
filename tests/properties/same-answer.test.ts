/** Changes that must not matter: mirrored, turned, moved and renumbered tracks, other units, a second run. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { perform } from '../../sim/index.ts';
import { answerOf, inputOf, type Knobs, knobs, lapOf, loop, projectOf, sprintOf } from './random-karts.ts';

const RUNS = 40;
const same = (a: number, b: number, tolerance: number) => expect(Math.abs(a / b - 1)).toBeLessThan(tolerance);
const withPoints = (kart: Knobs, map: (p: { x: number; y: number }) => { x: number; y: number }): Knobs => ({
  ...kart,
  points: kart.points.map(map),
});

describe('the same lap', () => {
  it('mirrored', () => {
    fc.assert(
      fc.property(knobs, (kart) => {
        // Every operation has its mirror image: rounding is the same, but for sums of unlike sign.
        same(lapOf(withPoints(kart, ({ x, y }) => ({ x, y: -y }))).time, lapOf(kart).time, 1e-11);
      }),
      { seed: 41, numRuns: RUNS, endOnFailure: true },
    );
  });

  it('turned and moved on the map', () => {
    fc.assert(
      fc.property(knobs, fc.double({ min: 0, max: 6, noNaN: true }), (kart, angle) => {
        const [c, s] = [Math.cos(angle), Math.sin(angle)];
        const turned = withPoints(kart, ({ x, y }) => ({ x: 200 + c * x - s * y, y: -90 + s * x + c * y }));
        // Coordinates of some hundred metres carry 1e-14 of themselves; curvature, their second derivative over
        // spans of tens of metres, some hundred times that, and a Newton step that is or is not taken 1e-9.
        same(lapOf(turned).time, lapOf(kart).time, 1e-8);
      }),
      { seed: 42, numRuns: RUNS, endOnFailure: true },
    );
  });

  it('driven the other way round a track that is its own mirror image', () => {
    fc.assert(
      fc.property(knobs, loop, (kart, points) => {
        const half = points.slice(0, 4).map((p, i) => ({ x: p.x, y: i === 0 ? 0 : Math.abs(p.y) + 15 }));
        const symmetric = [
          { x: 55, y: 0 },
          ...half.slice(1),
          { x: -55, y: 0 },
          ...half
            .slice(1)
            .reverse()
            .map(({ x, y }) => ({ x, y: -y })),
        ];
        const there = { ...kart, points: symmetric };
        const back = { ...kart, points: [symmetric[0]!, ...symmetric.slice(1).reverse()] };
        if (!drivable(there)) return;
        // Chords are summed in another order: see 'turned'.
        same(lapOf(back).time, lapOf(there).time, 1e-8);
      }),
      { seed: 43, numRuns: RUNS, endOnFailure: true },
    );
  });

  it('with the start line at another point', () => {
    fc.assert(
      fc.property(knobs, fc.integer({ min: 1, max: 5 }), (kart, by) => {
        const moved = { ...kart, points: [...kart.points.slice(by), ...kart.points.slice(0, by)] };
        // Stations lie on every point of the curve and evenly between them, so they are the same; but a pass that
        // crosses the line starts its predictor afresh there, a local error of one step in a thousand.
        same(lapOf(moved, 0.25).time, lapOf(kart, 0.25).time, 2e-5);
      }),
      { seed: 44, numRuns: RUNS, endOnFailure: true },
    );
  });
});

describe('the same numbers', () => {
  it('in other units', () => {
    fc.assert(
      fc.property(knobs, (kart) => {
        const imperial = inPounds(inputOf(kart));
        const lap = answerOf(projectOf(imperial), { verb: 'lap', kart: 'kart', day: 'day', track: 'loop' });
        const usual = answerOf(projectOf(inputOf(kart)), {
          verb: 'lap',
          kart: 'kart',
          day: 'day',
          track: 'loop',
        });
        // A number divided by a factor, written down and multiplied again is off by 1e-16 of itself; that may turn
        // the last step of a search for the edge of the grip, which stops within 1e-4 N of thousands.
        same(lap.time, usual.time, 1e-7);
      }),
      { seed: 45, numRuns: RUNS, endOnFailure: true },
    );
  });

  it('twice, to the last bit', () => {
    fc.assert(
      fc.property(knobs, (kart) => {
        const project = projectOf(inputOf(kart));
        const other = projectOf(JSON.parse(JSON.stringify(inputOf(kart))));
        const requests = [
          { verb: 'lap', kart: 'kart', day: 'day', track: 'loop', spacing: 1 },
          { verb: 'accelerate', kart: 'kart', day: 'day', surface: 'pad' },
          { verb: 'brake', kart: 'kart', day: 'day', surface: 'pad', options: { fromSpeed: 15 } },
          { verb: 'corner', kart: 'kart', day: 'day', surface: 'pad', options: { radius: 12 } },
        ] as const;
        const first = requests.map((r) => perform(project, r));
        sprintOf(kart, 30); // something else in between
        expect(requests.map((r) => perform(other, r))).toStrictEqual(first);
      }),
      { seed: 46, numRuns: 12, endOnFailure: true },
    );
  });
});

function drivable(kart: Knobs): boolean {
  const outcome = perform(projectOf(inputOf(kart)), { verb: 'lap', kart: 'kart', day: 'day', track: 'loop' });
  return outcome.result !== undefined;
}

/** The same project with masses, lengths, areas, torque and engine speeds as text in other units. */
function inPounds(input: ReturnType<typeof inputOf>): unknown {
  const copy = JSON.parse(JSON.stringify(input)) as Record<string, Record<string, Record<string, unknown>>>;
  const put = (path: string, unit: string, factor: number) => {
    const keys = path.split('.');
    let place = copy as Record<string, unknown>;
    for (const key of keys.slice(0, -1)) place = place[key] as Record<string, unknown>;
    const leaf = keys.at(-1)!;
    place[leaf] = `${(place[leaf] as number) / factor} ${unit}`;
  };
  const POUND = 0.45359237;
  const INCH = 0.0254;
  const FOOT = 0.3048;
  const POUND_FORCE = POUND * 9.80665;
  for (const wheel of ['frontLeft', 'frontRight', 'rearLeft', 'rearRight'])
    put(`karts.kart.weighed.${wheel}`, 'lb', POUND);
  put('karts.kart.weighed.cgHeight', 'in', INCH);
  put('chassis.frame.wheelbase', 'in', INCH);
  put('chassis.frame.track.front', 'ft', FOOT);
  put('chassis.frame.track.rear', 'cm', 0.01);
  put('chassis.frame.aero.dragArea', 'ft²', FOOT * FOOT);
  put('chassis.frame.roll.frontShare', '%', 0.01);
  for (const end of ['front', 'rear']) {
    put(`tyres.${end}.rollOut`, 'in', INCH);
    put(`tyres.${end}.inertia`, 'slug·ft²', POUND_FORCE * FOOT);
    put(`tyres.${end}.grip.pad.referenceLoad`, 'lbf', POUND_FORCE);
    put(`tyres.${end}.grip.pad.rolling.coefficient`, '%', 0.01);
  }
  put('donors.engine.revLimit', 'rpm', Math.PI / 30);
  put('donors.engine.displacement', 'in³', INCH ** 3);
  put('brakes.brakes.frontShare', '%', 0.01);
  put('days.day.density', 'slug/ft³', POUND_FORCE / FOOT ** 4);
  const points = copy['donors']!['engine']!['torque'] as { points: { columns: string[]; rows: number[][] } };
  points.points.columns = ['rad/s', 'lbf·ft'];
  points.points.rows = points.points.rows.map(([n, t]) => [(n! * Math.PI) / 30, t! / (POUND_FORCE * FOOT)]);
  const track = copy['tracks']!['loop'] as { points: { x: unknown; y: unknown }[] };
  track.points = track.points.map(({ x, y }) => ({
    x: `${(x as number) / FOOT} ft`,
    y: `${(y as number) / (3 * FOOT)} yd`,
  }));
  return copy;
}
