/** Every request answered, the search for lines included: what the terminal, the tests and the evidence call. */
import type { Project } from '../project/schema.ts';
import { runLine } from './line/run-line.ts';
import type { Answer, AnswerTo, Request, Verb } from './perform.ts';
import { createPerformerWith, performWith } from './perform.ts';

/** Answers a request; never throws for anything a builder may enter. */
export function perform<V extends Verb>(
  project: Project,
  request: Extract<Request, { verb: V }>,
): AnswerTo<V>;
export function perform(project: Project, request: Request): Answer;
export function perform(project: Project, request: Request): Answer {
  return performWith(runLine, project, request);
}

/**
 * A `perform` that remembers the last tracks it compiled, for a caller that asks many laps of the same few: the same
 * answers to the last bit.
 */
export function createPerformer(): (project: Project, request: Request) => Answer {
  return createPerformerWith(runLine);
}
