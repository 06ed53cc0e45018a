/**
 * What depends on several fields of a project at once.
 *
 * In: a project whose every field is right by itself, the ids in its file, and the origins of its
 * numbers. Out: every problem and warning. Knows nothing of JSON or of the schema library.
 */
import { quantity } from '../quantities/table.ts';
import { DIMENSIONS, findUnit, fromSI, unitsOf } from '../quantities/units.ts';
import { checkDonor } from './consistency/donors.ts';
import { checkBrakes, checkChassis, checkKart, checkTyre } from './consistency/karts.ts';
import type { Ids } from './consistency/references.ts';
import { COLLECTIONS, checkReferences } from './consistency/references.ts';
import { checkKartsOnTracks, checkTrack } from './consistency/tracks.ts';
import { didYouMean, someOf } from './nearest.ts';
import type { InputNote } from './origins.ts';
import { outsideUsual } from './origins.ts';
import { childPath } from './paths.ts';
import type { Problem } from './problem.ts';
import { problem, warning } from './problem.ts';
import type { Project } from './schema.ts';

/**
 * Every problem of a project as a whole. `ids` may hold more than the project: entries with problems of their own.
 * `checks`: those of entries by themselves, where the caller keeps them from one state of a project to the next.
 */
export function checkConsistency(
  project: Project,
  ids: Ids = idsOf(project),
  notes: readonly InputNote[] = [],
  checks = entryChecks(),
): Problem[] {
  const each = <T>(
    kind: string,
    entries: Readonly<Record<string, T>>,
    check: (entry: T, path: string) => readonly Problem[],
  ) => Object.entries(entries).flatMap(([id, entry]) => check(entry, `${kind}.${id}`));
  return [
    ...each('tyres', project.tyres, checks.tyre),
    ...each('donors', project.donors, checks.donor),
    ...each('chassis', project.chassis, checks.chassis),
    ...each('brakes', project.brakes, checks.brakes),
    ...each('karts', project.karts, (kart, path) => checkKart(kart, path, project)),
    ...each('tracks', project.tracks, checks.track),
    ...checkReferences(project, ids),
    ...checkKartsOnTracks(project),
    ...checkSprockets(project),
    ...checkUnits(project.units),
    ...notes.flatMap((note) => checks.note(note, note.path)),
  ];
}

export type EntryChecks = ReturnType<typeof entryChecks>;

/** The checks of what stands by itself, with a memory of their own. */
export function entryChecks() {
  return {
    tyre: remembered(checkTyre),
    donor: remembered(checkDonor),
    chassis: remembered(checkChassis),
    brakes: remembered(checkBrakes),
    track: remembered(checkTrack),
    note: remembered(unusual),
  };
}

/**
 * A check of one entry by itself that remembers what it found: of a project that is edited most entries stay the same
 * objects. Nothing is written into an entry once it has been read.
 */
function remembered<T extends object>(
  check: (entry: T, path: string) => Problem[],
): (entry: T, path: string) => readonly Problem[] {
  const found = new WeakMap<T, { readonly path: string; readonly problems: readonly Problem[] }>();
  return (entry, path) => {
    const known = found.get(entry);
    if (known?.path === path) return known.problems;
    const problems = check(entry, path);
    found.set(entry, { path, problems });
    return problems;
  };
}

/** The ids of a project. */
export function idsOf(project: Project): Ids {
  return Object.fromEntries(COLLECTIONS.map((kind) => [kind, Object.keys(project[kind])])) as unknown as Ids;
}

function checkSprockets(project: Project): Problem[] {
  return (['front', 'rear'] as const).flatMap((end) => {
    const teeth = project.sprockets[end].map((s) => s.teeth);
    return teeth.flatMap((z, i) =>
      teeth.indexOf(z) === i
        ? []
        : [
            warning('duplicate', `sprockets.${end}[${i}]`, `${z} teeth are listed twice`, {
              remedy: 'remove one',
            }),
          ],
    );
  });
}

function checkUnits(units: Project['units']): Problem[] {
  return Object.entries(units).flatMap(([dimension, label]) => {
    const path = childPath('units', dimension);
    const known = DIMENSIONS.find((d) => d === dimension);
    if (known === undefined) {
      const remedy = didYouMean(dimension, DIMENSIONS, 'remove it');
      return [
        problem('unknown-key', path, 'is no dimension known here', { limit: someOf(DIMENSIONS, 30), remedy }),
      ];
    }
    if (findUnit(known, label) !== undefined) return [];
    const labels = unitsOf(known).map((unit) => unit.label);
    return [
      problem('unknown-unit', path, `is no unit of ${dimension}`, {
        value: label,
        limit: someOf(labels, 20),
      }),
    ];
  });
}

/** Warns of a possible value no real build of this kind has. */
function unusual(note: InputNote): Problem[] {
  const usual = outsideUsual(note);
  if (usual === undefined) return [];
  const row = quantity(note.quantity);
  const unit = findUnit(row.dimension, row.shown);
  if (unit === undefined) throw new Error(`unusual: '${row.shown}' is no unit of ${row.dimension}`);
  const shown = (x: number) => `${Number(fromSI(x, unit).toPrecision(4))} ${unit.label}`.trim();
  return [
    warning('unusual', note.path, `${row.label} is outside what karts of this kind have`, {
      value: shown(note.value),
      limit: `usually ${shown(usual[0])} to ${shown(usual[1])}`,
      remedy: 'check the value and its unit',
    }),
  ];
}
