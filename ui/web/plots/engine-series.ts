/** Engine speed, and beside it the gear as steps on the right scale: of a lap over distance, of a start over time. Pure. */
import { IRON, POND } from '../look/palette.ts';
import { inRpm } from '../words/numbers.ts';
import type { Plot } from './plot.ts';

/** `gear` counts from 0; a belt, which has none, leaves it out. */
export function engineSeries(
  x: Float64Array,
  engineSpeed: Float64Array,
  gear: ArrayLike<number> | undefined,
): Plot['series'] {
  return [
    { name: 'engine speed', x, y: engineSpeed.map(inRpm), colour: POND },
    ...(gear === undefined
      ? []
      : [
          {
            name: 'gear (right scale)',
            x,
            y: Float64Array.from(gear, (g) => g + 1),
            colour: IRON,
            dash: [5, 3],
            weight: 1.5,
            side: 'right' as const,
            stepped: true,
          },
        ]),
  ];
}
