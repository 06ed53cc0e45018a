/**
 * The least of a convex quadratic, 1/2 x'Hx + g'x, with every unknown between two bounds and, where given, rows Ax <= b.
 *
 * In: a banded H (positive semidefinite), g, bounds, rows. Out: x strictly inside its bounds, iterations, and what is left
 * of the gap. Primal-dual interior point with predictor and corrector (Nocedal and Wright, Numerical Optimization, 2nd
 * ed., section 16.6): one factorisation of H + A'DA + diagonal an iteration, whichever bounds and rows hold. Every sum
 * takes the two bounds in an order that knows neither from the other: the problem turned upside down, -x between -high and
 * -low, has the same answer with its sign changed, to the last bit. A line mirrored is that problem.
 */
import type { BandedMatrix } from './banded.ts';
import { factor, multiply, solveWith } from './banded.ts';

export interface BoundedMinimum {
  readonly x: Float64Array;
  readonly iterations: number;
  /** Mean slack times multiplier at the end, against its scale at the start */
  readonly gap: number;
}

/** Rows A x <= most: row r has the entries start[r] to start[r + 1], each a column and its value. */
export interface QuadraticRows {
  readonly start: Int32Array;
  readonly column: Int32Array;
  readonly value: Float64Array;
  readonly most: Float64Array;
  /** Rows 2 k and 2 k + 1, for so many k, have the same columns and count as one: either may be the first */
  readonly pairs: number;
}

export const NO_ROWS: QuadraticRows = {
  start: new Int32Array(1),
  column: new Int32Array(0),
  value: new Float64Array(0),
  most: new Float64Array(0),
  pairs: 0,
};

const MAX_ITERATIONS = 60;
/** Steps go this share of the way to the nearest bound. */
const TO_BOUNDARY = 0.995;
/** Bounds closer together than this are taken as one value, m. */
const NARROW = 1e-9;
/** Share of the way between its bounds that an unknown keeps from them at the start. */
const INSIDE = 0.02;
/** Room a row is given at the start, whatever it has: rows are to be scaled to the order of one. */
const ROOM = 0.1;

