/** References between the entries of a project, and the ids they may name. */
import { didYouMean, someOf } from '../nearest.ts';
import type { Problem } from '../problem.ts';
import { problem, warning } from '../problem.ts';
import type { Project } from '../schema.ts';

/** Collections of a project file whose entries have ids. */
export const COLLECTIONS = [
  'days',
  'surfaces',
  'tyres',
  'donors',
  'chassis',
  'brakes',
  'karts',
  'tracks',
] as const;
export type Collection = (typeof COLLECTIONS)[number];

/** The ids in a file, also those of entries that could not be read. */
export type Ids = Readonly<Record<Collection, readonly string[]>>;

const ONE: Readonly<Record<Collection, string>> = {
  days: 'day',
  surfaces: 'surface',
  tyres: 'tyre',
  donors: 'donor',
  chassis: 'chassis',
  brakes: 'set of brakes',
  karts: 'kart',
  tracks: 'track',
};

export function checkReferences(project: Project, ids: Ids): Problem[] {
  const problems: Problem[] = [];
  const check = (kind: Collection, id: string | undefined, path: string, blocking = true): void => {
    if (id === undefined || ids[kind].includes(id)) return;
    const report = blocking ? problem : warning;
    problems.push(
      report('missing-reference', path, `names a ${ONE[kind]} that is not in the file`, {
        value: id,
        limit: `there is: ${someOf(ids[kind])}`,
        remedy: didYouMean(id, ids[kind], `add it under ${kind}, or name one that is there`),
      }),
    );
  };
  for (const [id, kart] of Object.entries(project.karts)) {
    const path = `karts.${id}`;
    check('chassis', kart.chassis, `${path}.chassis`);
    check('donors', kart.donor, `${path}.donor`);
    check('brakes', kart.brakes, `${path}.brakes`);
    check('tyres', kart.tyres.front, `${path}.tyres.front`);
    check('tyres', kart.tyres.rear, `${path}.tyres.rear`);
  }
  for (const [id, track] of Object.entries(project.tracks)) {
    const path = `tracks.${id}`;
    check('surfaces', track.surface, `${path}.surface`);
    for (const part of ['points', 'stretches', 'sections'] as const) {
      track[part]?.forEach(
        (piece, i) => void check('surfaces', piece.surface, `${path}.${part}[${i}].surface`),
      );
    }
  }
  // Grip for a surface nobody drives on does no harm: a warning.
  for (const [id, tyre] of Object.entries(project.tyres)) {
    for (const surface of Object.keys(tyre.grip))
      check('surfaces', surface, `tyres.${id}.grip.${surface}`, false);
  }
  for (const [id, day] of Object.entries(project.days)) {
    for (const surface of Object.keys(day.grip))
      check('surfaces', surface, `days.${id}.grip.${surface}`, false);
  }
  return problems;
}
