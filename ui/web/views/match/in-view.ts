/** Whether a match is of what is in view: the ground it is driven on, and what has changed in the project since. Pure. */
import type { Project } from '../../../../sim/index.ts';
import { holdsEdits, withEdits } from '../../../../sim/index.ts';
import { groundsOf } from '../../state/choice.ts';
import type { ProjectDocument } from '../../state/document.ts';
import type { ShownMatch } from '../../state/log-match.ts';
import { patchBetween } from '../../state/patch.ts';

/** The ground of a match: the one named, or else that of the straight-line runs; always one the kart's tyres know. */
export function drivenOnOf(
  named: string | undefined,
  ground: string,
  kart: string,
  project: Project,
): string {
  const known = groundsOf(kart, project);
  return [named, ground].find((id) => id !== undefined && known.includes(id)) ?? known[0] ?? ground;
}

/** Does the document say anything else than when it was matched, but for what was taken over from that match itself? */
export function hasChangedSince(
  { against, taken = {} }: Pick<ShownMatch, 'against' | 'taken'>,
  document: ProjectDocument,
): boolean {
  if (against === undefined) return false;
  const without = Object.values(taken)
    .toReversed()
    .filter((edits) => holdsEdits(document, edits))
    .reduce<unknown>((file, edits) => withEdits(file, edits, 'before'), document);
  // In which units it is shown changes no answer, nor what it is called.
  return patchBetween(against.document, without).some(({ at }) => at[0] !== 'units' && at[0] !== 'name');
}
