/**
 * Which inputs a kart, a track and a day draw on: everything else cannot move the answer.
 *
 * In: the reader's notes, what is asked, the project. Out: paths and notes in use. Pure.
 */
import type { InputNote } from '../project/origins.ts';
import type { Project } from '../project/schema.ts';
import type { RunRequest } from '../run/perform.ts';

interface Drawn {
  readonly kart: string;
  readonly day: string;
  readonly track?: string;
}

/** Places in the file that a kart, a track and a day draw on. */
export function pathsInUse({ kart: id, day, track }: Drawn, project: Project): string[] {
  const kart = project.karts[id];
  if (kart === undefined) return [];
  return [
    `karts.${id}`,
    `chassis.${kart.chassis}`,
    `donors.${kart.donor}`,
    `brakes.${kart.brakes}`,
    `tyres.${kart.tyres.front}`,
    `tyres.${kart.tyres.rear}`,
    ...(track === undefined ? [] : [`tracks.${track}`]),
    `days.${day}`,
  ];
}

export function isInUse(path: string, inUse: readonly string[]): boolean {
  return inUse.some(
    (place) => path === place || path.startsWith(`${place}.`) || path.startsWith(`${place}[`),
  );
}

/** Notes of the inputs that can move a run; grip figures of other surfaces and the drawn course itself left out. */
export function inputsInUse(notes: readonly InputNote[], of: RunRequest, project: Project): InputNote[] {
  const inUse = pathsInUse(of, project);
  const surfaces = 'track' in of ? surfacesOf(of.track, project) : 'surface' in of ? [of.surface] : [];
  return notes.filter((note) => {
    if (!isInUse(note.path, inUse) || isCourse(note.path)) return false;
    const grip = /^(?:tyres\.[^.]+|days\.[^.]+)\.grip\.([^.]+)/.exec(note.path);
    return grip === null || surfaces.includes(grip[1]!);
  });
}

/** A point or stretch of a track: where it runs, not how sure its grip is. */
export function isCourse(path: string): boolean {
  return /^tracks\.[^.]+\.(points|stretches|sections)\[/.test(path);
}

function surfacesOf(id: string, project: Project): string[] {
  const track = project.tracks[id];
  if (track === undefined) return [];
  const laid = [...(track.points ?? []), ...(track.stretches ?? []), ...track.sections];
  return [...new Set([track.surface, ...laid.flatMap((part) => part.surface ?? [])])];
}
