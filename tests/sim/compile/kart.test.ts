import { describe, expect, test } from 'vitest';
import { engineSpeedAt, overrunDragAt, thrustAt } from '../../../sim/compile/drivetrain.ts';
import { compileKart } from '../../../sim/compile/kart.ts';
import { readPoints } from '../../../sim/project/points.ts';
import { runKartSheet } from '../../../sim/run/kart-sheet.ts';
import type { Raw } from '../demo-project.ts';
import { demoWith } from '../demo-project.ts';

const compiled = (id = 'clodlet-four-asphalt', change?: (raw: Raw) => void, day = 'mild') =>
  compileKart(demoWith(change), { kart: id, day }).kart!;

describe('drivetrain', () => {
  test('overall ratio is primary times gear times teeth', () => {
    const kart = compiled('clodlet-four-asphalt', (raw) => {
      raw.donors.four.primary = '80/40';
      raw.donors.four.gears = ['36/12', 2, 1.5, 1.3, 1.2, 1.1];
      raw.karts['clodlet-four-asphalt'].sprockets = { front: 15, rear: 45 };
    });
    expect(kart.drivetrain.gears[0]!.overall).toBeCloseTo(2 * 3 * 3, 12);
  });

  test('a curve taken at the wheel pays no drive losses again', () => {
    const wheel = compiled('clodlet-four-asphalt', (raw) => {
      raw.donors.four.torque.at = 'wheel';
    });
    const crank = compiled();
    const ratio =
      thrustAt(wheel.drivetrain, wheel.drivetrain.gears[1]!, 15) /
      thrustAt(crank.drivetrain, crank.drivetrain.gears[1]!, 15);
    const kart = demoWith();
    expect(ratio).toBeCloseTo(
      1 / (kart.donors['four']!.efficiency * kart.karts['clodlet-four-asphalt']!.chain.efficiency),
      9,
    );
  });

  test('the kart sheet gives torque and power at the crank: of two sheets that push as hard, the same', () => {
    for (const donorId of ['single', 'four', 'twin']) {
      const project = demoWith();
      const kart = project.karts['clodlet-four-asphalt']!;
      const donor = project.donors[donorId]!;
      const loss = donor.efficiency * (donor.belt?.efficiency ?? 1) * kart.chain.efficiency;
      const amounts = (at: 'crank' | 'wheel', factor: number) => {
        const changed = compiled('clodlet-four-asphalt', (raw) => {
          raw.karts['clodlet-four-asphalt'].donor = donorId;
          const { torque } = raw.donors[donorId];
          const spec = donor.torque.points;
          torque.at = at;
          const sheet = readPoints(spec, 'torque').points!;
          torque.points = {
            columns: ['rad/s', 'N·m'],
            rows: Array.from(sheet.speed, (n, i) => [n, factor * sheet.torque[i]!]),
          };
        });
        const gear = changed.drivetrain.gears[0]!;
        return {
          sheet: runKartSheet(changed).result!,
          thrust: thrustAt(changed.drivetrain, gear, 0.9 * Math.min(gear.upshiftSpeed, gear.limitSpeed)),
        };
      };
      const [crank, wheel] = [amounts('crank', 1), amounts('wheel', loss)];
      expect(wheel.thrust / crank.thrust).toBeCloseTo(1, 9);
      expect(wheel.sheet.peakPower / crank.sheet.peakPower).toBeCloseTo(1, 9);
      expect(wheel.sheet.peakTorque / crank.sheet.peakTorque).toBeCloseTo(1, 9);
    }
  });

  test('upshifts come where the next gear pulls as hard, or at the limiter', () => {
    for (const id of ['clodlet-four-asphalt', 'clodlet-single-asphalt']) {
      const { drivetrain } = compiled(id);
      for (const [k, gear] of drivetrain.gears.slice(0, -1).entries()) {
        const v = gear.upshiftSpeed;
        const here = thrustAt(drivetrain, gear, v);
        const next = thrustAt(drivetrain, drivetrain.gears[k + 1]!, v);
        if (gear.upshiftAtLimit) expect(here).toBeGreaterThanOrEqual(next);
        // Found by bisection to 1e-12 of the speed.
        else expect(here / next).toBeCloseTo(1, 8);
      }
    }
  });

  test('a set shift speed is obeyed', () => {
    const { drivetrain } = compiled('clodlet-four-asphalt', (raw) => {
      raw.karts['clodlet-four-asphalt'].shiftAt = '9000 rpm';
    });
    expect(
      (engineSpeedAt(drivetrain, drivetrain.gears[0]!, drivetrain.gears[0]!.upshiftSpeed) * 30) / Math.PI,
    ).toBeCloseTo(9000, 6);
  });

  test('a belt drive pulls without a step at its ends and holds its engine speed between', () => {
    const { drivetrain } = compiled('clodlet-twin-asphalt');
    const [low, belt, high] = drivetrain.gears;
    for (const [a, b] of [
      [low!, belt!],
      [belt!, high!],
    ] as const) {
      expect(thrustAt(drivetrain, a, a.upshiftSpeed) / thrustAt(drivetrain, b, a.upshiftSpeed)).toBeCloseTo(
        1,
        6,
      );
    }
    expect(engineSpeedAt(drivetrain, belt!, 12)).toBe(engineSpeedAt(drivetrain, belt!, 15));
    expect(overrunDragAt(drivetrain, belt!, 1)).toBe(0);
  });

  test('thin hot air takes torque, by the factor of the day', () => {
    const mild = compiled();
    const high = compiled('clodlet-four-asphalt', undefined, 'high-heat');
    expect(high.drivetrain.dayFactor).toBeLessThan(mild.drivetrain.dayFactor);
    expect(
      thrustAt(high.drivetrain, high.drivetrain.gears[0]!, 10) /
        thrustAt(mild.drivetrain, mild.drivetrain.gears[0]!, 10),
    ).toBeCloseTo(high.drivetrain.dayFactor / mild.drivetrain.dayFactor, 12);
  });

  test('no thrust beyond the limiter or the end of the sheet', () => {
    const { drivetrain } = compiled('clodlet-four-asphalt', (raw) => {
      raw.donors.four.torque.points.rows = raw.donors.four.torque.points.rows.filter(
        (r: number[]) => r[0]! < 12_000,
      );
    });
    const gear = drivetrain.gears[0]!;
    expect(gear.limitSpeed * gear.enginePerSpeed).toBeLessThan((12_000 * Math.PI) / 30);
    expect(thrustAt(drivetrain, gear, gear.limitSpeed * 1.001)).toBe(0);
  });
});

