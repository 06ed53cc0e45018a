/** Plots and tables of thrust over speed: which gear pulls how hard, when to shift, speeds in the gears. Pure. */
import type { GearSummary, KartSheet, ThrustResult } from '../../../sim/index.ts';
import { gearCell, gearName, overallRatio } from '../../words/gear-words.ts';
import { DASHES, GEAR_RAMP, INK, IRON, PLUM, POND } from '../look/palette.ts';
import { engineSpeed, inRpm, percent, speed, speedFactor } from '../words/numbers.ts';
import { BELT_MARKS, isBelt } from '../words/shift-words.ts';
import type { Plot, PlotTable, Series } from './plot.ts';

export function thrustPlot(top: ThrustResult, unit: string): Plot {
  const factor = speedFactor(unit);
  const x = top.speed.map((v) => factor * v);
  const most = Math.max(...top.thrust.flatMap((row) => [...row]));
  return {
    title: isBelt(top) ? 'Thrust over speed' : 'Thrust in each gear over speed',
    x: { title: `speed, ${unit}`, min: 0 },
    left: { title: 'force at the wheels, N', min: 0 },
    series: [
      ...top.gears.map((gear, i): Series => {
        const from = isBelt(top) ? upTo(top.speed, top.gears[i - 1]?.upshiftSpeed ?? 0) : 0;
        const within = upTo(
          top.speed,
          isBelt(top) ? (gear.upshiftSpeed ?? gear.limitSpeed) : gear.limitSpeed,
        );
        return {
          name: gearName(gear.name),
          x: x.subarray(from, within),
          y: top.thrust[i]!.subarray(from, within),
          colour: GEAR_RAMP[i % GEAR_RAMP.length]!,
          dash: DASHES[i % DASHES.length]!,
        };
      }),
      { name: 'resistance', x, y: top.resistance, colour: INK, weight: 2.5 },
      {
        name: 'most the tyres carry',
        x,
        // Far above anything the engine can do it says nothing and would flatten the rest.
        y: top.gripCap.map((cap) => Math.min(cap, 1.6 * most)),
        colour: PLUM,
        dash: [2, 3],
        weight: 2.5,
      },
    ],
    levels: [],
    marks: top.gears.flatMap((gear) =>
      gear.upshiftSpeed === null
        ? []
        : [
            {
              at: factor * gear.upshiftSpeed,
              word: isBelt(top) ? BELT_MARKS.get(gear.name)! : `out of ${gear.name}`,
            },
          ],
    ),
    strip: [],
  };
}

export function engineCurvePlot(sheet: KartSheet): Plot {
  const { engineSpeed: n, torque, power } = sheet.engine;
  const x = n.map(inRpm);
  return {
    title: 'Torque and power at the crank on the day',
    x: { title: 'engine speed, rpm' },
    left: { title: 'torque, N·m', min: 0 },
    right: { title: 'power, kW', min: 0 },
    series: [
      { name: 'torque', x, y: torque, colour: POND },
      {
        name: 'power (right scale)',
        x,
        y: power.map((p) => p / 1000),
        colour: IRON,
        dash: [6, 3],
        side: 'right',
      },
    ],
    levels: [],
    marks: [],
    strip: [],
  };
}

export function shiftTable(top: ThrustResult, unit: string): PlotTable {
  return {
    heads: [
      ...(isBelt(top)
        ? ['belt', 'overall ratio', 'up to', 'engine there']
        : ['gear', 'overall ratio', 'shift up at', 'engine there', 'falls to']),
      'on the limiter at',
      'steepest grade held',
    ],
    rows: top.gears.map((gear, k) => [
      gearCell(gear.name),
      overallRatio(top.gears, k),
      gear.upshiftSpeed === null ? '' : speed(gear.upshiftSpeed, unit),
      gear.upshiftEngineSpeed === null ? '' : engineSpeed(gear.upshiftEngineSpeed),
      // The belt gives over at the engine speed it holds: nothing falls.
      ...(isBelt(top) ? [] : [gear.engineSpeedAfter === null ? '' : engineSpeed(gear.engineSpeedAfter)]),
      onLimiterAt(top, k, unit),
      gear.steepestGrade > 0 ? percent(gear.steepestGrade) : 'none',
    ]),
  };
}

/** A belt reaches the limiter in its highest ratio alone: in the others it has gone on before. */
function onLimiterAt(top: ThrustResult, k: number, unit: string): string {
  const { limitSpeed } = top.gears[k]!;
  const passesOn = isBelt(top) && k + 1 < top.gears.length;
  return passesOn || !Number.isFinite(limitSpeed) ? 'never' : speed(limitSpeed, unit);
}

/** Gears in which road speed follows engine speed: a belt that changes its ratio is none. */
export function gearsOfSpeeds(top: ThrustResult): GearSummary[] {
  return top.gears.filter(({ name, limitSpeed }) => Number.isFinite(limitSpeed) && name !== 'belt');
}

/** Road speed in every gear at round engine speeds: what a printed table on the dashboard says. */
export function speedsInGearsTable(top: ThrustResult, revLimit: number, unit: string): PlotTable {
  const gears = gearsOfSpeeds(top);
  const most = inRpm(revLimit);
  const step = most > 9000 ? 2000 : 1000;
  const rows: number[] = [];
  for (let rpm = step; rpm < most - step / 4; rpm += step) rows.push(rpm);
  return {
    heads: ['engine, rpm', ...gears.map((gear) => `${gearName(gear.name)}, ${unit}`)],
    rows: [...rows, most].map((rpm) => [
      rpm === most ? `${most.toFixed(0)} (limiter)` : rpm.toFixed(0),
      ...gears.map((gear) => (speedFactor(unit) * gear.limitSpeed * (rpm / most)).toFixed(0)),
    ]),
  };
}

/** How fast one may still be going to change down into each gear; nobody changes a belt down. */
export function downshiftTable(top: ThrustResult, unit: string): PlotTable {
  return {
    heads: ['into gear', 'not above'],
    rows: (isBelt(top) ? [] : top.gears)
      .slice(0, -1)
      .filter((gear) => Number.isFinite(gear.safeDownshiftSpeed))
      .map((gear) => [gear.name, speed(gear.safeDownshiftSpeed, unit)]),
  };
}

/** Number of leading places not above a speed. */
function upTo(speeds: Float64Array, limit: number): number {
  let n = speeds.length;
  while (n > 2 && speeds[n - 1]! > limit) n -= 1;
  return n;
}
