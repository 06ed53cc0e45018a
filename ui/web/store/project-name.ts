/** Names of projects: giving one, and finding one that no other project has. */
import { withValue } from '../state/document.ts';
import type { Command, History } from '../state/history.ts';
import { applied, currentDocument } from '../state/history.ts';
import type { StoredEntry } from './records.ts';

export function nameOf(history: History): string {
  const name = currentDocument(history)['name'];
  return typeof name === 'string' && name.trim() !== '' ? name.slice(0, 120) : 'Project without a name';
}

/** A step that gives the project another name. */
export function setName(name: string): Command {
  return { label: `name "${name}"`, apply: (document) => withValue(document, ['name'], name.slice(0, 120)) };
}

/** What could be read of a damaged project, as one of its own. */
export function recovered(history: History, others: readonly StoredEntry[]): History {
  return renamed(history, (name) => `${name}, recovered`, others);
}

/** The history with one more step: a name that no other project of the list has. */
export function renamed(
  history: History,
  name: (old: string) => string,
  others: readonly StoredEntry[],
): History {
  return applied(history, setName(freeName(name(nameOf(history)), others)));
}

export function freeName(wanted: string, others: readonly StoredEntry[]): string {
  const taken = new Set(others.map(({ head }) => head?.name));
  let name = wanted.slice(0, 110);
  for (let n = 2; taken.has(name); n++) name = `${wanted.slice(0, 110)} ${n}`;
  return name;
}
