/**
 * What every run returns: a status from a finite set, problems, a result (partial where marked), counts.
 *
 * Results are plain data with typed-array columns, so that they cross to other threads as they are.
 */
import type { Problem } from '../project/problem.ts';

/** 'partial': a result is there but stops early; 'failed': the numbers failed; 'problems': nothing computed. */
export type RunStatus = 'done' | 'partial' | 'failed' | 'problems';

export interface Outcome<R> {
  readonly status: RunStatus;
  readonly problems: readonly Problem[];
  readonly result?: R;
  readonly diagnostics: Readonly<Record<string, number | string>>;
}

export function refused(problems: readonly Problem[]): Outcome<never> {
  return { status: 'problems', problems, diagnostics: {} };
}
