/** Whether lines found are still of the project in view. Apart from the search: the page's first load does without it. */
import type { LineResult, Project } from '../../../sim/index.ts';
import { lineAge } from '../../../sim/index.ts';
import type { LineSubject } from './line-search.ts';

/** What is not as it was when the lines to be kept were found; undefined where they are of the project as it is. */
export function changedSince(
  project: Project,
  of: LineSubject,
  keep: LineResult['keep'],
): string | undefined {
  const [line] = keep;
  if (line === undefined) return undefined;
  const age = lineAge(project, of, line);
  if (age === undefined) return 'the kart or the day';
  if (age.state === 'fresh') return undefined;
  return age.changes.some(({ what }) => what === 'track as drawn') ? 'the course' : 'the kart or the day';
}
