/** The curve of cornering speed over radius: each point is the corner run, and a rigid kart follows v^2 = mu g R. */
import { describe, expect, it } from 'vitest';
import { perform } from '../../../sim/index.ts';
import { demoWith } from '../demo-project.ts';

const who = { kart: 'clodlet-four-asphalt', day: 'mild', surface: 'asphalt' } as const;

describe('corner curve', () => {
  it('is the corner run at every radius', () => {
    const project = demoWith();
    const curve = perform(project, { ...who, verb: 'corner-curve', options: { radii: [5, 12, 40] } }).result!;
    for (const [i, radius] of [5, 12, 40].entries()) {
      const corner = perform(project, { ...who, verb: 'corner', options: { radius } }).result!;
      expect(curve.speed[i]).toBe(corner.speed);
      expect(curve.limits[curve.limit[i]!]).toBe(corner.limit);
      expect(curve.lateral[i]).toBe(corner.lateralAcceleration);
    }
  });

  it('rises with radius, from the turning radius on', () => {
    const { radius, speed } = perform(demoWith(), { ...who, verb: 'corner-curve' }).result!;
    expect(radius[0]).toBeGreaterThanOrEqual(2.5);
    for (let i = 1; i < speed.length; i++) expect(speed[i]).toBeGreaterThan(speed[i - 1]!);
  });

  it('refuses radii that are none', () => {
    expect(perform(demoWith(), { ...who, verb: 'corner-curve', options: { radii: [] } }).status).toBe(
      'problems',
    );
    expect(
      perform(demoWith(), { ...who, verb: 'corner-curve', options: { radii: [-1] } }).problems[0]?.code,
    ).toBe('radius');
  });

  it('lifts the inner wheels where the kart sheet says, with the give of springs and tyres', () => {
    const sheet = perform(demoWith(), { ...who, verb: 'sheet' }).result!;
    const corner = perform(demoWith(), { ...who, verb: 'corner', options: { radius: 6 } }).result!;
    // In the corner drive and drag at some 25 km/h move a little load back, and the tracks differ front to rear.
    expect(corner.tipAt / sheet.tipAt!).toBeCloseTo(1, 2);
    expect(sheet.tipAt!).toBeLessThan(sheet.tipFactor!);
  });
});
