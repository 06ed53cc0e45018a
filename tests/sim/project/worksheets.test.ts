/** Garage arithmetic against closed forms (statics, hydraulics) and numbers worked out by hand. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { BrakeLayout } from '../../../sim/project/worksheets.ts';
import {
  brakeGain,
  cgHeightFromLift,
  massWithout,
  rollAnglePerG,
  rollingRadius,
  rollStiffness,
  rollStiffnessShare,
  weighKart,
} from '../../../sim/project/worksheets.ts';

describe('weighing', () => {
  it('balances moments: 42 % front of 380 kg on 1.75 m', () => {
    // Worked out: a = 0.58 x 1.75 = 1.015 m.
    const kart = weighKart({ frontLeft: 79.8, frontRight: 79.8, rearLeft: 110.2, rearRight: 110.2 }, 1.75, {
      front: 1.25,
      rear: 1.2,
    });
    expect(kart.mass).toBeCloseTo(380, 10);
    expect(kart.frontShare).toBeCloseTo(0.42, 10);
    expect(kart.behindFrontAxle).toBeCloseTo(1.015, 10);
    expect(kart.leftOffset).toBeCloseTo(0, 12);
    expect(kart.diagonalShare).toBeCloseTo(0.5, 12);
  });

  it('finds the place of any point mass on a rigid four-legged frame', () => {
    const share = fc.double({ min: 0.01, max: 0.99, noNaN: true });
    fc.assert(
      fc.property(share, share, fc.double({ min: 50, max: 1000, noNaN: true }), (x, y, mass) => {
        // Closed form: a mass at (x L, y t) loads the corners by the bilinear shares.
        const weights = {
          frontLeft: mass * (1 - x) * y,
          frontRight: mass * (1 - x) * (1 - y),
          rearLeft: mass * x * y,
          rearRight: mass * x * (1 - y),
        };
        const kart = weighKart(weights, 1.75, { front: 1.2, rear: 1.2 });
        // Rounding of doubles only.
        expect(Math.abs(kart.mass - mass)).toBeLessThan(1e-10);
        expect(Math.abs(kart.behindFrontAxle - x * 1.75)).toBeLessThan(1e-12);
        expect(Math.abs(kart.leftOffset - (y - 0.5) * 1.2)).toBeLessThan(1e-12);
      }),
      { seed: 41 },
    );
  });

  it('gives zeros, not NaN, for empty scales', () => {
    expect(
      Object.values(
        weighKart({ frontLeft: 0, frontRight: 0, rearLeft: 0, rearRight: 0 }, 1.75, { front: 1, rear: 1 }),
      ),
    ).toEqual([0, 0, 0, 0, 0]);
  });
});

describe('a weighed whole without its known parts', () => {
  it('is the part that was added to them (closed form, both ways)', () => {
    const length = fc.double({ min: 0, max: 3, noNaN: true });
    const part = fc.record({
      mass: fc.double({ min: 1, max: 300, noNaN: true }),
      behindFrontAxle: length,
      height: length,
    });
    fc.assert(
      fc.property(part, fc.array(part, { maxLength: 6 }), (frame, others) => {
        const all = [frame, ...others];
        const mass = all.reduce((sum, one) => sum + one.mass, 0);
        const whole = {
          mass,
          behindFrontAxle: all.reduce((sum, one) => sum + one.mass * one.behindFrontAxle, 0) / mass,
          height: all.reduce((sum, one) => sum + one.mass * one.height, 0) / mass,
        };
        const left = massWithout(whole, others);
        // Rounding of doubles: moments of up to 6300 kg m over a frame of 1 kg or more.
        expect(Math.abs((left?.mass ?? 0) - frame.mass)).toBeLessThan(1e-9);
        expect(Math.abs((left?.height ?? 9) - frame.height)).toBeLessThan(1e-9);
        expect(Math.abs((left?.behindFrontAxle ?? 9) - frame.behindFrontAxle)).toBeLessThan(1e-9);
      }),
      { seed: 43 },
    );
  });

  it('grows the error of the height by the masses (worked out: 400 kg at 30 mm over 200 kg is 60 mm)', () => {
    const whole = { mass: 400, behindFrontAxle: 1, height: 0.5, heightSpread: 0.03 };
    const rest = { mass: 200, behindFrontAxle: 1, height: 0.5 };
    expect(massWithout(whole, [rest])?.heightSpread).toBeCloseTo(0.06, 12);
    // With the part's own 45 mm: the root of 60 and 45 squared is 75 mm.
    expect(massWithout(whole, [{ ...rest, heightSpread: 0.045 }])?.heightSpread).toBeCloseTo(0.075, 12);
    expect(massWithout(whole, [{ ...rest, mass: 400 }])).toBeUndefined();
  });
});

describe('height of the centre of gravity', () => {
  const raised = (lift: number, changeSpread: number) => ({
    mass: 380,
    wheelbase: 1.75,
    frontLevel: 160,
    frontRaised: 168,
    lift,
    hubHeight: { front: 0.24, rear: 0.24 },
    changeSpread,
  });

  it('common practice, worked out: a 2 kg scale error is 64 mm at 0.25 m lift and 25 mm at 0.6 m', () => {
    expect(cgHeightFromLift(raised(0.25, 2)).spread * 1000).toBeCloseTo(64, 0);
    expect(cgHeightFromLift(raised(0.6, 2)).spread * 1000).toBeCloseTo(25, 0);
  });

  it('finds the height a tilted rigid body was given (closed form)', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.05, max: 1, noNaN: true }),
        fc.double({ min: 0.05, max: 0.9, noNaN: true }),
        fc.double({ min: 0.2, max: 0.8, noNaN: true }),
        (above, lift, rearShare) => {
          // Tilt about the front hub: the weight moves forward by (height over hubs) tan(theta).
          const [wheelbase, mass] = [1.75, 380];
          const angle = Math.asin(lift / wheelbase);
          const along = wheelbase * rearShare * Math.cos(angle) - above * Math.sin(angle);
          const rearRaised = (mass * along) / (wheelbase * Math.cos(angle));
          const { height } = cgHeightFromLift({
            mass,
            wheelbase,
            frontLevel: mass * (1 - rearShare),
            frontRaised: mass - rearRaised,
            lift,
            hubHeight: { front: 0.22, rear: 0.26 },
            changeSpread: 0,
          });
          const hubs = 0.22 + 0.04 * rearShare;
          expect(Math.abs(height - hubs - above)).toBeLessThan(1e-10);
        },
      ),
      { seed: 42 },
    );
  });

  it('propagates errors as a finite difference does', () => {
    const w = { ...raised(0.45, 1.5), liftSpread: 0.01 };
    const at = (change: Partial<typeof w>) => cgHeightFromLift({ ...w, ...change }).height;
    const step = 1e-4;
    const perChange =
      (at({ frontRaised: w.frontRaised + step }) - at({ frontRaised: w.frontRaised - step })) / (2 * step);
    const perLift = (at({ lift: w.lift + step }) - at({ lift: w.lift - step })) / (2 * step);
    // Central difference: error of order step squared.
    expect(cgHeightFromLift(w).spread).toBeCloseTo(Math.hypot(perChange * 1.5, perLift * 0.01), 7);
  });

  it('refuses a lift that is none, or longer than the kart', () => {
    expect(() => cgHeightFromLift(raised(0, 1))).toThrow(/lift/);
    expect(() => cgHeightFromLift(raised(1.75, 1))).toThrow(/lift/);
    expect(() => cgHeightFromLift({ ...raised(0.4, 1), mass: 0 })).toThrow(/mass/);
  });
});

describe('roll-out', () => {
  it('worked out: 1530 mm is a radius of 243.5 mm; two turns give the mean', () => {
    expect(rollingRadius(1.53) * 1000).toBeCloseTo(243.5, 1);
    expect(rollingRadius(3.06, 2)).toBe(rollingRadius(1.53));
  });
});

describe('brakes', () => {
  const circuit = { masterBore: 0.016, pistonBore: 0.032, pistons: 2, padFriction: 0.4, discRadius: 0.1 };
  const layout: BrakeLayout = { pedalRatio: 5, barFrontShare: 0.6, front: circuit, rear: circuit };

  it('hand calculation: 5 x 0.6 x (32/16)^2 x 2 pistons x 2 faces x 0.4 x 0.1/0.25 = 7.68 N/N', () => {
    const gain = brakeGain(layout, { front: 0.25, rear: 0.25 });
    expect(gain.front).toBeCloseTo(7.68, 10);
    expect(gain.rear).toBeCloseTo(5.12, 10);
    expect(gain.frontShare).toBeCloseTo(0.6, 12);
  });

  it('follows pressure: force from the pressure in the lines agrees', () => {
    const pedal = 300;
    const pressure = (pedal * 5 * 0.6) / ((Math.PI / 4) * 0.016 ** 2);
    const clamp = pressure * 2 * (Math.PI / 4) * 0.032 ** 2;
    const force = (2 * 0.4 * clamp * 0.1) / 0.25;
    expect(brakeGain(layout, { front: 0.25, rear: 0.25 }).front * pedal).toBeCloseTo(force, 8);
  });

  it('a larger rear wheel moves the balance forward; a missing circuit brakes nothing', () => {
    expect(brakeGain(layout, { front: 0.25, rear: 0.3 }).frontShare).toBeGreaterThan(0.6);
    const { rear: _, ...frontOnly } = layout;
    expect(brakeGain(frontOnly, { front: 0.25, rear: 0.25 })).toMatchObject({ rear: 0, frontShare: 1 });
    expect(brakeGain({ pedalRatio: 5, barFrontShare: 0.5 }, { front: 0.25, rear: 0.25 }).frontShare).toBe(0);
  });

  it('gains are linear in the bar and add to the same total on equal circuits', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1, noNaN: true }), (share) => {
        const gain = brakeGain({ ...layout, barFrontShare: share }, { front: 0.25, rear: 0.25 });
        expect(gain.front + gain.rear).toBeCloseTo(12.8, 10);
        expect(gain.frontShare).toBeCloseTo(share, 12);
      }),
      { seed: 43 },
    );
  });
});

describe('roll stiffness', () => {
  it('hand calculation: 20 N/mm, motion ratio 0.7, track 1.2 m, bar 500 N·m/rad', () => {
    // 20000 x 0.49 x 1.44/2 + 500 = 7556 N·m/rad
    expect(rollStiffness({ rate: 20_000, motionRatio: 0.7, bar: 500 }, 1.2)).toBeCloseTo(7556, 9);
  });

  it('is the moment of two springs at half the track, by virtual work', () => {
    const [rate, motionRatio, track, angle] = [20_000, 0.7, 1.2, 0.01];
    const wheelTravel = (track / 2) * angle;
    const energy = 2 * 0.5 * rate * (motionRatio * wheelTravel) ** 2;
    expect(rollStiffness({ rate, motionRatio, bar: 0 }, track)).toBeCloseTo((2 * energy) / angle ** 2, 6);
  });

  it('shares sum to one; nothing on either axle is even', () => {
    expect(rollStiffnessShare(3000, 1000) + rollStiffnessShare(1000, 3000)).toBe(1);
    expect(rollStiffnessShare(0, 0)).toBe(0.5);
  });

  it('roll per g balances the moment of the tilted body, and cannot hold a kart its springs cannot', () => {
    const [mass, arm, stiffness, gravity] = [300, 0.35, 15_000, 9.80665];
    const roll = rollAnglePerG(mass, arm, stiffness);
    // Equilibrium, small angle: K phi = m g h (1 + phi).
    expect(stiffness * roll).toBeCloseTo(mass * gravity * arm * (1 + roll), 8);
    expect(rollAnglePerG(300, 0.35, 1000)).toBe(Number.POSITIVE_INFINITY);
  });
});
