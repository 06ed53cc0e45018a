/**
 * A drawn track as stations: position, heading, curvature, grade, bank, width, surface along the lap.
 *
 * In: a validated track and a station spacing. Out: a `CompiledTrack` of flat columns. Where curvature,
 * grade, surface or a speed limit jumps, two stations share one distance, one for each side, so that
 * no step of a run straddles a jump. Distances run along the road; curvature is stored so that
 * v^2 times it is the horizontal acceleration (cos^2 of the grade included).
 */
import { GROUND_STRIDE } from '../physics/grip/place.ts';
import type { Problem } from '../project/problem.ts';
import { problem, warning } from '../project/problem.ts';
import type { TrackSpec } from '../project/schema.ts';
import type { Centreline, GroundPoint } from './centreline.ts';
import { edgesOf, emptyGround, splineCentreline, stretchCentreline } from './centreline.ts';
import { lookOver } from './look-over.ts';
import { smoothPoints } from './smooth-points.ts';

export interface CompiledTrack {
  readonly name: string;
  readonly closed: boolean;
  /** Length along the road, m */
  readonly length: number;
  readonly count: number;
  /** s, m */
  readonly distance: Float64Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly height: Float64Array;
  /** rad, counter-clockwise from x */
  readonly heading: Float64Array;
  /** kappa, 1/m, left positive */
  readonly curvature: Float64Array;
  /** sine of the slope, uphill positive */
  readonly sinGrade: Float64Array;
  /** rad, left edge higher positive */
  readonly bank: Float64Array;
  readonly width: Float64Array;
  /** From the line to the edges, m */
  readonly left: Float64Array;
  readonly right: Float64Array;
  /** Index into `surfaces` */
  readonly surface: Uint8Array;
  /** m/s, Infinity where free */
  readonly speedLimit: Float64Array;
  readonly surfaces: readonly string[];
  /** Side force and load per mass: lateralV v^2 + lateralG g, normalV v^2 + normalG g */
  readonly lateralV: Float64Array;
  readonly lateralG: Float64Array;
  readonly normalV: Float64Array;
  readonly normalG: Float64Array;
  /** The four and the sine of the slope side by side, five numbers a station, for the passes of a lap */
  readonly ground: Float64Array;
  /** Distance from each station to the next, m; 0 where the ground jumps and at the end */
  readonly step: Float64Array;
  readonly startSpeed: number;
  /** Smallest radius, m, and where */
  readonly tightest: { readonly radius: number; readonly distance: number };
  readonly narrowest: { readonly width: number; readonly distance: number };
  /** Distance between the two ends of a closed track's curve, m, and their headings, rad */
  readonly closure: { readonly gap: number; readonly turn: number };
}

/** Default spacing, m: within a millisecond of the converged lap on the demo tracks (npm run bench). */
export const DEFAULT_SPACING = 0.2;
/** More stations than this are refused: a 40 km track at the default spacing. */
export const MAX_STATIONS = 200_000;
/** A closed track made of stretches may miss its start by this share of its length before it is refused. */
const CLOSURE_SHARE = 0.002;
const CLOSURE_ANGLE = 0.02;

export function compileTrack(
  spec: TrackSpec,
  path: string,
  spacing = DEFAULT_SPACING,
): { track?: CompiledTrack; problems: readonly Problem[] } {
  if (!(spacing > 0)) throw new Error(`compileTrack: spacing must be positive, got ${spacing}`);
  const { survey, problems } = surveyTrack(spec, path);
  if (survey === undefined) return { problems };
  const { line } = survey;
  if (line.length / spacing > MAX_STATIONS) {
    return {
      problems: [
        ...problems,
        problem('too-long', path, 'the track needs more stations than can be computed', {
          value: `${Math.round(line.length)} m`,
          limit: `${Math.floor(MAX_STATIONS * spacing)} m at a spacing of ${spacing} m`,
          remedy: 'check the unit of the coordinates, or ask for a wider spacing',
        }),
      ],
    };
  }
  const track = sample(survey, spacing);
  return { track, problems: [...problems, ...lookOver(track, path)] };
}

/** A drawn track as a curve, with what lies along it: what stations are laid on. */
export interface Survey {
  readonly spec: TrackSpec;
  readonly line: Centreline;
  /** Distances at which something jumps, both ends included */
  readonly breaks: readonly number[];
  readonly closure: { readonly gap: number; readonly turn: number };
}

