/** Output for programs: one JSON object, or CSV columns; SI units throughout. */
import type { Answer, Problem, Request } from '../../../sim/index.ts';

export interface Answered {
  readonly request: Request;
  readonly answer: Answer;
}

/**
 * One object {status, problems, result, diagnostics}; with several runs, result and diagnostics are lists,
 * and a problem's `run` is its place in them, from 0.
 */
export function asJson(runs: readonly Answered[], problems: readonly Problem[]): string {
  const single = runs.length === 1 ? runs[0] : undefined;
  const all = [
    ...problems,
    ...runs.flatMap((r, run) => r.answer.problems.map((p) => (single === undefined ? { ...p, run } : p))),
  ];
  const object = {
    status: worst(runs),
    problems: all,
    result:
      single !== undefined
        ? { request: single.request, ...single.answer.result }
        : runs.map((r) => ({ request: r.request, ...r.answer.result })),
    diagnostics: single !== undefined ? single.answer.diagnostics : runs.map((r) => r.answer.diagnostics),
  };
  return `${JSON.stringify(object, plainArrays, 1)}\n`;
}

export function worst(runs: readonly Answered[]): Answer['status'] {
  const order: readonly Answer['status'][] = ['problems', 'failed', 'partial', 'done'];
  return order.find((s) => runs.some((r) => r.answer.status === s)) ?? 'problems';
}

/** Typed arrays become lists; JSON has no word for what is not finite. */
export function plainArrays(_key: string, value: unknown): unknown {
  return ArrayBuffer.isView(value) && !(value instanceof DataView)
    ? Array.from(value as unknown as ArrayLike<number>)
    : value;
}

export interface CsvColumn {
  /** With its unit, such as `speed [m/s]` */
  readonly head: string;
  readonly values: ArrayLike<number | string>;
}

export function asCsv(columns: readonly CsvColumn[]): string {
  const rows = Math.max(0, ...columns.map((c) => c.values.length));
  const lines = [columns.map((c) => cell(c.head)).join(',')];
  for (let i = 0; i < rows; i++) lines.push(columns.map((c) => cell(c.values[i] ?? '')).join(','));
  return `${lines.join('\n')}\n`;
}

function cell(value: number | string): string {
  if (typeof value === 'number') return String(value);
  return /[",\n]/.test(value) || /^[=+@-]/.test(value) ? `"${value.replaceAll('"', '""')}"` : value;
}

/** A column that says the same in every row. */
export function fill(value: string, count: number): string[] {
  return new Array<string>(count).fill(value);
}

/** Columns of several runs, one run below the other; empty where a run has no such column, as karts differ in gears. */
export function below(
  parts: readonly Record<string, ArrayLike<number | string>>[],
): { head: string; values: (number | string)[] }[] {
  const heads = [...new Set(parts.flatMap((part) => Object.keys(part)))];
  return heads.map((head) => ({
    head,
    values: parts.flatMap((part) => {
      const rows = Object.values(part)[0]?.length ?? 0;
      return part[head] === undefined ? fill('', rows) : Array.from<number | string>(part[head]);
    }),
  }));
}
