/** What is said to use both axles fully must be near the best setting there is, the engine left in gear included. */
import { describe, expect, test } from 'vitest';
import { bestFrontShare, perform } from '../../sim/index.ts';
import { demoWith } from '../sim/demo-project.ts';

const SHARES = Array.from({ length: 31 }, (_, i) => 0.3 + 0.02 * i);

describe.each([
  ['clodlet-four-asphalt', 'asphalt'],
  ['clodlet-four-knobbly', 'asphalt'],
  ['clodlet-four-knobbly', 'loose-clay'],
  ['clodlet-single-knobbly', 'loose-clay'],
])('%s on %s', (kart, surface) => {
  test.each(['clutch in', 'in gear'] as const)('%s', (engine) => {
    const stop = (brakes: 'ideal' | 'threshold', share: number) => {
      const project = demoWith((raw) => {
        const { brakes: id } = raw.karts[kart];
        const { hydraulics, ...rest } = raw.brakes[id];
        raw.brakes[id] = { ...rest, frontShare: share };
      });
      const options = { fromSpeed: 60 / 3.6, brakes, engine };
      return perform(project, { verb: 'brake', kart, day: 'mild', surface, options }).result!;
    };
    const suits = bestFrontShare(stop('ideal', 0.6))!;
    const least = Math.min(...SHARES.map((share) => stop('threshold', share).distance));
    // With the clutch in one share suits all the way down; in gear the engine's part falls with the speed.
    expect(stop('threshold', suits).distance / least).toBeLessThan(engine === 'clutch in' ? 1.01 : 1.03);
  });
});
