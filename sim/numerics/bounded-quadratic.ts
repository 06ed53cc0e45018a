/**
 * The least of a convex quadratic, 1/2 x'Hx + g'x, with every unknown between two bounds and, where given, rows Ax <= b.
 *
 * In: an H of short rows (positive semidefinite), g, bounds, rows. Out: x strictly inside its bounds, iterations, and what is left
 * of the gap. Primal-dual interior point with predictor and corrector (Nocedal and Wright, Numerical Optimization, 2nd
 * ed., section 16.6): one factorisation of H + A'DA + diagonal an iteration, whichever bounds and rows hold. Every sum
 * takes the two bounds in an order that knows neither from the other: the problem turned upside down, -x between -high and
 * -low, has the same answer with its sign changed, to the last bit. A line mirrored is that problem.
 */
import { entryAt, factor, multiply, type SkylineMatrix, solveWith } from './skyline.ts';

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
  h: SkylineMatrix,
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
  const r = new RowPart(h, rows);
  r.begin(x, scale);
  const pairs = 2 * n + r.count;
  let startGap = 0;
  for (let i = 0; i < n; i++) startGap += (hi[i]! - x[i]! + (x[i]! - lo[i]!)) * scale;
  startGap = (startGap + r.gap()) / pairs;
  let gap = startGap;
  let iterations = 0;
  // Of one iteration: multiplier over slack, the steps of the multipliers, and what the corrector adds to them.
  const vector = () => new Float64Array(n);
  const [weightL, weightU, dl, du] = [vector(), vector(), vector(), vector()];
  const [addL, addU, diagonal, right] = [vector(), vector(), vector(), vector()];
  for (; iterations < MAX_ITERATIONS; iterations++) {
    const hx = multiply(h, x);
    let fallen = 0;
    if (near > 0) for (let i = 0; i < n; i++) fallen -= x[i]! * (hx[i]! / 2 + g[i]!);
    const close = gap <= tolerance * startGap || gap * pairs <= near + NEAR_SHARE * fallen;
    if (close && r.violation <= MOST_VIOLATION) break;
    for (let i = 0; i < n; i++) {
      weightL[i] = zl[i]! / (x[i]! - lo[i]!);
      weightU[i] = zu[i]! / (hi[i]! - x[i]!);
      diagonal[i] = weightL[i]! + weightU[i]!;
    }
    const l = factor(r.added(), diagonal);
    if (l === undefined) break;
    // Predictor: straight at the bounds.
    for (let i = 0; i < n; i++) right[i] = -(hx[i]! + g[i]!);
    r.aimAt(0, false);
    r.intoRight(right);
    const predictor = solveWith(h, l, right);
    let reach = 1;
    for (let i = 0; i < n; i++) {
      const d = predictor[i]!;
      dl[i] = -zl[i]! - weightL[i]! * d;
      du[i] = -zu[i]! + weightU[i]! * d;
      reach = upTo(reach, 1, x[i]! - lo[i]!, d);
      reach = upTo(reach, 1, hi[i]! - x[i]!, -d);
      reach = upTo(reach, 1, zl[i]!, dl[i]!);
      reach = upTo(reach, 1, zu[i]!, du[i]!);
    }
    r.predict(predictor);
    reach = r.reach(reach, r.aheadSlack, r.aheadMultiplier, 1);
    let ahead = 0;
    for (let i = 0; i < n; i++) {
      const move = reach * predictor[i]!;
      const below = (x[i]! - lo[i]! + move) * (zl[i]! + reach * dl[i]!);
      const above = (hi[i]! - x[i]! - move) * (zu[i]! + reach * du[i]!);
      ahead += below + above;
    }
    ahead = (ahead + r.gapAhead(reach)) / pairs;
    const centre = gap * (ahead / gap) ** 3;
    // Corrector: towards the central path, with the product of the predictor's steps.
    for (let i = 0; i < n; i++) {
      const d = predictor[i]!;
      addL[i] = (centre - d * dl[i]!) / (x[i]! - lo[i]!);
      addU[i] = (centre + d * du[i]!) / (hi[i]! - x[i]!);
      right[i] = -(hx[i]! + g[i]!) + (addL[i]! - addU[i]!);
    }
    r.aimAt(centre, true);
    r.intoRight(right);
    const step = solveWith(h, l, right);
    let both = 1;
    for (let i = 0; i < n; i++) {
      const d = step[i]!;
      dl[i] = -zl[i]! + addL[i]! - weightL[i]! * d;
      du[i] = -zu[i]! + addU[i]! + weightU[i]! * d;
      both = upTo(both, TO_BOUNDARY, x[i]! - lo[i]!, d);
      both = upTo(both, TO_BOUNDARY, hi[i]! - x[i]!, -d);
      both = upTo(both, TO_BOUNDARY, zl[i]!, dl[i]!);
      both = upTo(both, TO_BOUNDARY, zu[i]!, du[i]!);
    }
    r.correct(step);
    // One length for both keeps the residual of a quadratic shrinking.
    both = r.reach(both, r.slackStep, r.multiplierStep, TO_BOUNDARY);
    gap = 0;
    for (let i = 0; i < n; i++) {
      x[i] = x[i]! + both * step[i]!;
      zl[i] = zl[i]! + both * dl[i]!;
      zu[i] = zu[i]! + both * du[i]!;
      gap += (x[i]! - lo[i]!) * zl[i]! + (hi[i]! - x[i]!) * zu[i]!;
    }
    r.take(both);
    gap = (gap + r.gap()) / pairs;
  }
  return { x, iterations, gap: gap / startGap };
}

