/** Plots and tables of cornering: speed over radius on two grounds, accelerations of the lap. Pure. */
import type { CornerCurveResult, KartSheet, LapResult } from '../../../sim/index.ts';
import { DASHES, INK, IRON, POND } from '../look/palette.ts';
import { speed, speedFactor } from '../words/numbers.ts';
import type { Plot, PlotTable, Series } from './plot.ts';

/** m/s2 in a g */
const G = 9.80665;

export interface NamedCurve {
  readonly name: string;
  readonly curve: CornerCurveResult;
}

export function cornerPlot(curves: readonly NamedCurve[], unit: string): Plot {
  const factor = speedFactor(unit);
  const [first] = curves;
  return {
    title: 'Highest speed round a bend',
    x: { title: 'radius, m', min: 0 },
    left: { title: `speed, ${unit}`, min: 0 },
    series: [
      ...curves.map(
        ({ name, curve }, i): Series => ({
          name,
          x: curve.radius,
          y: curve.speed.map((v) => factor * v),
          colour: i % 2 === 0 ? IRON : POND,
          dash: DASHES[Math.floor(i / 2) * 2 + (i % 2)] ?? [],
          weight: i === 0 ? 2.5 : 2,
        }),
      ),
      ...(first === undefined
        ? []
        : [
            {
              name: 'inner wheels lift',
              x: first.curve.radius,
              y: first.curve.radius.map(
                (radius, i) => factor * Math.sqrt(first.curve.tipAt[i]! * G * radius),
              ),
              colour: INK,
              dash: [2, 3],
            } satisfies Series,
          ]),
    ],
    levels: [],
    marks: [],
    strip: [],
  };
}

export function cornerTable(here: NamedCurve, there: NamedCurve | undefined, unit: string): PlotTable {
  const cell = ({ curve }: NamedCurve, i: number): string[] => {
    const limit = curve.limits[curve.limit[i]!];
    return limit === undefined
      ? ['any', 'nothing']
      : [speed(curve.speed[i]!, unit), `${limit}, ${(curve.lateral[i]! / G).toFixed(2)} g`];
  };
  const curves = there === undefined ? [here] : [here, there];
  return {
    heads: ['radius', ...curves.flatMap(({ name }) => [`${name}: up to`, 'gives way first'])],
    rows: Array.from(here.curve.radius, (radius, i) => [
      `${radius.toFixed(0)} m`,
      ...curves.flatMap((curve) => cell(curve, i)),
    ]),
  };
}

/** Wheel loads standing and at the limit. */
export function loadTable(here: NamedCurve, sheet: KartSheet): PlotTable {
  const { loads } = here.curve;
  const row = (name: string, standing: number, outer: number, inner: number): string[] => [
    name,
    `${standing.toFixed(0)} N`,
    `${outer.toFixed(0)} N`,
    `${Math.max(0, inner).toFixed(0)} N`,
  ];
  return {
    heads: ['axle', 'each wheel, standing', `outer, at the limit of ${loads.radius.toFixed(0)} m`, 'inner'],
    rows: [
      row('front', sheet.frontLoad / 2, loads.frontOuter, loads.frontInner),
      row('rear', sheet.rearLoad / 2, loads.rearOuter, loads.rearInner),
    ],
  };
}

/** Where the lap spends its grip: along over across, with the tip limit. */
export function accelerationsPlot(lap: LapResult, tipAt: number | undefined): Plot {
  const { lateral, longitudinal } = lap.columns;
  const marks =
    tipAt === undefined || tipAt > 3 ? [] : [-tipAt, tipAt].map((at) => ({ at, word: 'inner wheels lift' }));
  const widest = Math.max(...lateral.map(Math.abs), 0.1) / G;
  const edge = Math.max(widest, marks[1]?.at ?? 0) * 1.1;
  return {
    title: `Accelerations round ${lap.track}`,
    x: { title: 'across, to the left positive, g', min: -edge, max: edge },
    left: { title: 'along, braking negative, g' },
    series: [
      {
        name: 'each place on the way',
        x: lateral.map((a) => a / G),
        y: longitudinal.map((a) => a / G),
        colour: POND,
        dots: true,
      },
    ],
    levels: [],
    marks,
    strip: [],
    tall: true,
  };
}
