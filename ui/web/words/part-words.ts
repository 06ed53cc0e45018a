/** Two parts of a kind side by side: only the quantities in which they differ, each with its origin. Pure. */
import type { InputNote, Project } from '../../../sim/index.ts';
import type { PlotTable } from '../plots/plot.ts';
import type { PartKind } from '../state/part-commands.ts';
import { valueText } from './differing-inputs.ts';
import { fieldWords } from './field-words.ts';
import { originWord } from './inputs-words.ts';

export function comparedParts(
  notes: readonly InputNote[],
  project: Project,
  kind: PartKind,
  id: string,
  other: string,
): PlotTable {
  const under = (part: string): Map<string, InputNote> => {
    const start = `${kind}.${part}`;
    return new Map(
      notes.filter((note) => note.path.startsWith(`${start}.`)).map((n) => [n.path.slice(start.length), n]),
    );
  };
  const [mine, theirs] = [under(id), under(other)];
  const text = (note: InputNote | undefined): string =>
    note === undefined
      ? 'not given'
      : `${valueText(note.value, note.quantity, project)} (${originWord(note.origin)})`;
  const rows = [...new Set([...mine.keys(), ...theirs.keys()])]
    .filter((rest) => mine.get(rest)?.value !== theirs.get(rest)?.value)
    .map((rest) => [
      fieldWords(`${kind}.${id}${rest}`, project) ?? rest,
      text(mine.get(rest)),
      text(theirs.get(rest)),
    ]);
  return {
    heads: ['differs in', project[kind][id]?.name ?? id, project[kind][other]?.name ?? other],
    rows: rows.length === 0 ? [['nothing that is a number', '', '']] : rows,
  };
}
