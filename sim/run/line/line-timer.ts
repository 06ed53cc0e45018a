/**
 * Drives lines of one track with one kart, and tells the time and everything a search asks of the lap.
 *
 * In: frame, stations, bounds, and how a track is driven. Out: a timer. Keeps nothing.
 */
import type { FrameStations, LineFrame } from '../../compile/line-frame.ts';
import type { LineShape, LineTrack } from '../../compile/line-track.ts';
import { lineTrack } from '../../compile/line-track.ts';
import type { LapProblem } from '../lap/lap-problem.ts';
import type { LapSolution, LapStart } from '../lap-solver.ts';
import type { Bounds } from './bounds.ts';
import { type NodeSplines, nodeSplines } from './shape-slopes.ts';

/** A line driven: its lap, and the time by which it is judged (Infinity where it cannot be driven). */
export interface DrivenLine {
  readonly time: number;
  readonly track: LineTrack;
  readonly shape: LineShape;
  readonly lap: LapProblem;
  readonly solution: LapSolution;
  readonly start: LapStart;
}

export interface Timer {
  readonly frame: LineFrame;
  readonly stations: FrameStations;
  readonly bounds: Bounds;
  readonly splines: NodeSplines;
  readonly drive: (offsets: ArrayLike<number>) => DrivenLine;
  /** Time with stations as close as the answer's: where a shift more or less decides, those of the search cannot tell */
  readonly judge?: (offsets: Float64Array) => number;
}

export function makeTimer(
  frame: LineFrame,
  stations: FrameStations,
  bounds: Bounds,
  lapOn: (track: LineTrack) => Omit<DrivenLine, 'track' | 'shape'>,
  judge?: (offsets: Float64Array) => number,
): Timer {
  return {
    frame,
    stations,
    bounds,
    splines: nodeSplines(stations),
    ...(judge === undefined ? {} : { judge }),
    drive(offsets) {
      const { track, shape } = lineTrack(stations, offsets);
      return { track, shape, ...lapOn(track) };
    },
  };
}
