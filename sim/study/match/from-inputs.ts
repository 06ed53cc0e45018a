/**
 * What the inputs that are not fitted leave open in a fit: each moved by its own spread, the fitted values move along.
 *
 * In: notes, the values fitted, and the fit at its solution p: Jacobian J, (J'J)^-1, residuals r for given changes. Out: per
 * input q and fitted factor the part S_q of its standard uncertainty. The solution has J' r(p, q) = 0; by the implicit
 * function theorem, second derivatives times residuals left out (Gauss and Newton),
 *   S_+- = -(J'J)^-1 J' (r(p, q +- u_q) - r(p, q)),  S_q^2 = (S_+^2 + S_-^2) / 2
 * and u(p)^2 = u_log(p)^2 + sum over q of S_q^2 (JCGM 100:2008, 5.1.2, independent inputs). The mean square of the two sides
 * is that of their half difference where a value moves straight with q; on a ridge - grip with brakes set to the best share
 * stops worse with a share off either way - the halves cancel and the mean square does not. The other side is asked for only
 * where one side moves a value by more than WORTH_BOTH of its spread from the log: an input that acts on the lesser side
 * alone is missed. Pinned by tests/sim/study/match-inputs.test.ts.
 */
import { Matrix } from 'ml-matrix';
import type { InputChange } from '../../project/changed-inputs.ts';
import type { InputNote } from '../../project/origins.ts';
import type { Project } from '../../project/schema.ts';
import { probesOf } from '../first-order.ts';
import { inputsInUse } from '../inputs-in-use.ts';
import type { DriveLog } from './drive-log.ts';
import type { FitValue, MatchWho } from './fit-values.ts';
import type { Segment } from './segments.ts';

/** What is not as the fit has it: places of the file, the slope of the ground along the run, how true the log's speeds are. */
export interface Move {
  readonly changes: readonly InputChange[];
  /** Rise over run */
  readonly grade?: number;
  /** True speed over logged */
  readonly speedScale?: number;
}

/** An input that is not fitted, with what to change to move it by its spread either way. */
export interface MovedInput {
  readonly path: string;
  readonly less: Move;
  readonly more: Move;
  /** Wind of no stated direction and the slope of the ground: the part along a run depends on where the run heads. */
  readonly byHeading: boolean;
}

/** Stands for the path of the slope of the ground, which is of the outing and in no file. */
export const SLOPE_OF_GROUND = 'slope of the ground';
/** Stands for the path of how true the logged speeds are, which is of the logger and in no file. */
export const LOGGED_SPEEDS = 'logged speeds';

export interface InputPart {
  readonly path: string;
  /** One standard deviation of the factor from this input alone */
  readonly spread: number;
}

export interface FromInputs {
  /** Per fitted value, the largest first; inputs with next to no effect left out. */
  readonly parts: readonly (readonly InputPart[])[];
  /** Inputs that could not be moved: the kart cannot run so, or it was ended before. */
  readonly leftOut: readonly string[];
}

/** How wind or slope were taken: one unknown along all runs alike, or by where each run heads; null: none counted. */
export type AlongTaken = 'same in every run' | 'by heading' | null;

/** Share of a value's spread from the log; two such parts differ in the sum of squares by a hundredth. */
const WORTH_BOTH = 0.1;
/** The same share, below which a part is not worth telling: forty of them change a spread by two thousandths. */
const WORTH_TELLING = 0.01;

/**
 * `held` are places set for the match itself: a gear held is not in doubt. `levelWithin` is one standard deviation of the
 * slope of the ground, rise over run, whichever way it falls: that of a plane has it to the east and to the north.
 * `speedWithin` is one of the logger's speeds, relative, the same at every speed: a roll-out or a diameter set wrong.
 */
export function movedInputs(
  project: Project,
  notes: readonly InputNote[],
  who: MatchWho,
  fitted: readonly FitValue[],
  held: readonly InputChange[],
  levelWithin: number,
  speedWithin: number,
): MovedInput[] {
  const known = new Set([
    ...fitted.flatMap(({ places, scales }) => [...places.map(({ path }) => path), ...scales]),
    ...held.map(({ path }) => path),
  ]);
  const run = { ...who, verb: 'brake', options: { fromSpeed: 1 } } as const;
  const inUse = inputsInUse(notes, run, project).filter(({ path }) => !known.has(path));
  const windPath = `days.${who.day}.wind.speed`;
  return [
    ...windMoved(
      project,
      who,
      inUse.find(({ path }) => path === windPath),
    ),
    ...(levelWithin > 0
      ? [
          {
            path: SLOPE_OF_GROUND,
            less: { changes: [], grade: -levelWithin },
            more: { changes: [], grade: levelWithin },
            byHeading: true,
          },
        ]
      : []),
    ...(speedWithin > 0
      ? [
          {
            path: LOGGED_SPEEDS,
            less: { changes: [], speedScale: 1 - speedWithin },
            more: { changes: [], speedScale: 1 + speedWithin },
            byHeading: false,
          },
        ]
      : []),
    ...probesOf(inUse.filter(({ path }) => path !== windPath)).map(({ note, less, more }) => ({
      path: note.path,
      less: { changes: [less] },
      more: { changes: [more] },
      byHeading: false,
    })),
  ];
}

