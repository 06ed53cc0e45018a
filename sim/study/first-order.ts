/**
 * Which inputs an answer rests on: each moved by its own spread, one at a time, and what all of them together leave open.
 *
 * In: the reader's notes on the inputs in use, and the figure at the base and at value - spread and value + spread.
 * Out: inputs by the size of their effect, and the combined standard uncertainty
 *   u(y)^2 = sum over i of (dy/dx_i u(x_i))^2,  (dy/dx_i) u(x_i) ~ (y(x_i + u_i) - y(x_i - u_i)) / 2
 * (Evaluation of measurement data - Guide to the expression of uncertainty in measurement, JCGM 100:2008, equation 10
 * and section 5.1.3 note 2). Valid while effects are near to linear and inputs independent; the larger of the two
 * halves is reported beside it so that a kink shows. Pinned by tests/sim/study/first-order.test.ts.
 */
import { normalCdf } from '../numerics/normal.ts';
import type { InputChange } from '../project/changed-inputs.ts';
import type { InputNote } from '../project/origins.ts';
import { quantity } from '../quantities/table.ts';
import type { Verdict } from './decided.ts';
import { verdictOn } from './decided.ts';
import { unknownKey } from './same-unknown.ts';

/** One input with the two changes to ask for. */
export interface Probe {
  readonly note: InputNote;
  readonly less: ValueChange;
  readonly more: ValueChange;
}

type ValueChange = InputChange & { readonly value: number };

export interface Effect {
  readonly note: InputNote;
  /** The figure with the input less and more by its spread, minus the base; SI. */
  readonly less: number;
  readonly more: number;
  /** Half the swing: the input's share of the uncertainty, with the sign of the figure's growth. */
  readonly swing: number;
}

export interface FirstOrder {
  readonly base: number;
  /** One standard deviation of the figure, all inputs independent. */
  readonly spread: number;
  /**
   * The same taken each way by itself, where effects are not alike to both sides: the root of the sum of squares of what
   * each input takes off and puts on at most. A picture of the skew, no interval of stated probability.
   */
  readonly below: number;
  readonly above: number;
  /** Largest effect first; inputs that could not be moved are left out and counted. */
  readonly effects: readonly Effect[];
  readonly leftOut: number;
}

/** The changes to ask for: notes that have a spread, kept within the limits of their quantity. */
export function probesOf(notes: readonly InputNote[]): Probe[] {
  return notes
    .filter((note) => note.spread > 0)
    .map((note) => {
      const row = quantity(note.quantity);
      const isSheet = note.path.endsWith('.points');
      const [min, max] = isSheet ? [0, Number.MAX_VALUE] : [row.min, row.max];
      const at = (value: number): ValueChange => ({
        path: note.path,
        value: Math.min(max, Math.max(min, value)),
      });
      return { note, less: at(note.value - note.spread), more: at(note.value + note.spread) };
    });
}

/** Combines what the probes found; `found[i]` belongs to `probes[i]`, null where the kart could not run so. */
export function firstOrder(
  base: number,
  probes: readonly Probe[],
  found: readonly { readonly less: number | null; readonly more: number | null }[],
): FirstOrder {
  const effects: Effect[] = [];
  let variance = 0;
  let below = 0;
  let above = 0;
  let leftOut = 0;
  for (const [i, { note }] of probes.entries()) {
    const { less, more } = found[i] ?? { less: null, more: null };
    if (less === null && more === null) {
      leftOut += 1;
      continue;
    }
    // One side alone stands for both where the other is beyond what the kart can do.
    const down = less === null ? -(more! - base) : less - base;
    const up = more === null ? -down : more - base;
    const swing = (up - down) / 2;
    variance += swing * swing;
    below += Math.min(0, down, up) ** 2;
    above += Math.max(0, down, up) ** 2;
    effects.push({ note, less: down, more: up, swing });
  }
  effects.sort((a, b) => effectSize(b) - effectSize(a));
  return {
    base,
    spread: Math.sqrt(variance),
    below: Math.sqrt(below),
    above: Math.sqrt(above),
    effects,
    leftOut,
  };
}

/**
 * The difference of a figure between two states of a kart, b - a, when the inputs both rest on are the same unknowns: what
 * is common moves both alike and cancels. With d_i+ and d_i- what the difference gains with input i more and less,
 *   u(b - a)^2 = sum over i of max(|d_i+|, |d_i-|)^2
 * which is that of fully correlated inputs (JCGM 100:2008, 5.2.2 note 1) where effects are straight, and on the safe side
 * where they are not: near a best setting both sides of an input can take from a gain, and one shift more can come with any
 * of them. By how much the difference is off on average it does not say: that takes draws (common-draws.ts). An input in use
 * in one alone counts in full; a driver of the same figures in two karts is one unknown (same-unknown.ts). `sureness` takes
 * the difference for normal.
 */
export function firstOrderDifference(
  a: FirstOrder,
  b: FirstOrder,
): { readonly difference: number; readonly spread: number; readonly sureness: Verdict } {
  const ofA = new Map(a.effects.map(({ note }) => [unknownKey(note), note.path]));
  const paths = new Set(ofA.values());
  // The same place is the same unknown though its value was changed between the two.
  const placeOf = (note: InputNote) =>
    paths.has(note.path) ? note.path : (ofA.get(unknownKey(note)) ?? note.path);
  const halves = new Map<string, { less: number; more: number }>();
  const add = (effects: readonly Effect[], sign: 1 | -1): void => {
    for (const { note, less, more } of effects) {
      const place = placeOf(note);
      const half = halves.get(place) ?? { less: 0, more: 0 };
      halves.set(place, { less: half.less + sign * less, more: half.more + sign * more });
    }
  };
  add(a.effects, -1);
  add(b.effects, 1);
  let variance = 0;
  for (const { less, more } of halves.values()) variance += Math.max(less * less, more * more);
  const difference = b.base - a.base;
  const spread = Math.sqrt(variance);
  const probability = spread > 0 ? normalCdf(difference / spread) : 1;
  return { difference, spread, sureness: verdictOn(difference, probability) };
}

/** By the larger half, so that an input that can only make things worse is not hidden by its average. */
export function effectSize({ less, more }: Effect): number {
  return Math.max(Math.abs(less), Math.abs(more));
}