/** How far along a step, at most `reach`, something positive keeps the rest of `share` of itself. */
function upTo(reach: number, share: number, value: number, step: number): number {
  return reach * step < -share * value ? (-share * value) / step : reach;
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
  readonly #h: SkylineMatrix;
  readonly #rows: QuadraticRows;
  readonly #slack: Float64Array;
  readonly #multiplier: Float64Array;
  /** Ax + s - most: shrinks by each step's length */
  readonly #missed: Float64Array;
  /** Multiplier over slack */
  readonly #weight: Float64Array;
  /** What the rows push with: (aim + multiplier missed)/slack */
  readonly #push: Float64Array;
  /** Where in the stored matrix each pair of a row's entries lies, and the product of the two */
  readonly #place: Int32Array;
  readonly #product: Float64Array;
  readonly #productStart: Int32Array;
  readonly #sum: Float64Array;

  constructor(h: SkylineMatrix, rows: QuadraticRows) {
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
    this.#weight = new Float64Array(m);
    this.#push = new Float64Array(m);
    this.#productStart = new Int32Array(m + 1);
    for (let i = 0; i < m; i++) {
      const entries = rows.start[i + 1]! - rows.start[i]!;
      this.#productStart[i + 1] = this.#productStart[i]! + (entries * (entries + 1)) / 2;
    }
    this.#place = new Int32Array(this.#productStart[m]!);
    this.#product = new Float64Array(this.#productStart[m]!);
    this.#sum = m === 0 ? h.lower : new Float64Array(h.lower.length);
    let at = 0;
    for (let i = 0; i < m; i++)
      for (let p = rows.start[i]!; p < rows.start[i + 1]!; p++)
        for (let q = p; q < rows.start[i + 1]!; q++) {
          const [a, b] = [rows.column[p]!, rows.column[q]!];
          this.#place[at] = entryAt(h, a, b);
          // Two entries of one column count both ways.
          this.#product[at++] = rows.value[p]! * rows.value[q]! * (a === b && p !== q ? 2 : 1);
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

  /** Sum of slack times multiplier */
  gap(): number {
    return this.#summed(0);
  }

  /** The same so far along the predictor's steps */
  gapAhead(reach: number): number {
    return this.#summed(reach);
  }

  /** H + A' diag(multiplier/slack) A */
  added(): SkylineMatrix {
    if (this.count === 0) return this.#h;
    const sum = this.#sum;
    sum.set(this.#h.lower);
    const place = this.#place;
    const product = this.#product;
    const start = this.#productStart;
    const weight = this.#weight;
    for (let i = 0; i < this.count; i++) weight[i] = this.#multiplier[i]! / this.#slack[i]!;
    const both = 2 * this.#rows.pairs;
    for (let i = 0; i < both; i += 2) {
      const [one, other] = [weight[i]!, weight[i + 1]!];
      const end = start[i + 1]!;
      for (let k = start[i]!, o = end; k < end; k++, o++) {
        const at = place[k]!;
        sum[at] = sum[at]! + (one * product[k]! + other * product[o]!);
      }
    }
    for (let i = both; i < this.count; i++)
      for (let k = start[i]!; k < start[i + 1]!; k++) {
        const at = place[k]!;
        sum[at] = sum[at]! + weight[i]! * product[k]!;
      }
    return { ...this.#h, lower: sum };
  }

  /** What slack times multiplier is to become; `corrected` by the product of the predictor's steps. */
  aimAt(centre: number, corrected: boolean): void {
    for (let i = 0; i < this.count; i++) {
      const aim = corrected ? centre - this.aheadSlack[i]! * this.aheadMultiplier[i]! : centre;
      this.#push[i] = (aim + this.#multiplier[i]! * this.#missed[i]!) / this.#slack[i]!;
    }
  }

  /** Takes the rows' part from the right-hand side. */
  intoRight(right: Float64Array): void {
    const { start, column, value } = this.#rows;
    const push = this.#push;
    const both = 2 * this.#rows.pairs;
    for (let i = 0; i < both; i += 2) {
      const [one, other] = [push[i]!, push[i + 1]!];
      const end = start[i + 1]!;
      for (let p = start[i]!, o = end; p < end; p++, o++) {
        const c = column[p]!;
        right[c] = right[c]! - (value[p]! * one + value[o]! * other);
      }
    }
    for (let i = both; i < this.count; i++)
      for (let p = start[i]!; p < start[i + 1]!; p++) {
        const c = column[p]!;
        right[c] = right[c]! - value[p]! * push[i]!;
      }
  }

  predict(step: Float64Array): void {
    this.#steps(step, this.aheadSlack, this.aheadMultiplier);
  }

  correct(step: Float64Array): void {
    this.#steps(step, this.slackStep, this.multiplierStep);
  }

  /** How far slacks and multipliers stay positive along their steps, at most `reach`. */
  reach(reach: number, slackStep: Float64Array, multiplierStep: Float64Array, share: number): number {
    for (let i = 0; i < this.count; i++) {
      reach = upTo(reach, share, this.#slack[i]!, slackStep[i]!);
      reach = upTo(reach, share, this.#multiplier[i]!, multiplierStep[i]!);
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

  #steps(step: Float64Array, slackStep: Float64Array, multiplierStep: Float64Array): void {
    const change = this.#times(step);
    for (let i = 0; i < this.count; i++) {
      slackStep[i] = -this.#missed[i]! - change[i]!;
      multiplierStep[i] = this.#push[i]! + this.#weight[i]! * change[i]! - this.#multiplier[i]!;
    }
  }

  /** Of pairs the two together, whichever is the first. */
  #summed(along: number): number {
    const slack = this.#slack;
    const multiplier = this.#multiplier;
    const of = (i: number) =>
      (slack[i]! + along * this.aheadSlack[i]!) * (multiplier[i]! + along * this.aheadMultiplier[i]!);
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
