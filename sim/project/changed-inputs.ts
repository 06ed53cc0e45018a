/**
 * A project with some of its inputs changed, for asking what one of them is worth.
 *
 * In: a project as read and changes by path, in SI. Out: a new project that shares everything else with the old one.
 * The path of a dyno sheet (`donors.four.torque.points`) scales all its figures together. Knows nothing of runs.
 */
import { readDragPoints, readPoints } from './points.ts';
import type { PointsSpec, Project } from './schema.ts';

export type InputValue = number | string | null | PointsSpec | Readonly<Record<string, number>>;

export interface InputChange {
  /** As in InputNote: `chassis.clodlet.mass`, `karts.x.ballast[0].mass`. */
  readonly path: string;
  /**
   * SI; for a dyno sheet the factor on its torques, or other points in its place; text for an id or a word; a small
   * group as a whole (`{front: 14, rear: 45}`); null leaves the entry out, as if the file did not say.
   */
  readonly value: InputValue;
}

/** Paths taken apart, kept by whoever changes the same inputs again and again. */
export type KnownPaths = Map<string, readonly string[]>;

/** Throws for a path the project does not have: paths come from the reader's own notes. */
export function withInputs(
  project: Project,
  changes: readonly InputChange[],
  known: KnownPaths = new Map(),
): Project {
  let changed: unknown = project;
  // What has been copied for one change is ours to write in for the next.
  const own = new Set<unknown>();
  for (const { path, value } of changes) {
    let keys = known.get(path);
    if (keys === undefined) {
      keys = keysOf(path);
      known.set(path, keys);
    }
    changed = replaced(changed, keys, 0, value, path, own);
  }
  return changed as Project;
}

function replaced(
  here: unknown,
  keys: readonly string[],
  at: number,
  value: InputValue,
  path: string,
  own: Set<unknown>,
): unknown {
  const key = keys[at];
  if (key === undefined)
    return isPoints(here) && typeof value === 'number' ? scaled(here, value, path) : value;
  // A quantity the file leaves out may be absent from the project too: it is then simply stated.
  if (typeof here !== 'object' || here === null) throw new Error(`withInputs: the project has no '${path}'`);
  const copy = (own.has(here) ? here : Array.isArray(here) ? [...here] : { ...here }) as Record<
    string,
    unknown
  >;
  own.add(copy);
  if (at === keys.length - 1 && value === null && !Array.isArray(here)) delete copy[key];
  else copy[key] = replaced(copy[key], keys, at + 1, value, path, own);
  return copy;
}

function isPoints(value: unknown): value is PointsSpec {
  return typeof value === 'object' && value !== null && 'columns' in value && 'rows' in value;
}

function scaled(spec: PointsSpec, factor: number, path: string): PointsSpec {
  const read = path.endsWith('.closedThrottle') ? readDragPoints : readPoints;
  const { points } = read(spec, path);
  if (points === undefined) throw new Error(`withInputs: the points at '${path}' cannot be read`);
  return {
    columns: ['rad/s', 'N·m'],
    rows: points.speed.map((speed, i): [number, number] => [speed, points.torque[i]! * factor]),
  };
}

/** `a.b[2].c` as keys; the reader's quoted keys (`days["My day"]`) too. */
function keysOf(path: string): string[] {
  if (!path.includes('[')) return path.split('.');
  return [...path.matchAll(/\["((?:[^"\\]|\\.)*)"\]|\[(\d+)\]|([^.[\]]+)/g)].map(
    ([, quoted, index, plain]) => quoted ?? index ?? plain ?? '',
  );
}
