/** The slope of the ground as something a log can tell: runs both ways part it from the kart, runs one way do not. */
import { describe, expect, it } from 'vitest';
import type { Ask, DriveLog, InputNote, MatchResult, Project } from '../../../sim/index.ts';
import { matchLog, perform, readProjectValue } from '../../../sim/index.ts';
import { withInputs } from '../../../sim/project/changed-inputs.ts';
import { SLOPE_OF_GROUND } from '../../../sim/study/match/from-inputs.ts';
import { demoInput } from '../../../ui/demo/demo-project.ts';
import { syntheticLog } from './synthetic-log.ts';

const { project, notes } = readProjectValue(demoInput()) as { project: Project; notes: readonly InputNote[] };
const who = { kart: 'clodlet-four-asphalt', day: 'mild', surface: 'asphalt' };
const ask: Ask = (on, requests) => Promise.resolve(requests.map((request) => perform(on, request)));
const exact = notes.map((note) => ({ ...note, spread: 0 }));
const truth = withInputs(project, [{ path: 'chassis.clodlet.aero.dragArea', value: 0.8 * 1.15 }]);
const fit = ['drag area', 'rolling resistance'] as const;

/** Rolls up a slope heading one way, then as many down it, the other way where so told; places jump between the two. */
function upAndDown(grade: number, seed: number, back: -1 | 1, heading = 0.4): DriveLog {
  const halves = [grade, back * grade].map((own, k) =>
    syntheticLog(
      truth,
      { ...who, rolls: 2, top: 22, rollTo: 6, grade: own },
      { rate: 4, noise: 0.1, seed: seed + 50 * k },
    ),
  );
  const speed = Float64Array.from(halves.flatMap((half) => [...half.speed]));
  const first = halves[0]!.speed.length;
  let place = 0;
  const along = speed.map((v, k) => {
    place += (v / 4) * (k < first ? 1 : back);
    return k < first ? place : place + 5000;
  });
  return {
    time: Float64Array.from(speed.keys(), (k) => k / 4),
    speed,
    // Rolling out alone counts: a throttle half open is no pull.
    throttle: speed.map(() => 0.5),
    x: along.map((s) => s * Math.cos(heading)),
    y: along.map((s) => s * Math.sin(heading)),
  };
}

const match = (log: DriveLog, levelWithin: number) =>
  matchLog(project, exact, log, { ...who, fit, levelWithin, speedWithin: 0 }, ask);
const of = (result: MatchResult, id: string) => result.values.find((value) => value.id === id)!;

describe('the slope of the ground', () => {
  it('is told by runs up and down it: the kart is found as on level ground, nearly as surely', async () => {
    const rows: { off: number; spread: number; rise: number; riseSpread: number }[] = [];
    for (const seed of [1, 2, 3, 4, 5, 6]) {
      const result = await match(upAndDown(0.012, seed, -1), 0.01);
      const rolling = of(result, 'rolling resistance');
      const { rise, spread } = result.slopeFound!;
      rows.push({ off: rolling.factor - 1, spread: rolling.spread, rise: rise - 0.012, riseSpread: spread });
      expect(rolling.spread).toBeLessThan(1.5 * rolling.fromLog.spread);
      expect(of(result, 'drag area').spread).toBeLessThan(1.5 * of(result, 'drag area').fromLog.spread);
      // What is left is the noise of the log.
      expect(result.gapAfter!).toBeLessThan(0.12);
    }
    // Four deviations as stated: one chance in ten thousand each.
    for (const { off, spread, rise, riseSpread } of rows) {
      expect(Math.abs(off)).toBeLessThan(4 * spread);
      expect(Math.abs(rise)).toBeLessThan(4 * riseSpread);
      expect(riseSpread).toBeLessThan(0.001);
    }
    // Nor wide for nothing: a deviation of six is known to 29 %; three of those and more below.
    const scatter = Math.sqrt(rows.reduce((sum, { off }) => sum + off * off, 0) / rows.length);
    const stated = rows.reduce((sum, { spread }) => sum + spread, 0) / rows.length;
    expect(scatter / stated).toBeGreaterThan(0.25);
    expect(scatter / stated).toBeLessThan(1.9);
  }, 60_000);

  it('one way only it is a rolling resistance still, as unsure as the slope', async () => {
    const result = await match(upAndDown(0, 3, 1), 0.004);
    const part = of(result, 'rolling resistance').fromInputs.find(({ path }) => path === SLOPE_OF_GROUND)!;
    const { coefficient } = project.tyres['asphalt-rear']!.grip['asphalt']!.rolling;
    // m g i against f m g; what the log parts of the two by itself, by the load aloft of the air, is a few in a hundred.
    expect(Math.abs(part.spread / (0.004 / coefficient) - 1)).toBeLessThan(0.05);
    expect(result.slopeFound!.spread / 0.004).toBeGreaterThan(0.95);
    expect(result.slopeFound!.spread / 0.004).toBeLessThanOrEqual(1);
  });

  it('level beyond doubt is not looked for', async () => {
    const result = await match(upAndDown(0, 3, -1), 0);
    expect(result.slopeFound).toBeNull();
    expect(result.slope).toBeNull();
  });
});
