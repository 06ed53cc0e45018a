/**
 * The few numbers a builder compares, straight from a solved lap: what studies ask for by the thousand.
 *
 * In: a lap problem and its solution. Out: the figures that `lapFigures` reads off a described lap, with the same
 * bits, at a fraction of its cost. Knows nothing of columns.
 */
import type { CompiledKart } from '../../compile/kart.ts';
import type { CompiledTrack } from '../../compile/track.ts';
import type { LapSolution } from '../lap-solver.ts';
import { LIMIT } from '../limit.ts';
import type { Figures } from '../named-figures.ts';
import type { LapProblem } from './lap-problem.ts';

export function figuresOfLap({ kart, track, envelopes }: LapProblem, solution: LapSolution): Figures {
  const loads = new Float64Array(4);
  let topSquared = 0;
  let margin = Number.POSITIVE_INFINITY;
  let atLimiter = 0;
  for (let i = 0; i < track.count; i++) {
    const squared = solution.squared[i]!;
    if (squared > topSquared) topSquared = squared;
    if (solution.limit[i] === LIMIT.revLimiter) atLimiter += solution.stepTime[i]!;
    const v = Math.sqrt(squared);
    const env = envelopes[track.surface[i]!]!;
    env.place(
      v,
      track.lateralV[i]!,
      track.lateralG[i]!,
      track.normalV[i]!,
      track.normalG[i]!,
      track.sinGrade[i]!,
    );
    env.loads(env.forceFor(solution.acceleration[i]!), loads);
    const side = v * v * track.lateralV[i]! + kart.envelope.gravity * track.lateralG[i]!;
    const here = tipMargin(kart, side, loads);
    if (here < margin) margin = here;
  }
  return {
    'lap time': solution.time,
    'top speed': Math.sqrt(topSquared),
    'average speed': solution.time > 0 ? track.length / solution.time : 0,
    'tip margin': margin,
    'time on the limiter': atLimiter,
    'limiter before braking': limiterBeforeBraking(track, solution),
    shifts: kart.drivetrain.isBelt ? null : solution.shifts,
  };
}

/** (Tip limit - side force)/tip limit for a side force per mass and the vertical loads of `Envelope.loads`. */
export function tipMargin({ mass, envelope }: CompiledKart, side: number, loads: Float64Array): number {
  const moment = (loads[0]! * envelope.trackFront + loads[1]! * envelope.trackRear) / 2;
  return moment > 0
    ? 1 - (mass * Math.abs(side) * (envelope.transferFront + envelope.transferRear)) / moment
    : 0;
}

/** Longest stretch driven on the rev limiter up to a braking point, m: what a taller gear would use. */
export function limiterBeforeBraking(track: CompiledTrack, solution: LapSolution): number {
  const n = track.count;
  let longest = 0;
  let from = -1;
  for (let step = 0; step < n; step++) {
    const i = (solution.firstStation + step) % n;
    if (solution.braking[i] === 1) {
      if (from >= 0) longest = Math.max(longest, along(track, from, i));
      from = -1;
    } else if (solution.limit[i] === LIMIT.revLimiter) {
      if (from < 0) from = i;
    } else from = -1;
  }
  return longest;
}

function along(track: CompiledTrack, from: number, to: number): number {
  const way = track.distance[to]! - track.distance[from]!;
  return way < 0 ? way + track.length : way;
}
