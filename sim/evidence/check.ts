/**
 * The shape of an outside check: a project file, requests to the public path, and what a source says.
 *
 * Checks are data. Every value goes read -> compile -> run like a builder's own kart; nothing here calls
 * an inner formula. run.ts compares.
 */
import type { ProjectInput } from '../project/schema.ts';
import type { AnswerTo, Request, Verb } from '../run/perform.ts';

/**
 * verified: printed value seen in a readable copy; recomputed: worked out from the source's inputs or in
 * closed form; from memory: a printed value that was not seen; common practice: a fact of the trade, no source.
 */
export type EvidenceStatus = 'verified' | 'recomputed' | 'from memory' | 'common practice';

export interface EvidenceRow {
  readonly name: string;
  readonly unit: string;
  /** What the source says; null: reported, nothing to compare with. */
  readonly expected: number | null;
  /** equal within the tolerance; or a bound that must hold */
  readonly kind: 'equal' | 'at least' | 'at most' | 'report';
  /** Absolute, in the unit of the row */
  readonly tolerance: number;
  readonly why: string;
  readonly status?: EvidenceStatus;
  readonly project?: ProjectInput;
  /** Computes the value through the public path. */
  readonly compute: (ask: Ask) => number;
}

/** Asks the project of the row (or of its case) and returns the result; throws where there is none. */
export type Ask = <R extends Request>(
  request: R,
  project?: ProjectInput,
) => NonNullable<AnswerTo<R['verb'] & Verb>['result']>;

export interface EvidenceCase {
  readonly id: string;
  readonly title: string;
  readonly source: string;
  readonly status: EvidenceStatus;
  readonly note?: string;
  readonly project: ProjectInput;
  readonly rows: readonly EvidenceRow[];
}

/** A row that must agree to the last printed digit: half a unit of it. */
export function printed(
  name: string,
  expected: number,
  unit: string,
  decimals: number,
  compute: EvidenceRow['compute'],
  more: Partial<EvidenceRow> = {},
): EvidenceRow {
  return {
    name,
    unit,
    expected,
    kind: 'equal',
    tolerance: 0.5000001 * 10 ** -decimals,
    why: 'half of the last printed digit',
    compute,
    ...more,
  };
}

/** A row that must agree to a relative tolerance, for the reason given. */
export function within(
  name: string,
  expected: number,
  unit: string,
  relative: number,
  why: string,
  compute: EvidenceRow['compute'],
  more: Partial<EvidenceRow> = {},
): EvidenceRow {
  return {
    name,
    unit,
    expected,
    kind: 'equal',
    tolerance: Math.abs(expected) * relative,
    why,
    compute,
    ...more,
  };
}

/** A bound that must hold. */
export function bound(
  kind: 'at least' | 'at most',
  name: string,
  expected: number,
  unit: string,
  why: string,
  compute: EvidenceRow['compute'],
  more: Partial<EvidenceRow> = {},
): EvidenceRow {
  return { name, unit, expected, kind, tolerance: 0, why, compute, ...more };
}
