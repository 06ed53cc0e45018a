/**
 * A kart far too heavy for its engine lives by the speed of its slowest bend. Carried over from far to near nodes its line
 * lost a tenth, the steps of the near search did not win it back, and the smoothest line was handed out as the fastest.
 */
import { expect, it } from 'vitest';
import { answerOf, inputOf, type Knobs, projectOf } from '../properties/random-karts.ts';

const HEAVY: Knobs = {
  mass: 417.0474070861512,
  frontShare: 0.4303374534507855,
  cgHeight: 0.2673684865054768,
  torque: 15.000000000000004,
  peak: 1.0999999999999974,
  sensitivity: 0,
  referenceLoad: 827.0311742692687,
  dragArea: 0.49592995411479995,
  rolling: 0.06,
  rollShare: 0.5336831596921264,
  brakeShare: 0.5746398235238698,
  gears: [2.4, 1.6],
  engineInertia: 0.007023915805843119,
  wheelInertia: 0.05,
  shiftTime: 0,
  grip: 1,
  gravity: 9.80665,
  size: 1,
  revs: 1,
  points: [
    [-26.706736715027553, 26.706736715027557],
    [-32.378876650421695, 0],
    [-34.118765043682274, -34.11876504368227],
    [0, -32.715645030896084],
    [21.21320343559643, -21.21320343559644],
    [30.990434239585397, 0],
    [35.35533905932737, 35.35533905932736],
    [0, 32.67741129403333],
  ].map(([x, y]) => ({ x: x!, y: y! })),
};

it.each([0, 1, 2])('the fastest line of a heavy kart is not its smoothest, begun at point %d', (first) => {
  const points = [...HEAVY.points.slice(first), ...HEAVY.points.slice(0, first)];
  const input = inputOf({ ...HEAVY, points }) as unknown as { tracks: { loop: object } };
  const loop = { ...input.tracks.loop, width: 7 };
  const request = { verb: 'line', kart: 'kart', day: 'day', track: 'loop', options: {} } as const;
  const [, smoothest, fastest] = answerOf(projectOf({ ...input, tracks: { loop } }), request).lines;
  // Of the best of eight such searches 5.7 %; of the worst since 3.4 %.
  expect(fastest!.time).toBeLessThan(0.97 * smoothest!.time);
});