/**
 * The wind along the runs, m/s, against positive: h +- u. Said to be still or without a direction, h = 0 and
 * u^2 = u_w^2 + w^2/2: the mean of (w cos a)^2 over all directions a.
 */
function windMoved(project: Project, { day }: MatchWho, note: InputNote | undefined): MovedInput[] {
  if (note === undefined) return [];
  const { along } = project.days[day]!.wind;
  const sign = along === 'against' ? 1 : along === 'with' ? -1 : 0;
  const spread = sign === 0 ? Math.hypot(note.spread, note.value / Math.SQRT2) : note.spread;
  if (!(spread > 0)) return [];
  const at = (head: number): Move => ({
    changes: [
      { path: note.path, value: Math.abs(head) },
      { path: `days.${day}.wind.along`, value: head < 0 ? 'with' : 'against' },
    ],
  });
  const head = sign * note.value;
  return [{ path: note.path, less: at(head - spread), more: at(head + spread), byHeading: sign === 0 }];
}

/** Where each run heads, rad from east; undefined where the log does not say for every one. */
export function headingsOf({ x, y }: DriveLog, segments: readonly Segment[]): number[] | undefined {
  if (x === undefined || y === undefined) return undefined;
  const headings = segments.map(({ from, to }) => {
    const [east, north] = [x[to - 1]! - x[from]!, y[to - 1]! - y[from]!];
    return Math.hypot(east, north) > 0 ? Math.atan2(north, east) : Number.NaN;
  });
  return headings.every(Number.isFinite) ? headings : undefined;
}

export async function partsFromInputs(task: {
  readonly moved: readonly MovedInput[];
  /** What the fitted values move by with the residuals: -(J'J)^-1 J' */
  readonly gain: Matrix;
  /** With nothing moved */
  readonly residuals: Float64Array;
  /** Residuals per run, in their order, and where each run heads */
  readonly lengths: readonly number[];
  readonly headings: readonly number[] | undefined;
  /** Standard deviation of each factor from the log alone */
  readonly spreads: readonly number[];
  /** Residuals with the fitted values in place and this moved */
  readonly residualsAt: (move: Move) => Promise<Float64Array | undefined>;
}): Promise<FromInputs> {
  const { gain, residuals, residualsAt, lengths, spreads } = task;
  const parts = spreads.map((): InputPart[] => []);
  const leftOut: string[] = [];
  for (const input of task.moved) {
    const headings = input.byHeading ? task.headings : undefined;
    const spreadsFor = (change: Float64Array): number[] => {
      const along = headings === undefined ? [change] : byDirection(change, lengths, headings);
      const steps = along.map((part) => gain.mmul(Matrix.columnVector(part)).to1DArray());
      return spreads.map((_, i) => Math.hypot(...steps.map((step) => step[i]!)));
    };
    const more = await residualsAt(input.more);
    const up = more === undefined ? undefined : difference(more, residuals);
    let moved = up === undefined ? undefined : spreadsFor(up);
    if (moved === undefined || moved.some((s, i) => s > WORTH_BOTH * spreads[i]!)) {
      const less = await residualsAt(input.less);
      const down = less === undefined ? undefined : difference(residuals, less);
      if (down !== undefined) {
        const other = spreadsFor(down);
        moved = moved === undefined ? other : moved.map((s, i) => Math.hypot(s, other[i]!) / Math.SQRT2);
      }
    }
    if (moved === undefined) leftOut.push(input.path);
    else
      for (const [i, spread] of moved.entries())
        if (spread > WORTH_TELLING * spreads[i]!) parts[i]!.push({ path: input.path, spread });
  }
  return { parts: parts.map((own) => own.sort((a, b) => b.spread - a.spread)), leftOut };
}

/** A wind from (or a slope to) the east and one to the north, independent: each acts by the cosine of where a run heads. */
function byDirection(
  change: Float64Array,
  lengths: readonly number[],
  headings: readonly number[],
): [Float64Array, Float64Array] {
  const runs = lengths.flatMap((length, run) => new Array<number>(length).fill(headings[run]!));
  return [change.map((d, k) => d * Math.cos(runs[k]!)), change.map((d, k) => d * Math.sin(runs[k]!))];
}

function difference(a: Float64Array, b: Float64Array): Float64Array {
  return a.map((x, k) => x - b[k]!);
}
