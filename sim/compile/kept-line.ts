/**
 * The track as driven on a line: the drawn one, one kept in the file, or offsets given.
 *
 * In: a track as written and which line. Out: stations along that line, or problems: no such line kept, or a line that
 * was found for another shape of the track.
 */
import type { Problem } from '../project/problem.ts';
import { isBlocking, problem } from '../project/problem.ts';
import type { KeptLineSpec, TrackSpec } from '../project/schema.ts';
import { frameAt, frameStations } from './line-frame.ts';
import { lineTrack } from './line-track.ts';
import type { CompiledTrack } from './track.ts';
import { compileTrack, DEFAULT_SPACING, surveyTrack } from './track.ts';

export type LineKind = 'as drawn' | 'smoothest' | 'fastest';
export const LINE_KINDS: readonly LineKind[] = ['as drawn', 'smoothest', 'fastest'];

/** Offsets to the left of the drawn line, m, at distances along it, m. */
export interface LineOffsets {
  readonly distance: ArrayLike<number>;
  readonly offset: ArrayLike<number>;
}

export type LineChoice = LineKind | LineOffsets;

/** Distances of a line may miss the length of the track by this share before the track counts as changed. */
const LENGTH_SHARE = 1e-6;

/** The line of a kind kept for a kart and day; for another day, or another kart, where there is none. */
export function keptLineOf(
  spec: TrackSpec,
  kind: LineKind,
  who: { readonly kart: string; readonly day: string },
): KeptLineSpec | undefined {
  const lines = (spec.lines ?? []).filter((line) => line.kind === kind);
  return (
    lines.find((line) => line.kart === who.kart && line.day === who.day) ??
    lines.find((line) => line.kart === who.kart) ??
    lines[0]
  );
}

export function compileLine(
  spec: TrackSpec,
  path: string,
  spacing: number | undefined,
  choice: LineChoice,
  who: { readonly kart: string; readonly day: string },
): { track?: CompiledTrack; problems: readonly Problem[] } {
  if (choice === 'as drawn') return compileTrack(spec, path, spacing);
  const line = typeof choice === 'string' ? keptLineOf(spec, choice, who) : choice;
  if (line === undefined) {
    return {
      problems: [
        problem('no-line', `${path}.lines`, `no ${choice} line is kept with this track`, {
          remedy: 'find it first and keep it with the track, or drive the line as drawn',
        }),
      ],
    };
  }
  const { distance, offset } = line;
  // Nothing but zeros is the drawn line itself.
  if (Array.from(offset).every((n) => n === 0)) return compileTrack(spec, path, spacing);
  const { survey, problems } = surveyTrack(spec, path);
  if (survey === undefined || isBlocking(problems)) return { problems };
  const length = survey.line.length;
  const last = distance[distance.length - 1] ?? 0;
  const rises = Array.from(distance).every((s, i) => i === 0 || s > distance[i - 1]!);
  const nodes = spec.closed ? distance.length - 1 : distance.length;
  if (
    distance[0] !== 0 ||
    !rises ||
    offset.length !== distance.length ||
    nodes < 3 ||
    Math.abs(last - length) > LENGTH_SHARE * length
  ) {
    return {
      problems: [
        problem(
          'line-of-another-track',
          `${path}.lines`,
          'this line was found for another shape of the track',
          {
            value: `${last.toFixed(1)} m`,
            limit: `${length.toFixed(1)} m`,
            remedy: 'find the line again',
          },
        ),
      ],
    };
  }
  const at = Float64Array.from(distance);
  at[at.length - 1] = length;
  const stations = frameStations(frameAt(survey, at), spacing ?? DEFAULT_SPACING);
  return { track: lineTrack(stations, offset).track, problems };
}