export function surveyTrack(
  spec: TrackSpec,
  path: string,
): { survey?: Survey; problems: readonly Problem[] } {
  const problems: Problem[] = [];
  const line = makeLine(spec, path, problems);
  if (line === undefined) return { problems };
  if (!(line.length > 0) || !Number.isFinite(line.length)) {
    problems.push(
      problem('no-length', path, 'the track has no length', { remedy: 'give it points that differ' }),
    );
    return { problems };
  }
  for (const [i, section] of spec.sections.entries()) {
    if (section.to > line.length * 1.0001 || section.from >= section.to) {
      problems.push(
        problem('bad-section', `${path}.sections[${i}]`, 'the section does not lie on the track', {
          value: `${section.from} to ${section.to} m`,
          limit: `0 to ${line.length.toFixed(1)} m, from before to`,
          remedy: 'correct its ends',
        }),
      );
      return { problems };
    }
  }
  const closure = closureOf(line, spec.closed);
  if (spec.closed && (closure.gap > CLOSURE_SHARE * line.length || Math.abs(closure.turn) > CLOSURE_ANGLE)) {
    problems.push(
      problem('not-closed', path, 'a closed track must come back to its start in place and direction', {
        value: `gap ${closure.gap.toFixed(2)} m, direction off by ${((closure.turn * 180) / Math.PI).toFixed(1)}°`,
        limit: `${(CLOSURE_SHARE * line.length).toFixed(2)} m and ${((CLOSURE_ANGLE * 180) / Math.PI).toFixed(1)}°`,
        remedy: 'adjust the stretches, or mark the track as open',
      }),
    );
    return { problems };
  }
  if (spec.closed && closure.gap > 1e-6 * line.length) {
    problems.push(
      warning(
        'loose-end',
        path,
        `the closed track misses its start by ${closure.gap.toFixed(2)} m; the gap is ignored`,
      ),
    );
  }
  return { survey: { spec, line, breaks: mergeBreaks(line, spec), closure }, problems };
}

/** What lies at distance s; the sections that hold are those round `middle`, a place in the same cell. */
export function groundAt(survey: Survey, s: number, side: 'before' | 'after', middle: number): GroundPoint {
  return { ...survey.line.at(s, side), ...sectionsAt(survey.spec, middle) };
}

function makeLine(spec: TrackSpec, path: string, problems: Problem[]): Centreline | undefined {
  if (spec.stretches !== undefined && spec.points === undefined)
    return stretchCentreline(spec.stretches, spec);
  if (spec.points === undefined) {
    problems.push(
      problem('no-geometry', path, 'the track has neither points nor stretches', {
        remedy: 'give it one of the two',
      }),
    );
    return undefined;
  }
  const drawn = smoothed(spec, path, problems);
  const distinct = drawn.filter((p, i, all) => {
    const before = i > 0 ? all[i - 1]! : undefined;
    return before === undefined || Math.hypot(p.x - before.x, p.y - before.y) > 1e-6;
  });
  const first = distinct[0]!;
  const last = distinct.at(-1)!;
  if (spec.closed && distinct.length > 1 && Math.hypot(first.x - last.x, first.y - last.y) <= 1e-6)
    distinct.pop();
  const needed = spec.closed ? 3 : 2;
  if (distinct.length < needed) {
    problems.push(
      problem(
        'too-few-points',
        `${path}.points`,
        `${spec.closed ? 'a closed track' : 'a course'} needs ${needed} or more different points`,
        {
          value: String(distinct.length),
          remedy: 'add points along the line driven',
        },
      ),
    );
    return undefined;
  }
  return splineCentreline(distinct, spec);
}

/** The points as they are used: as drawn, or smoothed within the tolerance the track states. */
function smoothed(spec: TrackSpec, path: string, problems: Problem[]): NonNullable<TrackSpec['points']> {
  const points = spec.points!;
  if (spec.smooth === undefined || points.length < 5) return points;
  const smooth = smoothPoints(points, spec.closed, spec.smooth);
  problems.push(
    warning('smoothed', `${path}.points`, 'the drawn points were smoothed before the curve was laid', {
      value: `moved ${smooth.mean.toFixed(2)} m on average, point ${smooth.farthest} most: ${smooth.most.toFixed(2)} m`,
      limit: `${spec.smooth} m at most`,
      remedy: 'remove `smooth` to drive the points as they are',
    }),
  );
  return points.map((p, i) => ({ ...p, x: smooth.x[i]!, y: smooth.y[i]! }));
}

function closureOf(line: Centreline, closed: boolean): { gap: number; turn: number } {
  if (!closed) return { gap: 0, turn: 0 };
  const start = line.at(0, 'after');
  const end = line.at(line.length, 'before');
  const turn = end.heading - start.heading;
  return {
    gap: Math.hypot(end.x - start.x, end.y - start.y),
    turn: turn - 2 * Math.PI * Math.round(turn / (2 * Math.PI)),
  };
}

