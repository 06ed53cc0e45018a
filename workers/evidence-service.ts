/**
 * The outside checks, one at a time, for a page that shows them as they come.
 *
 * In: the place of a check in the list. Out: its lines, compared. Runs in a worker of its own, so that the checks weigh
 * nothing on a page that does not show them. Each check takes some milliseconds; ending the worker stops them.
 */
import type { EvidenceLine } from '../sim/index.ts';
import { EVIDENCE, runEvidence } from '../sim/index.ts';

export interface EvidenceHead {
  readonly id: string;
  readonly title: string;
  readonly source: string;
  readonly status: string;
  readonly note?: string;
}

export interface EvidenceService {
  heads(): readonly EvidenceHead[];
  run(place: number): readonly EvidenceLine[];
}

export const evidenceService: EvidenceService = {
  heads: () =>
    EVIDENCE.map(({ id, title, source, status, note }) => ({
      id,
      title,
      source,
      status,
      ...(note === undefined ? {} : { note }),
    })),
  run(place) {
    const check = EVIDENCE[place];
    if (check === undefined) throw new RangeError(`evidenceService.run: there is no check ${place}`);
    return runEvidence([check]);
  },
};
