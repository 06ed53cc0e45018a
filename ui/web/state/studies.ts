/** The studies of the page: one place each for a result, all on the same pool of workers. */
import type { RulesResult } from '../../../sim/index.ts';
import type { Runner } from '../../../workers/protocol.ts';
import type { Study } from './study.ts';
import { createStudy } from './study.ts';

export interface Studies {
  readonly rules: Study<RulesResult>;
}

/** `pool` is made when the first study starts. */
export function createStudies(pool: () => Runner, now: () => number): Studies {
  return { rules: createStudy('rules', pool, now) };
}