export function boundedMinimum(
  h: BandedMatrix,
  g: ArrayLike<number>,
  low: ArrayLike<number>,
  high: ArrayLike<number>,
  tolerance = 1e-10,
  rows: QuadraticRows = NO_ROWS,
  near = 0,
): BoundedMinimum {
  const n = h.size;
  const x = new Float64Array(n);
  const lo = Float64Array.from(low);
  const hi = Float64Array.from(high);
  for (let i = 0; i < n; i++) {
    const middle = (lo[i]! + hi[i]!) / 2;
    if (!(hi[i]! - lo[i]! > NARROW)) {
      lo[i] = middle - NARROW / 2;
      hi[i] = middle + NARROW / 2;
    }
    // With rows nought is a likely place; without, the middle is as good as any.
    const rim = INSIDE * (hi[i]! - lo[i]!);
    x[i] = rows.most.length === 0 ? middle : Math.min(Math.max(0, lo[i]! + rim), hi[i]! - rim);
  }
  const gradient = multiply(h, x);
  let scale = 0;
  for (let i = 0; i < n; i++) scale = Math.max(scale, Math.abs(gradient[i]! + g[i]!));
  if (!(scale > 0)) scale = 1;
  // Multipliers of the lower and the upper bounds.
  const zl = new Float64Array(n).fill(scale);
  const zu = new Float64Array(n).fill(scale);
  const diagonal = new Float64Array(n);
  const right = new Float64Array(n);
  const r = new RowPart(h, rows);
  r.begin(x, scale);
  const pairs = 2 * n + r.count;
  let startGap = 0;
  for (let i = 0; i < n; i++) startGap += (hi[i]! - x[i]! + (x[i]! - lo[i]!)) * scale;
  startGap = (startGap + r.gap()) / pairs;
  let gap = startGap;
  let iterations = 0;
  for (; iterations < MAX_ITERATIONS; iterations++) {
    const hx = multiply(h, x);
    let fallen = 0;
    if (near > 0) for (let i = 0; i < n; i++) fallen -= x[i]! * (hx[i]! / 2 + g[i]!);
    const close = gap <= tolerance * startGap || gap * pairs <= near + NEAR_SHARE * fallen;
    if (close && r.violation <= MOST_VIOLATION) break;
    for (let i = 0; i < n; i++) diagonal[i] = zl[i]! / (x[i]! - lo[i]!) + zu[i]! / (hi[i]! - x[i]!);
    const l = factor(r.added(), diagonal);
    if (l === undefined) break;
    const pull = (i: number) => zu[i]! - zl[i]!;
    const residual = (i: number) => hx[i]! + g[i]! + pull(i);
    // Predictor: straight at the bounds.
    for (let i = 0; i < n; i++) right[i] = -residual(i) + pull(i);
    r.intoRight(right, 0, false);
    const predictor = solveWith(h, l, right);
    let reach = 1;
    for (let i = 0; i < n; i++) {
      const d = predictor[i]!;
      const dl = -zl[i]! - (zl[i]! * d) / (x[i]! - lo[i]!);
      const du = -zu[i]! + (zu[i]! * d) / (hi[i]! - x[i]!);
      if (d < 0) reach = Math.min(reach, (lo[i]! - x[i]!) / d);
      else if (d > 0) reach = Math.min(reach, (hi[i]! - x[i]!) / d);
      if (dl < 0) reach = Math.min(reach, -zl[i]! / dl);
      if (du < 0) reach = Math.min(reach, -zu[i]! / du);
    }
    r.predict(predictor);
    reach = Math.min(reach, r.reach(r.aheadSlack, r.aheadMultiplier, 1));
    let ahead = 0;
    for (let i = 0; i < n; i++) {
      const d = predictor[i]!;
      const dl = -zl[i]! - (zl[i]! * d) / (x[i]! - lo[i]!);
      const du = -zu[i]! + (zu[i]! * d) / (hi[i]! - x[i]!);
      const below = x[i]! - lo[i]! + reach * d;
      const above = hi[i]! - x[i]! - reach * d;
      ahead += below * (zl[i]! + reach * dl) + above * (zu[i]! + reach * du);
    }
    ahead = (ahead + r.gapAhead(reach)) / pairs;
    const centre = gap * (ahead / gap) ** 3;
    // Corrector: towards the central path, with the product of the predictor's steps.
    for (let i = 0; i < n; i++) {
      const d = predictor[i]!;
      const sl = x[i]! - lo[i]!;
      const su = hi[i]! - x[i]!;
      const dl = -zl[i]! - (zl[i]! * d) / sl;
      const du = -zu[i]! + (zu[i]! * d) / su;
      right[i] = -residual(i) + pull(i) + ((centre - d * dl) / sl - (centre + d * du) / su);
    }
    r.intoRight(right, centre, true);
    const step = solveWith(h, l, right);
    let length = 1;
    let dualLength = 1;
    for (let i = 0; i < n; i++) {
      const d = step[i]!;
      const sl = x[i]! - lo[i]!;
      const su = hi[i]! - x[i]!;
      const p = predictor[i]!;
      const cl = (centre - p * (-zl[i]! - (zl[i]! * p) / sl)) / sl;
      const cu = (centre + p * (-zu[i]! + (zu[i]! * p) / su)) / su;
      const dl = -zl[i]! + cl - (zl[i]! * d) / sl;
      const du = -zu[i]! + cu + (zu[i]! * d) / su;
      diagonal[i] = dl;
      right[i] = du;
      if (d < 0) length = Math.min(length, (TO_BOUNDARY * -sl) / d);
      else if (d > 0) length = Math.min(length, (TO_BOUNDARY * su) / d);
      if (dl < 0) dualLength = Math.min(dualLength, (TO_BOUNDARY * -zl[i]!) / dl);
      if (du < 0) dualLength = Math.min(dualLength, (TO_BOUNDARY * -zu[i]!) / du);
    }
    r.correct(step, centre);
    // One length for both keeps the residual of a quadratic shrinking.
    const both = Math.min(length, dualLength, r.reach(r.slackStep, r.multiplierStep, TO_BOUNDARY));
    gap = 0;
    for (let i = 0; i < n; i++) {
      x[i] = x[i]! + both * step[i]!;
      zl[i] = zl[i]! + both * diagonal[i]!;
      zu[i] = zu[i]! + both * right[i]!;
      gap += (x[i]! - lo[i]!) * zl[i]! + (hi[i]! - x[i]!) * zu[i]!;
    }
    r.take(both);
    gap = (gap + r.gap()) / pairs;
  }
  return { x, iterations, gap: gap / startGap };
}

