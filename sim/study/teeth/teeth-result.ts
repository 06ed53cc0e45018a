/** What the study of teeth finds: laps and chain per pair, what to fit on each track, what to carry. */
import type { ChainSheet } from '../../run/chain-sheet.ts';
import type { Verdict } from '../decided.ts';
import type { Grid } from '../study.ts';
import type { SprocketPair } from './sprocket-pairs.ts';
import type { CarriedSet } from './worth-carrying.ts';

export interface PairLap {
  readonly time: number;
  /** m/s, reached on the lap */
  readonly topSpeed: number;
  /** Null on a belt, which shifts by itself */
  readonly shifts: number | null;
  /** s */
  readonly limiterTime: number;
  /** Longest stretch on the limiter up to a braking point, m */
  readonly limiterBeforeBraking: number;
  /** Chain speed at the top speed reached, m/s */
  readonly chainSpeed: number;
}

export interface PairSheet extends SprocketPair {
  readonly chain: ChainSheet;
  /** Axle to be moved back from where the fitted pair has it, with the same chain, m; null where not known */
  readonly slotFromFitted: number | null;
  /** Road speed at the limiter per gear, m/s; null for a belt between its ends */
  readonly speedsInGears: readonly (number | null)[];
}

export interface TeethOnTrack {
  readonly track: string;
  /** Per pair; null: cannot be driven so; undefined: not answered yet */
  readonly laps: readonly (PairLap | null | undefined)[];
  /** Index of the quickest pair, -1 where there is none yet */
  readonly best: number;
  /** Pairs no clock tells from the best, the best among them */
  readonly ties: readonly number[];
  /** The pair to fit: of the near-ties the one on the kart, else one owned that asks least of the chain; -1 for none */
  readonly named: number;
  /** One standard deviation of the lap with the named pair, s; null without notes */
  readonly spread: number | null;
  /** What the named pair is worth: against the pair fitted, or where that is named against the next no near-tie holds */
  readonly rival: RivalPair | null;
  /** Where the best is the last pair on one side: beyond it there may be a quicker one */
  readonly edge: 'tallest' | 'shortest' | null;
}

export interface RivalPair {
  readonly pair: number;
  /** Its lap less that of the named pair, s */
  readonly difference: number;
  /** Of the difference, s: what both rest on alike cancels; null without notes */
  readonly spread: number | null;
  /** Of nine draws in ten, s; null without notes */
  readonly low: number | null;
  readonly high: number | null;
  /** That the named pair is the quicker; null without notes */
  readonly probability: number | null;
  readonly verdict: Verdict | null;
}

export interface TeethResult {
  readonly kart: string;
  readonly day: string;
  readonly noise: number;
  readonly cover: number;
  readonly fronts: readonly number[];
  readonly rears: readonly number[];
  readonly gears: readonly string[];
  readonly pairs: readonly PairSheet[];
  /** Pair by front (row) and rear (column) */
  readonly grid: Grid<Int16Array>;
  /** The pair on the kart, -1 where it has none */
  readonly fitted: number;
  readonly tracks: readonly TeethOnTrack[];
  /** Least sum of relative losses over the tracks; what it costs on each and one standard deviation of that, s */
  readonly compromise: {
    readonly pair: number;
    readonly losses: readonly number[];
    readonly spreads: readonly (number | null)[];
    /** Against the pair fitted, track by track, null where either cannot be driven; null where it is the pair fitted */
    readonly againstFitted: readonly (RivalPair | null)[] | null;
  } | null;
  readonly carry: CarriedPairs | null;
  /** The best that two, three ... sprockets do over several tracks; empty for one track, and until all laps are there */
  readonly boxes: readonly CarriedSet[];
  /** So many sprockets were tried together at most; a size that is not among the boxes gains nothing on a smaller one */
  readonly boxesUpTo: number;
  readonly tyres: readonly TyreAsTeeth[];
  readonly done: number;
  readonly total: number;
}

export interface CarriedPairs extends CarriedSet {
  /** One chain for all of them, links, and how far the axle moves between them, m; null where not known */
  readonly links: number | null;
  readonly slotTravel: number | null;
}

/** What another rear tyre does, said in teeth. */
export interface TyreAsTeeth {
  readonly tyre: string;
  readonly radius: number;
  /** Thrust at the ground and turns per metre against the tyre fitted, as a ratio */
  readonly shortens: number;
  /** Teeth behind that would give the tyre fitted the same gearing */
  readonly actsAs: number;
  /** Teeth behind that keep the present gearing with that tyre */
  readonly keepsWith: number;
}
