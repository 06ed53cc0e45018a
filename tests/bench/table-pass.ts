/**
 * The yardstick of the lap bench: the plainest forward and backward pass there is.
 *
 * Thrust from a table over speed, one friction value, a circle of friction, no load transfer, no gears,
 * no balance. It answers nothing a builder asks; it only says what reading the stations costs here.
 */
import type { CompiledTrack } from '../../sim/index.ts';

export interface PlainKart {
  readonly mass: number;
  readonly friction: number;
  readonly gravity: number;
  readonly drag: number;
  /** Thrust at evenly spaced speeds up to `fastest`, N */
  readonly thrust: Float64Array;
  readonly fastest: number;
}

export function tablePass(kart: PlainKart, track: CompiledTrack, y: Float64Array): number {
  const { mass, friction, gravity, drag, thrust, fastest } = kart;
  const { distance, curvature, count } = track;
  const grip = friction * gravity;
  const top = fastest * fastest;
  const perSpeed = (thrust.length - 1) / fastest;
  const k = drag / mass;
  for (let i = 0; i < count; i++) {
    const c = Math.abs(curvature[i]!);
    y[i] = c * top > grip ? grip / c : top;
  }
  for (let i = count - 2; i >= 0; i--) {
    const next = y[i + 1]!;
    const side = next * curvature[i + 1]!;
    const left = grip * grip - side * side;
    const a = (left > 0 ? Math.sqrt(left) : 0) + k * next;
    const reached = next + 2 * (distance[i + 1]! - distance[i]!) * a;
    if (reached < y[i]!) y[i] = reached;
  }
  let time = 0;
  for (let i = 0; i + 1 < count; i++) {
    const here = y[i]!;
    const v = Math.sqrt(here);
    const at = v * perSpeed;
    const j = Math.min(at | 0, thrust.length - 2);
    const pull = (thrust[j]! + (at - j) * (thrust[j + 1]! - thrust[j]!)) / mass;
    const side = here * curvature[i]!;
    const left = grip * grip - side * side;
    const most = left > 0 ? Math.sqrt(left) : 0;
    const h = distance[i + 1]! - distance[i]!;
    const reached = here + 2 * h * (Math.min(pull, most) - k * here);
    if (reached < y[i + 1]!) y[i + 1] = reached;
    if (h > 0) time += (2 * h) / (v + Math.sqrt(y[i + 1]!));
  }
  return time;
}
