/**
 * In what two answers differ: the inputs in use that are not the same, by the part they belong to. Pure.
 *
 * In: project, notes and choice of each. Out: one line per difference, the shortest first: parts exchanged whole ("donor: Four
 * for Single"), single values of parts both share, and where the karts differ what is set on each (sprockets, ballast,
 * driver). Other parts exchanged whole are not listed value by value.
 */
import type { InputNote, Project } from '../../../sim/index.ts';
import { keptLineOf, quantity } from '../../../sim/index.ts';
import { inShown } from '../forms/quantity-text.ts';
import type { Choice } from '../state/choice.ts';
import { groundOf, lineOf } from '../state/choice.ts';
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
  const sprockets = bothTeeth(from, to);
  if (sprockets !== undefined) found.push(sprockets);
  for (const [role, part] of Object.entries(after)) {
    const old = before[role];
    const isSame = old?.path === part.path;
    // A kart is what its parts are put together to: another one still has its own sprockets, ballast and driver.
    if (old === undefined || !(isSame || role === 'kart')) continue;
    const olds = notesUnder(from.notes, old.path);
    const news = notesUnder(to.notes, part.path);
    for (const field of new Set([...olds.keys(), ...news.keys()])) {
      const [was, now] = [olds.get(field), news.get(field)];
      if (was?.value === now?.value || (sprockets !== undefined && field.startsWith('sprockets.'))) continue;
      const name = (now ?? was)!.quantity;
      const path = `${part.path}.${field}`;
      const words = fieldWords(path, to.project) ?? path;
      found.push({
        words: role === 'kart' ? words : `${part.name}: ${words}`,
        from: was === undefined ? 'not given' : valueText(was.value, name, from.project),
        to: now === undefined ? 'not given' : valueText(now.value, name, to.project),
      });
    }
    if (isSame && found.length === 0 && restDiffers(from.project, to.project, part.path))
      found.push({ words: `${part.name}: a setting that is no number`, from: '', to: 'changed' });
  }
  if (from.choice.stopFrom !== to.choice.stopFrom)
    found.push({
      words: 'stop from',
      from: valueText(from.choice.stopFrom, 'speed', from.project),
      to: valueText(to.choice.stopFrom, 'speed', to.project),
    });
  const line = lineDiffers(from, to);
  if (line !== undefined) found.push(line);
  return found.sort((a, b) => lengthOf(a) - lengthOf(b));
}

function lengthOf({ words, from, to }: Difference): number {
  return words.length + from.length + to.length;
}

/** The line the lap is driven on: another kind, or another one of the same kind kept with the same course. */
function lineDiffers(from: Made, to: Made): Difference | undefined {
  const [was, now] = [lineOf(from.choice, from.project), lineOf(to.choice, to.project)];
  if (was !== now) return { words: 'line', from: was, to: now };
  // Another kart has a line of its own.
  if (from.choice.track !== to.choice.track || from.choice.kart !== to.choice.kart) return undefined;
  const [old, kept] = [from, to].map(({ project, choice }) => {
    const track = project.tracks[choice.track];
    const { distance, offset } = (track && keptLineOf(track, now, choice)) ?? {};
    return JSON.stringify([distance, offset]);
  });
  return old === kept ? undefined : { words: `${now} line`, from: '', to: 'another one kept with the track' };
}

/** Of two karts both sprockets in one line, as builders say them: 14/49. */
function bothTeeth(from: Made, to: Made): Difference | undefined {
  if (from.choice.kart === to.choice.kart) return undefined;
  const [old, now] = [from, to].map(({ project, choice }) => {
    const pair = project.karts[choice.kart]?.sprockets;
    return pair === undefined ? undefined : `${pair.front}/${pair.rear}`;
  });
  return old === now || old === undefined || now === undefined
    ? undefined
    : { words: 'sprockets', from: old, to: now };
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

/** By what follows the part's own path, so that those of two karts are found beside each other. */
function notesUnder(notes: readonly InputNote[], path: string): Map<string, InputNote> {
  const under = `${path}.`;
  return new Map(notes.filter((n) => n.path.startsWith(under)).map((n) => [n.path.slice(under.length), n]));
}

function restDiffers(from: Project, to: Project, path: string): boolean {
  const [kind, id] = path.split('.') as [keyof Project, string];
  const entry = (project: Project): unknown => {
    const whole = (project[kind] as Record<string, unknown> | undefined)?.[id];
    // Lines merely kept with a track change no answer; the one that is driven is looked at by itself.
    return kind === 'tracks' && typeof whole === 'object' ? { ...whole, lines: undefined } : whole;
  };
  return JSON.stringify(entry(from)) !== JSON.stringify(entry(to));
}
