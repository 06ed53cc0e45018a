/** Edits of a drawn track as commands on the document. */
import type { CompiledTrack, Project } from '../../../sim/index.ts';
import { withoutValue, withValue, written } from '../state/document.ts';
import type { Command } from '../state/history.ts';
import type { DrawnPoint } from './drawn-points.ts';
import { writtenPoint } from './drawn-points.ts';
import { groundAt, writtenGround } from './laid-values.ts';
import { sampledPlaces } from './stretches-of.ts';

/** The step names its track, behind what was done: it may be undone while another is in view. */
export function setPoints(
  track: string,
  name: string,
  label: string,
  points: readonly DrawnPoint[],
): Command {
  return {
    label: `${label} (${name})`,
    apply: (document) => withValue(document, ['tracks', track, 'points'], points.map(writtenPoint)),
  };
}

/** Closes or opens the course; round a closed one nothing starts, so that its start speed goes. */
export function setClosed(
  track: string,
  name: string,
  closed: boolean,
  points: readonly DrawnPoint[],
): Command {
  return {
    label: `${closed ? 'course closed' : 'course opened'} (${name})`,
    apply(document) {
      const drawn = withValue(document, ['tracks', track, 'points'], points.map(writtenPoint));
      const now = withValue(drawn, ['tracks', track, 'closed'], closed);
      return closed && written(now, ['tracks', track, 'startSpeed']) !== undefined
        ? withoutValue(now, ['tracks', track, 'startSpeed'])
        : now;
    },
  };
}

/** A track of stretches as one of control points on the same line, with its heights, widths, banks and surfaces. */
export function stretchesToPoints(
  track: string,
  compiled: CompiledTrack,
  spec: Project['tracks'][string],
): Command {
  const places = sampledPlaces(compiled);
  const has = (values: Float64Array, otherThan: number): boolean =>
    values.some((value) => value !== otherThan);
  const half = spec.width / 2;
  const hasHeight = has(compiled.height, 0);
  const hasEdges = has(compiled.left, half) || has(compiled.right, half);
  const hasBank = has(compiled.bank, 0);
  let surface = spec.surface;
  const points = places.map(({ x, y, station }): DrawnPoint => {
    const here = compiled.surfaces[compiled.surface[station]!] ?? spec.surface;
    const ground = groundAt(compiled, station);
    const laid = {
      ...(hasHeight ? writtenGround('height', ground) : {}),
      ...(hasEdges ? writtenGround('edges', ground) : {}),
      ...(hasBank ? writtenGround('bank', ground) : {}),
      ...(here === surface ? {} : { surface: here }),
    };
    surface = here;
    return { x, y, laid };
  });
  return {
    label: 'stretches turned into points',
    apply(document) {
      const without = withoutValue(document, ['tracks', track, 'stretches']);
      return withValue(without, ['tracks', track, 'points'], points.map(writtenPoint));
    },
  };
}

/** What a new track is written as, from the places first tapped or drawn. */
export function newTrack(
  name: string,
  surface: string,
  points: readonly DrawnPoint[],
  closed: boolean,
): Record<string, unknown> {
  return { name, closed, surface, width: '6 m', points: points.map(writtenPoint) };
}
