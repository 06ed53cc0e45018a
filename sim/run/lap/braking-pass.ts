/**
 * The fastest speed from which the kart still slows in time for everything that follows, against the way it goes.
 *
 * In: a lap problem and how the engine is used on the brakes. Out: v^2 and deceleration by station. Each step predicts
 * with the deceleration known, evaluates once at the far station and corrects with the trapezoid; it is split where a
 * gear or the clutch changes the deceleration by a jump. On the brakes the gear is that of the speed.
 */

import { brakeHard, tooHard } from '../../physics/grip/brake.ts';
import { CONSTRAINT } from '../../physics/grip/grip-inputs.ts';
import type { Instant } from '../../physics/grip/instant.ts';
import { GROUND_STRIDE, placeOn } from '../../physics/grip/place.ts';
import { LIMIT } from '../limit.ts';
import { type GearTable, overrunIn } from './gear-table.ts';
import type { LapProblem } from './lap-problem.ts';
import { limitOf } from './limit-pass.ts';

/**
 * always: in gear with the throttle shut while braking; never: clutch in; as it pays: in gear, but the
 * clutch is dipped where the engine would take the rear tyres' grip and lengthen the braking.
 */
export type EngineBraking = 'always' | 'never' | 'as it pays';

export interface BrakingCurve {
  /** v^2, m2/s2 */
  readonly squared: Float64Array;
  /** m/s2, where it was evaluated */
  readonly deceleration: Float64Array;
  readonly limit: Uint8Array;
  /** Where the kart brakes there, it does so with the clutch in */
  readonly clutchDipped: Uint8Array;
  /** Station before which the brakes cannot slow the kart; -1 where they can */
  readonly runawayAt: number;
}

/** What one evaluation leaves for the next: its limit, and where and on which axle to search, with the engine and without. */
class Brakes {
  guess = Number.NaN;
  step = Number.NaN;
  dipGuess = Number.NaN;
  dipStep = Number.NaN;
  likely: number = CONSTRAINT.none;
  dipLikely: number = CONSTRAINT.none;
  limit: number = LIMIT.frontBrakes;
  dipped = false;
  readonly gears: GearTable;
  readonly mayDip: boolean;

  constructor(gears: GearTable, mayDip: boolean, guess: number) {
    this.gears = gears;
    this.mayDip = mayDip;
    this.guess = guess;
    this.dipGuess = guess;
    this.step = 0;
    this.dipStep = 0;
  }
}

export function brakingPass(problem: LapProblem, engineBraking: EngineBraking): BrakingCurve {
  const { track, instants, gears } = problem;
  const { most, slowest } = problem.limits;
  const { count: n, ground, step, surface, closed } = track;
  const { mass, gravity } = problem.kart.envelope;
  const clutchIn = engineBraking === 'never';
  const back = new Float64Array(n);
  const backDecel = new Float64Array(n);
  const backLimit = new Uint8Array(n);
  const clutchDipped = new Uint8Array(n);
  const between = new Float64Array(GROUND_STRIDE);
  const brakes = new Brakes(gears, engineBraking === 'as it pays', -0.5 * mass * gravity);

  let i = closed ? slowest : n - 1;
  back[i] = most[i]!;
  let known = false;
  let decel = 0;
  // Deceleration one step nearer the corner, and that step, for the predictor.
  let decelBefore = 0;
  let stepBefore = 0;
  let runawayAt = -1;
  for (let count = 1; count < n; count++) {
    const j = i > 0 ? i - 1 : n - 1;
    const h = step[j]!;
    const y1 = back[i]!;
    const mostThere = most[j]!;
    if (h === 0 || (y1 === most[i]! && mostThere <= y1)) {
      // No way, or no braking can be wanted: the station behind is no faster.
      back[j] = Math.min(mostThere, y1);
      known = false;
      stepBefore = 0;
      i = j;
      continue;
    }
    // Both stations of a step lie on the same surface.
    const g = instants[surface[j]!]!;
    const k = clutchIn ? -1 : brakeGear(gears, y1, 0);
    if (!known) {
      g.s.squared = y1;
      decelerate(brakes, g, ground, GROUND_STRIDE * i, k);
      decel = -g.s.acceleration;
      backLimit[i] = brakes.limit;
      clutchDipped[i] = brakes.dipped || k < 0 ? 1 : 0;
      backDecel[i] = decel;
    }
    let y0 = y1;
    let part = 1;
    let left = h;
    let current = k;
    let d1 = decel;
    let d0 = decel;
    let atLimit = false;
    for (let pieces = 0; pieces < 8; pieces++) {
      const bend = stepBefore > 0 && pieces === 0 ? ((d1 - decelBefore) * left) / (2 * stepBefore) : 0;
      const predicted = Math.min(y0 + 2 * left * (d1 + bend), mostThere);
      atLimit = predicted === mostThere;
      g.s.squared = Math.max(predicted, 0);
      decelerate(brakes, g, ground, GROUND_STRIDE * j, current);
      d0 = -g.s.acceleration;
      const reached = y0 + left * (d1 + d0);
      const other = clutchIn ? -1 : brakeGear(gears, Math.min(reached, mostThere), current);
      if (other <= current || reached <= y0) {
        y0 = reached;
        break;
      }
      // A gear change lies inside the step: stop at it and go on in the other gear.
      const edge = current < 0 ? gears.overFromSquared[0]! : gears.upSquared[current]!;
      const share = Math.min(1, Math.max(0, (edge - y0) / (reached - y0)));
      left *= 1 - share;
      part -= part * share;
      y0 = Math.max(edge, y0);
      current = current < 0 ? 0 : current + 1;
      mixGround(between, ground, j, i, Math.min(1, part));
      g.s.squared = y0;
      decelerate(brakes, g, between, 0, current);
      d1 = -g.s.acceleration;
    }
    if (!(y0 > 0)) {
      runawayAt = j;
      break;
    }
    if (y0 >= mostThere) {
      back[j] = mostThere;
      // Evaluated just there, in the gear of that speed: the next step begins with it.
      known = atLimit && (clutchIn ? -1 : brakeGear(gears, mostThere, 0)) === current;
      stepBefore = 0;
    } else {
      back[j] = y0;
      // Reused where the predictor was of second order, evaluated again after a start or a gear change.
      known = stepBefore > 0 && part === 1;
      decelBefore = d1;
      stepBefore = part === 1 ? h : 0;
    }
    if (known || y0 < mostThere) {
      decel = d0;
      backDecel[j] = d0;
      backLimit[j] = brakes.limit;
      clutchDipped[j] = brakes.dipped || current < 0 ? 1 : 0;
    }
    i = j;
  }
  return { squared: back, deceleration: backDecel, limit: backLimit, clutchDipped, runawayAt };
}