/** A row may be missed by this at the end: rows are scaled to the order of one. */
const MOST_VIOLATION = 1e-5;
/** Of what the quadratic has fallen from x = 0, the gap that may be left where the caller asks for no more. */
const NEAR_SHARE = 0.001;

/** Slacks s = most - Ax and multipliers of the rows; the slacks may start wider than the rows are. */
class RowPart {
  readonly count: number;
  readonly slackStep: Float64Array;
  readonly multiplierStep: Float64Array;
  readonly aheadSlack: Float64Array;
  readonly aheadMultiplier: Float64Array;
  /** Greatest |Ax + s - most| */
  violation = 0;
  readonly #h: BandedMatrix;
  readonly #rows: QuadraticRows;
  readonly #slack: Float64Array;
  readonly #multiplier: Float64Array;
  /** Ax + s - most: shrinks by each step's length */
  readonly #missed: Float64Array;
  /** Where in the stored matrix each pair of a row's entries lies, and the product of the two */
  readonly #place: Int32Array;
  readonly #product: Float64Array;
  readonly #productStart: Int32Array;
  readonly #sum: Float64Array;

  constructor(h: BandedMatrix, rows: QuadraticRows) {
    const m = rows.most.length;
    this.#h = h;
    this.#rows = rows;
    this.count = m;
    this.slackStep = new Float64Array(m);
    this.multiplierStep = new Float64Array(m);
    this.aheadSlack = new Float64Array(m);
    this.aheadMultiplier = new Float64Array(m);
    this.#slack = new Float64Array(m);
    this.#multiplier = new Float64Array(m);
    this.#missed = new Float64Array(m);
    this.#productStart = new Int32Array(m + 1);
    for (let i = 0; i < m; i++) {
      const entries = rows.start[i + 1]! - rows.start[i]!;
      this.#productStart[i + 1] = this.#productStart[i]! + (entries * (entries + 1)) / 2;
    }
    this.#place = new Int32Array(this.#productStart[m]!);
    this.#product = new Float64Array(this.#productStart[m]!);
    this.#sum = m === 0 ? h.lower : new Float64Array(h.lower.length);
    let at = 0;
    const { width, place } = h;
    for (let i = 0; i < m; i++)
      for (let p = rows.start[i]!; p < rows.start[i + 1]!; p++) {
        const a = place[rows.column[p]!]!;
        for (let q = p; q < rows.start[i + 1]!; q++) {
          const b = place[rows.column[q]!]!;
          const row = Math.max(a, b);
          const back = row - Math.min(a, b);
          if (back > width) throw new Error('boundedMinimum: a row reaches outside the band');
          this.#place[at] = row * (width + 1) + width - back;
          // Two entries of one column count both ways.
          this.#product[at++] = rows.value[p]! * rows.value[q]! * (a === b && p !== q ? 2 : 1);
        }
      }
  }