describe('kart', () => {
  test('masses and places add up', () => {
    const project = demoWith();
    const kart = compiled();
    const spec = project.karts['clodlet-four-asphalt']!;
    const tyres = 2 * project.tyres[spec.tyres.front]!.mass + 2 * project.tyres[spec.tyres.rear]!.mass;
    const ballast = spec.ballast.reduce((sum, b) => sum + b.mass, 0);
    expect(kart.mass).toBeCloseTo(
      project.chassis['clodlet']!.mass + project.donors['four']!.mass + spec.driver.mass + tyres + ballast,
      9,
    );
  });

  test('corner weights replace the parts', () => {
    const kart = compiled('clodlet-four-asphalt', (raw) => {
      raw.karts['clodlet-four-asphalt'].weighed = {
        frontLeft: 80,
        frontRight: 82,
        rearLeft: 110,
        rearRight: 108,
        cgHeight: '430 mm',
      };
    });
    expect(kart.mass).toBe(380);
    expect(kart.frontWeightShare).toBeCloseTo(162 / 380, 12);
    expect(kart.envelope.cgHeight).toBe(0.43);
  });

  test.each([
    ['a kart there is none of', 'nobody', 'mild', 'missing-reference'],
    ['a day there is none of', 'clodlet-four-asphalt', 'never', 'missing-reference'],
    ['a name that every object has', 'constructor', 'mild', 'missing-reference'],
  ])('%s is a problem', (_name, kart, day, code) => {
    expect(compileKart(demoWith(), { kart, day }).problems[0]?.code).toBe(code);
  });

  test.each([
    ['in the air of the sheet', '15 °C', '101.3 kPa', false],
    ['in thin hot air', '38 °C', '82 kPa', true],
  ])('an engine %s: what no standard covers is said', (_name, temperature, pressure, isSaid) => {
    const project = demoWith((raw: Raw) => {
      Object.assign(raw.days.mild, { temperature, pressure });
      delete raw.days.mild.altitude;
    });
    const { problems } = compileKart(project, { kart: 'clodlet-four-asphalt', day: 'mild' });
    // ISO 1585: for factors from 0.93 to 1.07.
    expect(problems.some(({ code }) => code === 'beyond-correction')).toBe(isSaid);
  });

  test('a centre of gravity outside the wheelbase is refused when the file is read', () => {
    expect(() =>
      demoWith((raw: Raw) => {
        raw.karts['clodlet-four-asphalt'].ballast = [{ mass: 900, behindFrontAxle: '4 m', height: 0.3 }];
      }),
    ).toThrow(/does not lie between the axles/);
  });
});