/** Ground at a part of the way from station i to station j of one step, into the first numbers of `out`. */
export function mixGround(out: Float64Array, ground: Float64Array, i: number, j: number, part: number): void {
  const a = GROUND_STRIDE * i;
  const b = GROUND_STRIDE * j;
  for (let c = 0; c < GROUND_STRIDE; c++) {
    const here = ground[a + c]!;
    out[c] = part === 1 ? ground[b + c]! : here + part * (ground[b + c]! - here);
  }
}

/** Gear while braking, from the one known for a lower speed: -1 with the clutch in, below idle speed. */
function brakeGear(t: GearTable, y: number, from: number): number {
  if (y < t.overFromSquared[0]!) return -1;
  let k = Math.max(from, 0);
  while (k < t.top && y >= t.upSquared[k]!) k++;
  return y < t.overFromSquared[k]! ? -1 : k;
}

/**
 * Brakes as hard as the grip allows at v^2 = s.squared in gear k; the acceleration is left in s.acceleration.
 *
 * Dipping the clutch can pay where the engine takes the rear tyres' grip, and where its spin pushes harder than its
 * drag brakes. Of the two ways the one that was better before is searched, and the other only where a look at the force
 * found does not tell that it is worse.
 */
function decelerate(b: Brakes, g: Instant, ground: Float64Array, offset: number, k: number): void {
  const { s } = g;
  const v = Math.sqrt(s.squared);
  s.speed = v;
  placeOn(g, ground, offset);
  const engine = overrunIn(b.gears, k, v);
  const spin = engine > 0 ? b.gears.engineMass[k]! : 0;
  const choice = b.mayDip && engine > 0;
  if (choice && b.dipped) {
    searchFree(b, g);
    s.engine = engine;
    s.engineMass = spin;
    if (tooHard(g, s.x)) return;
  }
  b.dipped = false;
  s.engine = engine;
  s.engineMass = spin;
  s.guess = b.guess + b.step;
  s.likely = b.likely;
  brakeHard(g);
  const x = s.x;
  const which = s.which;
  const acceleration = s.acceleration;
  b.step = x - b.guess;
  b.guess = x;
  b.likely = which;
  b.limit = brakeLimitOf(which);
  if (!choice || !(which === CONSTRAINT.rear || spin * -acceleration > engine)) return;
  s.engine = 0;
  s.engineMass = 0;
  if (tooHard(g, x)) return;
  searchFree(b, g);
  if (s.x < x) return;
  b.dipped = false;
  b.limit = brakeLimitOf(which);
  s.acceleration = acceleration;
}

/** Brakes as hard as the grip allows with the clutch in. */
function searchFree(b: Brakes, g: Instant): void {
  const { s } = g;
  s.engine = 0;
  s.engineMass = 0;
  s.guess = b.dipGuess + b.dipStep;
  s.likely = b.dipLikely;
  brakeHard(g);
  b.dipStep = s.x - b.dipGuess;
  b.dipGuess = s.x;
  b.dipLikely = s.which;
  b.limit = brakeLimitOf(s.which);
  b.dipped = true;
}

function brakeLimitOf(constraint: number): number {
  if (constraint === CONSTRAINT.front) return LIMIT.frontBrakes;
  if (constraint === CONSTRAINT.rear) return LIMIT.rearBrakes;
  return limitOf(constraint);
}
