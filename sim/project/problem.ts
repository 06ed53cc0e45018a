/** Expected trouble, as data: what is wrong, where, with which value, against which limit, and the remedy. */

export interface Problem {
  /** 'problem' stops a computation; 'warning' and 'repair' do not. */
  readonly severity: 'problem' | 'warning' | 'repair';
  /** Stable word for programs, such as 'out-of-range'. */
  readonly code: string;
  /** Where in the file, such as `donors.four.gears[2]`; '' for the file as a whole. */
  readonly path: string;
  readonly message: string;
  readonly value?: string;
  readonly limit?: string;
  readonly remedy?: string;
}

type Details = Partial<Pick<Problem, 'value' | 'limit' | 'remedy'>>;

export function problem(code: string, path: string, message: string, details: Details = {}): Problem {
  return { severity: 'problem', code, path, message, ...details };
}

export function warning(code: string, path: string, message: string, details: Details = {}): Problem {
  return { severity: 'warning', code, path, message, ...details };
}

export function repair(code: string, path: string, message: string, details: Details = {}): Problem {
  return { severity: 'repair', code, path, message, ...details };
}

/** True where at least one entry stops a computation. */
export function isBlocking(problems: readonly Problem[]): boolean {
  return problems.some((p) => p.severity === 'problem');
}

/** One line for people: `donors.four.idle: idle 20000 rpm (limit ...). Remedy.` */
export function problemLine(p: Problem): string {
  const place = p.path === '' ? 'file' : p.path;
  const value = p.value === undefined ? '' : ` (found ${p.value})`;
  const limit = p.limit === undefined ? '' : `; limit: ${p.limit}`;
  const remedy = p.remedy === undefined ? '' : ` - ${p.remedy}`;
  return `${place}: ${p.message}${value}${limit}${remedy}`;
}
