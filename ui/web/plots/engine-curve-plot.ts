/** Plot of an engine's points: torque and power over engine speed, as the solver joins them. Pure. */
import type { PointsRead } from '../../../sim/index.ts';
import { evaluateCubic, inUnit, monotoneCubic } from '../../../sim/index.ts';
import { IRON, POND } from '../look/palette.ts';
import { inRpm } from '../words/numbers.ts';
import type { Plot } from './plot.ts';

export interface CurveUnits {
  readonly torque: string;
  readonly power: string;
}

/** Places the curve is drawn at: a pixel or two of a wide screen apart. */
const DRAWN = 240;

export function engineCurvePlot(
  points: NonNullable<PointsRead['points']>,
  units: CurveUnits,
  kind: 'full throttle' | 'closed throttle',
): Plot {
  const curve = monotoneCubic(points.speed, points.torque);
  const [low, high] = [points.speed[0]!, points.speed.at(-1)!];
  const speeds = Float64Array.from({ length: DRAWN + 1 }, (_, i) => low + ((high - low) * i) / DRAWN);
  const rpm = speeds.map(inRpm);
  const torque = speeds.map((n) => evaluateCubic(curve, n));
  const inTorque = (value: number): number => inUnit(value, 'torque', units.torque);
  const isDrag = kind === 'closed throttle';
  return {
    title: isDrag ? 'Closed-throttle drag' : 'Torque and power',
    x: { title: 'engine speed, rpm' },
    left: { title: `torque, ${units.torque}`, min: 0 },
    ...(isDrag ? {} : { right: { title: `power, ${units.power}`, min: 0 } }),
    series: [
      { name: isDrag ? 'drag torque' : 'torque', x: rpm, y: torque.map(inTorque), colour: IRON, weight: 2.5 },
      ...(isDrag
        ? []
        : [
            {
              name: 'power (right scale)',
              x: rpm,
              y: speeds.map((n, i) => inUnit(n * torque[i]!, 'power', units.power)),
              colour: POND,
              dash: [7, 3],
              side: 'right' as const,
            },
          ]),
      {
        name: 'points',
        x: points.speed.map(inRpm),
        y: points.torque.map(inTorque),
        colour: IRON,
        dots: true,
        dotSize: 4,
      },
    ],
    levels: [],
    marks: [],
    strip: [],
    tall: true,
  };
}
