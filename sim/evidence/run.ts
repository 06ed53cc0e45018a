/**
 * Runs the outside checks and compares.
 *
 * In: the list of cases. Out: one line per row with expected, computed, difference, tolerance and verdict.
 * The same function serves the tests, the terminal and a page.
 */

import { problemLine } from '../project/problem.ts';
import { readProjectValue } from '../project/read.ts';
import type { ProjectInput } from '../project/schema.ts';
import { perform } from '../run/perform-all.ts';
import type { Ask, EvidenceCase, EvidenceRow, EvidenceStatus } from './check.ts';

export interface EvidenceLine {
  readonly case: string;
  readonly title: string;
  readonly source: string;
  readonly row: string;
  readonly status: EvidenceStatus;
  readonly kind: EvidenceRow['kind'];
  readonly unit: string;
  readonly expected: number | null;
  /** null where the computation failed; `trouble` says why */
  readonly computed: number | null;
  readonly difference: number | null;
  readonly tolerance: number;
  readonly why: string;
  readonly inside: boolean;
  readonly trouble?: string;
}

export function runEvidence(cases: readonly EvidenceCase[]): readonly EvidenceLine[] {
  return cases.flatMap((c) => {
    const ask = askOf(c.project);
    return c.rows.map((row): EvidenceLine => {
      const line = {
        case: c.id,
        title: c.title,
        source: c.source,
        row: row.name,
        status: row.status ?? c.status,
        kind: row.kind,
        unit: row.unit,
        expected: row.expected,
        tolerance: row.tolerance,
        why: row.why,
      };
      try {
        const computed = row.compute(row.project === undefined ? ask : askOf(row.project));
        const difference = row.expected === null ? null : computed - row.expected;
        return { ...line, computed, difference, inside: Number.isFinite(computed) && holds(row, difference) };
      } catch (error) {
        return {
          ...line,
          computed: null,
          difference: null,
          inside: false,
          trouble: error instanceof Error ? error.message : String(error),
        };
      }
    });
  });
}

function holds(row: EvidenceRow, difference: number | null): boolean {
  if (difference === null) return row.kind === 'report';
  if (row.kind === 'at least') return difference >= -row.tolerance;
  if (row.kind === 'at most') return difference <= row.tolerance;
  return Math.abs(difference) <= row.tolerance;
}

function askOf(main: ProjectInput): Ask {
  const read = new Map<ProjectInput, ReturnType<typeof readProjectValue>>();
  return ((request, project = main) => {
    let known = read.get(project);
    if (known === undefined) {
      known = readProjectValue(project);
      read.set(project, known);
    }
    if (known.project === undefined)
      throw new Error(
        known.problems
          .filter((p) => p.severity === 'problem')
          .map(problemLine)
          .join('; '),
      );
    const answer = perform(known.project, request);
    if (answer.result === undefined)
      throw new Error(answer.problems.map(problemLine).join('; ') || answer.status);
    return answer.result;
  }) as Ask;
}
