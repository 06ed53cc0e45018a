/** Where a verb writes, and the exit codes. Tests hand in their own. */

export interface Terminal {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** Columns of the screen */
  readonly wide: number;
  /** True where progress may be shown on the error stream */
  readonly interactive: boolean;
  readonly signal: AbortSignal;
}

export const EXIT = { done: 0, problems: 1, commandLine: 2, numbers: 3 } as const;

/** A command line that cannot be followed; its message goes to the user. */
export class CommandLineError extends Error {}
