/** Plots of the brakes' balance: the front share that suits over deceleration, and what the engine takes of the rear's budget. Pure. */
import type { BalanceCurveResult, BrakeResult, ThrustResult } from '../../../sim/index.ts';
import { gearCell, gearName } from '../../words/gear-words.ts';
import { DASHES, GEAR_RAMP, IRON } from '../look/palette.ts';
import { percent, speedFactor } from '../words/numbers.ts';
import { isBelt } from '../words/shift-words.ts';
import type { Plot, PlotTable, Series } from './plot.ts';

export interface GroundBudget {
  readonly ground: string;
  /** Both axles at their grip, clutch in. */
  readonly best: BrakeResult;
}

/** All the rear tyres can take at the start of a stop with both axles at their grip, N. */
export function rearBudget({ best }: GroundBudget): number {
  return best.columns.rearForce[0] ?? 0;
}

export function balancePlot(
  here: BalanceCurveResult,
  grounds: readonly { readonly ground: string; readonly curve: BalanceCurveResult }[],
): Plot {
  return {
    title: 'Front share that uses both axles alike',
    x: { title: 'deceleration, g', min: 0 },
    left: { title: 'front share of braking, %', min: 0, max: 100 },
    series: [
      {
        name: 'suits both axles',
        x: here.rate,
        y: here.idealFrontShare.map((share) => 100 * Math.min(1, Math.max(0, share))),
        colour: IRON,
        weight: 2.5,
      },
    ],
    levels: [{ at: 100 * here.frontShare, word: `set: ${percent(here.frontShare)}` }],
    marks: grounds.flatMap(({ ground, curve }) => {
      const most = (curve.friction.front + curve.friction.rear) / 2;
      return [{ at: most, word: `${ground} ends` }];
    }),
    strip: [],
  };
}

/** What the engine takes of the rear in a stop with both axles at their grip, N: its drag less what its flywheel gives back. */
function engineTakes(drag: number, engineMass: number, { best }: GroundBudget): number {
  return Math.max(0, drag - engineMass * (best.columns.deceleration[0] ?? 0));
}

/** To 5 N: an engine's drag is known to a tenth at best. */
function wholeForce(force: number): string {
  return `${Math.round(force / 5) * 5} N`;
}

/** Places of the gears an engine can drag in: a belt, throttle shut, is in its highest ratio. */
function draggingGears(top: ThrustResult): number[] {
  const all = Array.from(top.gears.keys());
  return isBelt(top) ? all.slice(-1) : all;
}

/** What the engine takes per gear over speed in a hard stop on the first ground, against all the rear tyres take there. */
export function budgetPlot(
  top: ThrustResult,
  [here]: readonly GroundBudget[],
  unit: string,
): Plot | undefined {
  if (here === undefined) return undefined;
  const factor = speedFactor(unit);
  return {
    title: `How much of the rear tyres the engine takes in a hard stop on ${here.ground}`,
    x: { title: `speed, ${unit}`, min: 0 },
    left: { title: 'braking force at the rear, N', min: 0 },
    series: draggingGears(top).map((i): Series => {
      const gear = top.gears[i]!;
      const last = Math.min(gear.safeDownshiftSpeed, top.speed.at(-1) ?? 0);
      let n = top.speed.length;
      while (n > 2 && top.speed[n - 1]! > last) n -= 1;
      let first = 0;
      while (first < n - 2 && !(top.overrun[i]![first]! > 0)) first += 1;
      return {
        name: gearName(gear.name),
        x: top.speed.subarray(first, n).map((v) => factor * v),
        y: top.overrun[i]!.subarray(first, n).map((drag) => engineTakes(drag, gear.overrunEngineMass, here)),
        colour: GEAR_RAMP[i % GEAR_RAMP.length]!,
        dash: DASHES[i % DASHES.length]!,
      };
    }),
    levels: [{ at: rearBudget(here), word: `all of the rear, ${here.ground}` }],
    marks: [],
    strip: [],
  };
}

/**
 * Share of the rear's grip the engine takes in a hard stop in each gear at a speed; the gear's own highest safe speed where
 * that is lower.
 */
export function budgetTable(
  top: ThrustResult,
  budgets: readonly GroundBudget[],
  at: number,
  unit: string,
): PlotTable {
  const factor = speedFactor(unit);
  return {
    heads: [
      isBelt(top) ? 'belt' : 'gear',
      'at',
      'engine drags with, speed held',
      ...budgets.map(({ ground }) => `of the rear in a hard stop, ${ground}`),
      'not above',
    ],
    rows: draggingGears(top).map((i) => {
      const gear = top.gears[i]!;
      const v = Math.min(at, gear.safeDownshiftSpeed);
      const force = interpolated(top.speed, top.overrun[i]!, v);
      return [
        gearCell(gear.name),
        `${(factor * v).toFixed(0)} ${unit}`,
        wholeForce(force),
        ...budgets.map((budget) => {
          const all = rearBudget(budget);
          const takes = engineTakes(force, gear.overrunEngineMass, budget);
          return all <= 0
            ? ''
            : takes >= all
              ? 'all of it'
              : takes === 0
                ? 'nothing'
                : `${wholeForce(takes)}, ${percent(takes / all)}`;
        }),
        Number.isFinite(gear.safeDownshiftSpeed)
          ? `${(factor * gear.safeDownshiftSpeed).toFixed(0)} ${unit}`
          : 'any',
      ];
    }),
  };
}

function interpolated(x: Float64Array, y: Float64Array, at: number): number {
  let i = 0;
  while (i < x.length - 2 && x[i + 1]! < at) i += 1;
  const share = Math.min(1, Math.max(0, (at - x[i]!) / (x[i + 1]! - x[i]!)));
  return y[i]! + share * (y[i + 1]! - y[i]!);
}