function sample({ spec, line, breaks, closure }: Survey, spacing: number): CompiledTrack {
  const cells: number[][] = [];
  let count = 0;
  for (let i = 0; i + 1 < breaks.length; i++) {
    const stations = stationsBetween(breaks[i]!, breaks[i + 1]!, line.knots, spacing);
    cells.push(stations);
    count += stations.length;
  }
  const column = () => new Float64Array(count);
  const surfaces: string[] = [];
  const track = {
    distance: column(),
    x: column(),
    y: column(),
    height: column(),
    heading: column(),
    curvature: column(),
    sinGrade: column(),
    bank: column(),
    width: column(),
    left: column(),
    right: column(),
    surface: new Uint8Array(count),
    speedLimit: column(),
    lateralV: column(),
    lateralG: column(),
    normalV: column(),
    normalG: column(),
    ground: new Float64Array(GROUND_STRIDE * count),
    step: column(),
  };
  let i = 0;
  let tightest = { radius: Number.POSITIVE_INFINITY, distance: 0 };
  let narrowest = { width: Number.POSITIVE_INFINITY, distance: 0 };
  const ground = emptyGround();
  for (const stations of cells) {
    const laid = sectionsAt(spec, (stations[0]! + stations.at(-1)!) / 2);
    for (let step = 0; step < stations.length; step++) {
      const s = stations[step]!;
      line.at(s, step === stations.length - 1 ? 'before' : 'after', ground);
      if (laid !== undefined) Object.assign(ground, laid);
      const cos = 1 / Math.sqrt(1 + ground.grade * ground.grade);
      const sin = ground.grade * cos;
      const kappa = ground.planCurvature * cos * cos;
      const sinBank = ground.bank === 0 ? 0 : Math.sin(ground.bank);
      const cosBank = ground.bank === 0 ? 1 : Math.cos(ground.bank);
      track.distance[i] = s;
      track.x[i] = ground.x;
      track.y[i] = ground.y;
      track.height[i] = ground.height;
      track.heading[i] = ground.heading;
      track.curvature[i] = kappa;
      track.sinGrade[i] = sin;
      track.bank[i] = ground.bank;
      track.left[i] = ground.left;
      track.right[i] = ground.right;
      const width = ground.left + ground.right;
      track.width[i] = width;
      track.surface[i] = indexOf(surfaces, ground.surface);
      track.speedLimit[i] = ground.speedLimit;
      track.lateralV[i] = kappa * cosBank + ground.verticalCurvature * sinBank;
      track.lateralG[i] = cos * sinBank;
      track.normalV[i] = ground.verticalCurvature * cosBank - kappa * sinBank;
      track.normalG[i] = cos * cosBank;
      const g = GROUND_STRIDE * i;
      track.ground[g] = track.lateralV[i]!;
      track.ground[g + 1] = track.lateralG[i]!;
      track.ground[g + 2] = track.normalV[i]!;
      track.ground[g + 3] = track.normalG[i]!;
      track.ground[g + 4] = sin;
      if (i > 0) track.step[i - 1] = s - track.distance[i - 1]!;
      const radius =
        ground.planCurvature === 0 ? Number.POSITIVE_INFINITY : 1 / Math.abs(ground.planCurvature);
      if (radius < tightest.radius) tightest = { radius, distance: s };
      if (width < narrowest.width) narrowest = { width, distance: s };
      i++;
    }
  }
  return {
    name: spec.name,
    closed: spec.closed,
    length: line.length,
    count,
    ...track,
    surfaces,
    startSpeed: spec.startSpeed,
    tightest,
    narrowest,
    closure,
  };
}

/** Stations from one break to the next, evenly spaced between knots and on every knot. */
function stationsBetween(from: number, to: number, knots: readonly number[], spacing: number): number[] {
  const apart = 0.1 * spacing;
  const ends = [from, ...knots.filter((k) => k > from + apart && k < to - apart), to];
  const stations = [from];
  for (let i = 0; i + 1 < ends.length; i++) {
    const a = ends[i]!;
    const b = ends[i + 1]!;
    const steps = Math.max(ends.length === 2 ? 2 : 1, Math.ceil((b - a) / spacing - 1e-9));
    for (let step = 1; step <= steps; step++)
      stations.push(step === steps ? b : a + ((b - a) * step) / steps);
  }
  return stations;
}

/** All distances at which something jumps, the ends included, rising and apart. */
function mergeBreaks(line: Centreline, spec: TrackSpec): number[] {
  const all = [
    0,
    line.length,
    ...line.breaks,
    ...spec.sections.flatMap((s) => [s.from, Math.min(s.to, line.length)]),
  ].sort((p, q) => p - q);
  const apart = 1e-6 * Math.max(1, line.length);
  const kept: number[] = [];
  for (const s of all) if (kept.length === 0 || s - kept.at(-1)! > apart) kept.push(s);
  if (kept.length > 1) kept[kept.length - 1] = line.length;
  return kept;
}

/** What the sections that cover the cell round `middle` lay over the ground there, the last on top; often nothing. */
export function sectionsAt({ sections }: TrackSpec, middle: number): Partial<GroundPoint> | undefined {
  let laid: Partial<GroundPoint> | undefined;
  for (const section of sections) {
    if (middle < section.from || middle > section.to) continue;
    laid = {
      ...laid,
      ...(section.surface === undefined ? {} : { surface: section.surface }),
      ...edgesOf(section),
      ...(section.bank === undefined ? {} : { bank: section.bank }),
      ...(section.grade === undefined ? {} : { grade: section.grade, verticalCurvature: 0 }),
      ...(section.speedLimit === undefined ? {} : { speedLimit: section.speedLimit }),
    };
  }
  return laid;
}

function indexOf(surfaces: string[], id: string): number {
  const found = surfaces.indexOf(id);
  return found >= 0 ? found : surfaces.push(id) - 1;
}
