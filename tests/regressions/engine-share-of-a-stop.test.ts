/** The engine's share of a stop is that of its own columns; a belt, in its high ratio on a closed throttle, may stop in gear. */
import { expect, test } from 'vitest';
import { perform } from '../../sim/index.ts';
import { demoWith } from '../sim/demo-project.ts';

const project = demoWith();
const stop = (kart: string) =>
  perform(project, {
    verb: 'brake',
    kart,
    day: 'mild',
    surface: 'asphalt',
    options: { fromSpeed: 60 / 3.6, engine: 'in gear' },
  });

test('work of the engine over work of engine and brakes, flywheel and wheels left out', () => {
  const { engineShare, columns } = stop('clodlet-four-asphalt').result!;
  const work = (force: ArrayLike<number>) => {
    let sum = 0;
    for (let i = 0; i + 1 < columns.distance.length; i++)
      sum += ((force[i]! + force[i + 1]!) / 2) * (columns.distance[i + 1]! - columns.distance[i]!);
    return sum;
  };
  const engine = work(columns.engineForce);
  expect(engineShare).toBeCloseTo(engine / (engine + work(columns.frontBrake) + work(columns.rearBrake)), 9);
});

test('a belt kart is not refused a stop its lap makes', () => {
  const { status, problems } = stop('clodlet-twin-knobbly');
  expect([status, problems.filter((p) => p.severity === 'problem')]).toEqual(['done', []]);
  const belt = perform(project, {
    verb: 'topspeed',
    kart: 'clodlet-twin-knobbly',
    day: 'mild',
    surface: 'asphalt',
  }).result!.gears;
  expect(new Set(belt.map((gear) => gear.safeDownshiftSpeed)).size).toBe(1);
});

test('on the brakes of a lap the belt turns its engine as fast as the high ratio does', () => {
  const who = { kart: 'clodlet-twin-knobbly', day: 'mild' } as const;
  const { columns } = perform(project, { ...who, verb: 'lap', track: 'cinder-yard' }).result!;
  const high = perform(project, { ...who, verb: 'topspeed', surface: 'asphalt' }).result!.gears.at(-1)!;
  const radius = perform(project, { ...who, verb: 'sheet' }).result!.radiusRear;
  const braked = Array.from(columns.brake, (force, i) => (force > 0 ? i : -1)).filter((i) => i >= 0);
  expect(braked.length).toBeGreaterThan(100);
  for (const i of braked)
    expect(columns.engineSpeed[i]! / ((columns.speed[i]! * high.overall) / radius)).toBeCloseTo(1, 9);
});
