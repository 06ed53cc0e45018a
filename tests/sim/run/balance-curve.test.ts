/** The rates at which each axle locks: in the order in which a stop has them, whatever load does to the tyres. */
import { describe, expect, it } from 'vitest';
import type { BalanceCurveResult, BrakeResult } from '../../../sim/index.ts';
import { perform } from '../../../sim/index.ts';
import { demoWith } from '../demo-project.ts';

/** Rates closer than this leave the order to what the picture has not: rolling resistance takes its part of each axle. */
const CLEAR = 0.03;

describe.each(['clodlet-four-asphalt', 'clodlet-single-asphalt', 'clodlet-four-knobbly'])('%s', (kart) => {
  it.each(['asphalt', 'loose-clay'])(
    'on %s the axle that would lock at the lower rate locks first',
    (surface) => {
      const project = demoWith();
      let compared = 0;
      for (let share = 0.3; share < 0.96; share += 0.02) {
        const changes = [{ path: 'brakes.bar.frontShare', value: share }];
        const who = { kart, day: 'mild', surface, changes };
        const curve = perform(project, { ...who, verb: 'balance-curve' }).result as BalanceCurveResult;
        // From a walk: nothing but the brakes slows it.
        const stop = perform(project, { ...who, verb: 'brake', options: { fromSpeed: 5 } })
          .result as BrakeResult;
        const [front, rear] = [curve.frontLocksAt ?? 99, curve.rearLocksAt ?? 99];
        if (Math.abs(front - rear) < CLEAR) continue;
        compared += 1;
        expect([share.toFixed(2), stop.firstToLock]).toEqual([
          share.toFixed(2),
          front < rear ? 'front' : 'rear',
        ]);
      }
      // All but the shares next to the best.
      expect(compared).toBeGreaterThan(22);
    },
  );
});
