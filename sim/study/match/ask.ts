/** How a study that goes from answer to answer has its runs done: here, or by workers. */
import type { Project } from '../../project/schema.ts';
import type { Answer, RunRequest } from '../../run/perform.ts';

/** Has runs answered on a project, in order; undefined where there is no answer. */
export type Ask = (
  project: Project,
  requests: readonly RunRequest[],
) => Promise<readonly (Answer | undefined)[]>;
