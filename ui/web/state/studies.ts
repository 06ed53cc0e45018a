/** The studies of the page: one place each for a result, all on the same pool of workers. */
import type {
  BalanceResult,
  DonorsResult,
  RulesResult,
  TeethResult,
  UnknownsResult,
} from '../../../sim/index.ts';
import type { Runner } from '../../../workers/protocol.ts';
import type { StudyOnPage } from './study.ts';
import { createStudy } from './study.ts';

export interface Studies {
  readonly teeth: StudyOnPage<TeethResult>;
  readonly donors: StudyOnPage<DonorsResult>;
  readonly balance: StudyOnPage<BalanceResult>;
  readonly unknowns: StudyOnPage<UnknownsResult>;
  readonly rules: StudyOnPage<RulesResult>;
}

/** `pool` is made when the first study starts. */
export function createStudies(pool: () => Runner, now: () => number): Studies {
  return {
    teeth: createStudy('teeth', pool, now),
    donors: createStudy('donors', pool, now),
    balance: createStudy('balance', pool, now),
    unknowns: createStudy('unknowns', pool, now),
    rules: createStudy('rules', pool, now),
  };
}
