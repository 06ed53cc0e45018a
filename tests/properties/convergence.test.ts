/** How the lap converges with the spacing of the stations: second order, and exact where acceleration is constant. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { answerOf, inputOf, type Knobs, knobs, lapOf, projectOf } from './random-karts.ts';

describe('convergence of the lap', () => {
  it('is of second order on smooth tracks', () => {
    // One lap's error swings with where its braking points fall between stations: the mean square over many does not.
    const karts = fc.sample(knobs, { numRuns: 24, seed: 61 }).map((k): Knobs => ({ ...k, gears: [1.7] }));
    const spacings = [2, 1, 0.5, 0.25];
    const sums = spacings.map(() => 0);
    for (const kart of karts) {
      const exact = lapOf(kart, 0.03).time;
      for (const [i, spacing] of spacings.entries()) sums[i]! += (lapOf(kart, spacing).time / exact - 1) ** 2;
    }
    const error = sums.map((sum) => Math.sqrt(sum / karts.length));
    const order = Math.log2(error[0]! / error.at(-1)!) / Math.log2(spacings[0]! / spacings.at(-1)!);
    // Second order, less what twenty-four laps leave to chance.
    expect(order).toBeGreaterThan(1.8);
  });

  it('is reached at any spacing where acceleration is constant', () => {
    fc.assert(
      fc.property(knobs, fc.double({ min: 0.3, max: 3, noNaN: true }), (drawn, spacing) => {
        const kart: Knobs = {
          ...drawn,
          dragArea: 0,
          rolling: 0,
          sensitivity: 0,
          engineInertia: 0,
          wheelInertia: 0,
          torque: 900,
          gears: [0.7],
        };
        const input = inputOf(kart);
        const bend = { turn: 'left', angle: Math.PI, radius: 12 } as const;
        input.tracks = {
          loop: {
            name: 'Oval',
            closed: true,
            surface: 'pad',
            stretches: [{ straight: 50 }, bend, { straight: 50 }, bend],
          },
        };
        const oval = projectOf(input);
        const timeAt = (at: number) =>
          answerOf(oval, {
            verb: 'lap',
            kart: 'kart',
            day: 'day',
            track: 'loop',
            spacing: at,
            options: { engineBraking: 'never' },
          }).time;
        const time = timeAt(spacing);
        // v^2 is straight over each stretch and the passes join by straight lines: only rounding and the solution of
        // the force balance, some 1e-6 N of thousands, remain.
        expect(Math.abs(time / timeAt(0.1) - 1)).toBeLessThan(1e-8);
      }),
      { seed: 62, numRuns: 40, endOnFailure: true },
    );
  });
});
