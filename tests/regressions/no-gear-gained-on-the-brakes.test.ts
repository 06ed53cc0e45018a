/** A kart held at its limiter before the brakes once came off them a gear higher, without the time of a shift. */
import { expect, test } from 'vitest';
import type { LapResult } from '../../sim/index.ts';
import { perform } from '../../sim/index.ts';
import { demoWith } from '../sim/demo-project.ts';

/** Rises of the gear from the last station before the brakes to the first behind them, in places along the lap. */
function gainedOnTheBrakes({ columns: { gear, limit, distance }, limits }: LapResult): string[] {
  const gains: string[] = [];
  let before: number | undefined;
  let braked = false;
  for (let i = 0; i < gear.length; i++) {
    const now = limits[limit[i]!]!;
    if (now === 'front brakes' || now === 'rear brakes') {
      braked = true;
      continue;
    }
    // A shift begun as the brakes are left shows the gear left until it is in.
    if (braked && before !== undefined && gear[i]! > before)
      gains.push(`${distance[i]!.toFixed(0)} m: ${before} to ${gear[i]}`);
    before = gear[i]!;
    braked = false;
  }
  return gains;
}

const karts = ['clodlet-single-asphalt', 'clodlet-single-plain', 'clodlet-four-asphalt'];
// Among these the single gained a gear at two places: 438 m on the circuit, 55 m on the hill.
const cases = karts.flatMap((kart) =>
  [38, 41, 44, 45, 52, 54].flatMap((rear) =>
    ['brindlequag-works', 'fettlebrow'].map((track) => [kart, rear, track] as const),
  ),
);

test.each(cases)('%s with %i teeth behind on %s', (kart, rear, track) => {
  const project = demoWith((input) => {
    input.karts[kart]!.sprockets!.rear = rear;
  });
  const lap = perform(project, { verb: 'lap', kart, day: 'mild', track }).result as LapResult;
  expect(gainedOnTheBrakes(lap)).toEqual([]);
});
