/**
 * In what two answers differ: the inputs in use that are not the same, by the part they belong to. Pure.
 *
 * In: project, notes and choice of each. Out: one line per difference, first the parts exchanged whole ("donor: Four
 * for Single"), then single values of parts both share. Parts exchanged whole are not listed value by value.
 */
import type { InputNote, Project } from '../../../sim/index.ts';
import { quantity } from '../../../sim/index.ts';
import { inShown } from '../forms/quantity-text.ts';
import type { Choice } from '../state/choice.ts';
import { groundOf } from '../state/choice.ts';
import { fieldWords } from './field-words.ts';

export interface Made {
  readonly project: Project;
  readonly notes: readonly InputNote[];
  readonly choice: Choice;
}

export interface Difference {
  readonly words: string;
  readonly from: string;
  readonly to: string;
}

export function differences(from: Made, to: Made): Difference[] {
  const before = partsOf(from);
  const after = partsOf(to);
  const found: Difference[] = [];
  for (const [role, part] of Object.entries(after)) {
    const old = before[role];
    if (old === undefined || old.path === part.path) continue;
    found.push({ words: role, from: old.name, to: part.name });
  }
  const same = Object.entries(after).filter(([role, part]) => before[role]?.path === part.path);
  for (const [role, part] of same) {
    const olds = notesUnder(from.notes, part.path);
    const news = notesUnder(to.notes, part.path);
    for (const path of new Set([...olds.keys(), ...news.keys()])) {
      const [old, now] = [olds.get(path), news.get(path)];
      if (old?.value === now?.value) continue;
      const name = (now ?? old)!.quantity;
      const words = fieldWords(path, to.project) ?? path;
      found.push({
        words: role === 'kart' ? words : `${part.name}: ${words}`,
        from: old === undefined ? 'not given' : valueText(old.value, name, from.project),
        to: now === undefined ? 'not given' : valueText(now.value, name, to.project),
      });
    }
    if (found.length === 0 && restDiffers(from.project, to.project, part.path))
      found.push({ words: `${part.name}: a setting that is no number`, from: '', to: 'changed' });
  }
  if (from.choice.stopFrom !== to.choice.stopFrom)
    found.push({
      words: 'stop from',
      from: valueText(from.choice.stopFrom, 'speed', from.project),
      to: valueText(to.choice.stopFrom, 'speed', to.project),
    });
  return found;
}

/** A value in the unit the project shows its kind in. */
export function valueText(value: number, name: InputNote['quantity'], project: Project): string {
  const row = quantity(name);
  return inShown(value, name, project.units[row.dimension] ?? row.shown);
}

interface Part {
  readonly path: string;
  readonly name: string;
}

function partsOf({ project, choice }: Made): Record<string, Part> {
  const kart = project.karts[choice.kart];
  if (kart === undefined) return {};
  const part = (
    kind: 'karts' | 'chassis' | 'donors' | 'brakes' | 'tyres' | 'tracks' | 'days' | 'surfaces',
    id: string,
  ): Part => ({ path: `${kind}.${id}`, name: project[kind][id]?.name ?? id });
  return {
    kart: part('karts', choice.kart),
    chassis: part('chassis', kart.chassis),
    donor: part('donors', kart.donor),
    brakes: part('brakes', kart.brakes),
    'front tyres': part('tyres', kart.tyres.front),
    'rear tyres': part('tyres', kart.tyres.rear),
    track: part('tracks', choice.track),
    day: part('days', choice.day),
    ground: part('surfaces', groundOf(choice, project)),
  };
}

function notesUnder(notes: readonly InputNote[], path: string): Map<string, InputNote> {
  return new Map(notes.filter((n) => n.path.startsWith(`${path}.`)).map((n) => [n.path, n]));
}

function restDiffers(from: Project, to: Project, path: string): boolean {
  const [kind, id] = path.split('.') as [keyof Project, string];
  const entry = (project: Project): unknown => (project[kind] as Record<string, unknown> | undefined)?.[id];
  return JSON.stringify(entry(from)) !== JSON.stringify(entry(to));
}
