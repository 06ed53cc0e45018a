/**
 * Edits of whole parts of the project: duplicate, add from elsewhere, delete; and who uses a part.
 *
 * In: kind and id. Out: named commands, and the id a copy gets. Pure.
 */
import type { Project } from '../../../sim/index.ts';
import type { ProjectDocument } from './document.ts';
import { withoutValue, withValue, written } from './document.ts';
import type { Command } from './history.ts';

export const PART_KINDS = [
  'days',
  'surfaces',
  'tyres',
  'donors',
  'chassis',
  'brakes',
  'karts',
  'tracks',
] as const;
export type PartKind = (typeof PART_KINDS)[number];

export interface Added {
  readonly id: string;
  readonly command: Command;
}

export function duplicatePart(document: ProjectDocument, kind: PartKind, id: string, name: string): Added {
  const part = written(document, [kind, id]);
  if (typeof part !== 'object' || part === null)
    throw new Error(`duplicatePart: there is no ${kind} '${id}'`);
  return addPart(document, kind, id, { ...structuredClone(part), name: freeName(document, kind, name) });
}

/** Adds a part under an id of its own; `wanted` is taken as it is where it is free. */
export function addPart(document: ProjectDocument, kind: PartKind, wanted: string, part: object): Added {
  const id = freeId(document, kind, wanted);
  const name = 'name' in part ? String(part.name) : id;
  return { id, command: { label: `${name} added`, apply: (now) => withValue(now, [kind, id], part) } };
}

export function deletePart(kind: PartKind, id: string, name: string): Command {
  return { label: `${name} deleted`, apply: (document) => withoutValue(document, [kind, id]) };
}

/** Names of what would lose its part: karts by their parts, tyres and tracks by their surface. */
export function usersOf(project: Project, kind: PartKind, id: string): string[] {
  const karts = Object.values(project.karts);
  switch (kind) {
    case 'chassis':
      return karts.filter((kart) => kart.chassis === id).map(({ name }) => name);
    case 'donors':
      return karts.filter((kart) => kart.donor === id).map(({ name }) => name);
    case 'brakes':
      return karts.filter((kart) => kart.brakes === id).map(({ name }) => name);
    case 'tyres':
      return karts.filter(({ tyres }) => tyres.front === id || tyres.rear === id).map(({ name }) => name);
    case 'surfaces':
      return [
        ...Object.values(project.tyres).filter(({ grip }) => Object.hasOwn(grip, id)),
        ...Object.values(project.tracks).filter((track) =>
          [track, ...(track.points ?? []), ...(track.stretches ?? []), ...track.sections].some(
            (part) => part.surface === id,
          ),
        ),
      ].map(({ name }) => name);
    default:
      return [];
  }
}

function freeId(document: ProjectDocument, kind: PartKind, wanted: string): string {
  const base = wanted.replace(/-\d+$/, '').slice(0, 44) || 'part';
  if (written(document, [kind, wanted]) === undefined) return wanted;
  let n = 2;
  while (written(document, [kind, `${base}-${n}`]) !== undefined) n += 1;
  return `${base}-${n}`;
}

function freeName(document: ProjectDocument, kind: PartKind, name: string): string {
  const group = written(document, [kind]);
  const taken = new Set(
    typeof group === 'object' && group !== null
      ? Object.values(group).map((part) => String((part as { name?: unknown }).name))
      : [],
  );
  const base = name.replace(/ \(\d+\)$/, '');
  let n = 2;
  while (taken.has(`${base} (${n})`)) n += 1;
  return `${base} (${n})`;
}
