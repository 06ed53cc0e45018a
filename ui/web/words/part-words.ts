/** Two parts of a kind side by side: only the quantities in which they differ, each with its origin. Pure. */
import type { InputNote, PointsRead, PointsSpec, Project } from '../../../sim/index.ts';
import { readDragPoints, readPoints } from '../../../sim/index.ts';
import type { PlotTable } from '../plots/plot.ts';
import type { PartKind } from '../state/part-commands.ts';
import { valueText } from './differing-inputs.ts';
import { fieldWords } from './field-words.ts';
import { originWord } from './inputs-words.ts';
import { engineSpeed } from './numbers.ts';

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
  if (kind === 'donors') rows.push(...differingCurves(project, id, other));
  return {
    heads: ['differs in', project[kind][id]?.name ?? id, project[kind][other]?.name ?? other],
    rows: rows.length === 0 ? [['nothing that is a number', '', '']] : rows,
  };
}

/** Curves are no single number: each is said by its peak and how many points it has. */
function differingCurves(project: Project, id: string, other: string): string[][] {
  const [mine, theirs] = [project.donors[id], project.donors[other]];
  if (mine === undefined || theirs === undefined) return [];
  const row = (
    words: string,
    read: (spec: PointsSpec, path: string) => PointsRead,
    a: PointsSpec | undefined,
    b: PointsSpec | undefined,
  ): string[][] => {
    if (JSON.stringify(a) === JSON.stringify(b)) return [];
    const text = (spec: PointsSpec | undefined): string => {
      const points = spec === undefined ? undefined : read(spec, '').points;
      if (points === undefined) return 'not given';
      const peak = points.torque.indexOf(Math.max(...points.torque));
      return `${points.torque[peak]!.toFixed(1)} N·m at ${engineSpeed(points.speed[peak]!)}, ${points.speed.length} points`;
    };
    return [[words, text(a), text(b)]];
  };
  return [
    ...row('torque curve, most torque', readPoints, mine.torque.points, theirs.torque.points),
    ...row('closed-throttle drag, most', readDragPoints, mine.closedThrottle, theirs.closedThrottle),
  ];
}
