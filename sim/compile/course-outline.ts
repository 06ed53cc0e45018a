/**
 * A drawn track as a picture needs it: where it runs, how wide it is and how it bends, in as few stations as show it.
 *
 * In: a validated track. Out: columns, or nothing where it makes no course. Quicker than a `CompiledTrack`, which a lap
 * needs: a hand that drags a point has the time of one frame.
 */
import type { TrackSpec } from '../project/schema.ts';
import { emptyGround } from './centreline.ts';
import { MAX_STATIONS, sectionsAt, surveyTrack } from './track.ts';

export interface CourseOutline {
  readonly closed: boolean;
  /** Along the road, m */
  readonly length: number;
  readonly count: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Of the plan view, 1/m, left positive */
  readonly curvature: Float64Array;
  /** From the line to the edges, m */
  readonly left: Float64Array;
  readonly right: Float64Array;
}

/** m a chord may leave its arc: half a pixel where a metre is as wide as a thumb. */
const CHORD_ERROR = 0.02;
/** m between stations at most, so that edges that come together or part are followed. */
const LONGEST = 4;
/** m: a kink is drawn as one. */
const SHORTEST = 0.25;

/**
 * Stations on every control point and on both sides of every jump, and between them as close as the bend there asks: the
 * chord of an arc of curvature k leaves it by c^2 k / 8. `path`: where the track stands in its project.
 */
export function outlineCourse(spec: TrackSpec, path: string): CourseOutline | undefined {
  const { survey } = surveyTrack(spec, path);
  if (survey === undefined || survey.line.length / LONGEST > MAX_STATIONS) return undefined;
  const { line, breaks } = survey;
  const ground = emptyGround();
  const bendAt = (s: number, side: 'before' | 'after'): number => {
    line.at(s, side, ground);
    return Math.abs(ground.planCurvature);
  };
  const places: number[] = [];
  const cellEnds: number[] = [];
  for (let cell = 0; cell + 1 < breaks.length; cell++) {
    const [from, to] = [breaks[cell]!, breaks[cell + 1]!];
    places.push(from);
    let a = from;
    for (const b of [...line.knots.filter((knot) => knot > from + APART && knot < to - APART), to]) {
      const bend = Math.max(bendAt(a, 'after'), bendAt((a + b) / 2, 'after'), bendAt(b, 'before'));
      const chord = Math.max(SHORTEST, Math.min(LONGEST, Math.sqrt((8 * CHORD_ERROR) / bend)));
      const parts = Math.ceil((b - a) / chord);
      for (let part = 1; part < parts; part++) places.push(a + ((b - a) * part) / parts);
      places.push(b);
      a = b;
    }
    cellEnds.push(places.length);
  }
  const column = () => new Float64Array(places.length);
  const outline = { x: column(), y: column(), curvature: column(), left: column(), right: column() };
  let i = 0;
  for (const end of cellEnds) {
    const laid = sectionsAt(spec, (places[i]! + places[end - 1]!) / 2);
    for (; i < end; i++) {
      line.at(places[i]!, i === end - 1 ? 'before' : 'after', ground);
      if (laid !== undefined) Object.assign(ground, laid);
      outline.x[i] = ground.x;
      outline.y[i] = ground.y;
      outline.curvature[i] = ground.planCurvature;
      outline.left[i] = ground.left;
      outline.right[i] = ground.right;
    }
  }
  return { closed: spec.closed, length: line.length, count: places.length, ...outline };
}

/** m: a control point nearer to a jump than this is drawn by the jump. */
const APART = 0.05;