  begin(x: Float64Array, scale: number): void {
    const ax = this.#times(x);
    for (let i = 0; i < this.count; i++) {
      const room = this.#rows.most[i]! - ax[i]!;
      this.#slack[i] = Math.max(room, ROOM);
      this.#multiplier[i] = (scale * ROOM) / this.#slack[i]!;
      this.#missed[i] = this.#slack[i]! - room;
      this.violation = Math.max(this.violation, Math.abs(this.#missed[i]!));
    }
  }

  gap(): number {
    return this.#summed((i) => this.#slack[i]! * this.#multiplier[i]!);
  }

  gapAhead(reach: number): number {
    return this.#summed(
      (i) =>
        (this.#slack[i]! + reach * this.aheadSlack[i]!) *
        (this.#multiplier[i]! + reach * this.aheadMultiplier[i]!),
    );
  }

  /** H + A' diag(multiplier/slack) A */
  added(): BandedMatrix {
    if (this.count === 0) return this.#h;
    const sum = this.#sum;
    sum.set(this.#h.lower);
    const place = this.#place;
    const product = this.#product;
    const both = 2 * this.#rows.pairs;
    for (let i = 0; i < this.count; i++) {
      const weight = this.#multiplier[i]! / this.#slack[i]!;
      const end = this.#productStart[i + 1]!;
      if (i < both) {
        const other = this.#multiplier[i + 1]! / this.#slack[i + 1]!;
        for (let k = this.#productStart[i]!, o = end; k < end; k++, o++) {
          const at = place[k]!;
          sum[at] = sum[at]! + (weight * product[k]! + other * product[o]!);
        }
        i++;
      } else
        for (let k = this.#productStart[i]!; k < end; k++) {
          const at = place[k]!;
          sum[at] = sum[at]! + weight * product[k]!;
        }
    }
    return { ...this.#h, lower: sum };
  }

  /** Takes the rows' part from the right-hand side. */
  intoRight(right: Float64Array, centre: number, corrected: boolean): void {
    const { start, column, value } = this.#rows;
    const pushOf = (i: number) => {
      const target = corrected ? centre - this.aheadSlack[i]! * this.aheadMultiplier[i]! : 0;
      return (target + this.#multiplier[i]! * this.#missed[i]!) / this.#slack[i]!;
    };
    const both = 2 * this.#rows.pairs;
    for (let i = 0; i < this.count; i++) {
      const push = pushOf(i);
      const end = start[i + 1]!;
      if (i < both) {
        const other = pushOf(i + 1);
        for (let p = start[i]!, o = end; p < end; p++, o++)
          right[column[p]!] = right[column[p]!]! - (value[p]! * push + value[o]! * other);
        i++;
      } else for (let p = start[i]!; p < end; p++) right[column[p]!] = right[column[p]!]! - value[p]! * push;
    }
  }

  predict(step: Float64Array): void {
    this.#steps(step, this.aheadSlack, this.aheadMultiplier, () => 0);
  }

  correct(step: Float64Array, centre: number): void {
    this.#steps(
      step,
      this.slackStep,
      this.multiplierStep,
      (i) => centre - this.aheadSlack[i]! * this.aheadMultiplier[i]!,
    );
  }

  /** How far slacks and multipliers stay positive along their steps, at most 1. */
  reach(slackStep: Float64Array, multiplierStep: Float64Array, share: number): number {
    let reach = 1;
    for (let i = 0; i < this.count; i++) {
      if (slackStep[i]! < 0) reach = Math.min(reach, (-share * this.#slack[i]!) / slackStep[i]!);
      if (multiplierStep[i]! < 0)
        reach = Math.min(reach, (-share * this.#multiplier[i]!) / multiplierStep[i]!);
    }
    return reach;
  }

  take(length: number): void {
    this.violation = 0;
    for (let i = 0; i < this.count; i++) {
      this.#slack[i] = this.#slack[i]! + length * this.slackStep[i]!;
      this.#multiplier[i] = this.#multiplier[i]! + length * this.multiplierStep[i]!;
      this.#missed[i] = this.#missed[i]! * (1 - length);
      this.violation = Math.max(this.violation, Math.abs(this.#missed[i]!));
    }
  }

  #steps(
    step: Float64Array,
    slackStep: Float64Array,
    multiplierStep: Float64Array,
    target: (i: number) => number,
  ): void {
    const change = this.#times(step);
    for (let i = 0; i < this.count; i++) {
      const s = this.#slack[i]!;
      const z = this.#multiplier[i]!;
      const ds = -this.#missed[i]! - change[i]!;
      slackStep[i] = ds;
      multiplierStep[i] = (target(i) - z * ds) / s - z;
    }
  }

  /** Of pairs the two together, whichever is the first. */
  #summed(of: (i: number) => number): number {
    const both = 2 * this.#rows.pairs;
    let sum = 0;
    for (let i = 0; i < both; i += 2) sum += of(i) + of(i + 1);
    for (let i = both; i < this.count; i++) sum += of(i);
    return sum;
  }

  #times(x: Float64Array): Float64Array {
    const { start, column, value } = this.#rows;
    const product = new Float64Array(this.count);
    for (let i = 0; i < this.count; i++) {
      let sum = 0;
      for (let p = start[i]!; p < start[i + 1]!; p++) sum += value[p]! * x[column[p]!]!;
      product[i] = sum;
    }
    return product;
  }
}
