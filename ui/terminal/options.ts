/** The options of all verbs and how the words of a command line are split into files and options. */
import { parseArgs } from 'node:util';
import { CommandLineError } from './terminal.ts';

/** Options of all verbs; a verb names in help.ts which ones it heeds. */
const OPTIONS = {
  kart: { type: 'string' },
  day: { type: 'string' },
  surface: { type: 'string' },
  track: { type: 'string' },
  set: { type: 'string', multiple: true },
  from: { type: 'string' },
  to: { type: 'string' },
  grade: { type: 'string' },
  gear: { type: 'string' },
  brakes: { type: 'string' },
  engine: { type: 'string' },
  pedal: { type: 'string' },
  start: { type: 'string' },
  spacing: { type: 'string' },
  line: { type: 'string' },
  margin: { type: 'string' },
  of: { type: 'string' },
  draws: { type: 'string' },
  seed: { type: 'string' },
  columns: { type: 'string' },
  fit: { type: 'string' },
  accept: { type: 'string' },
  'level-within': { type: 'string' },
  'speed-within': { type: 'string' },
  write: { type: 'string' },
  date: { type: 'string' },
  tracks: { type: 'string' },
  donors: { type: 'string' },
  loose: { type: 'string' },
  hard: { type: 'string' },
  noise: { type: 'string' },
  within: { type: 'string' },
  owned: { type: 'boolean' },
  all: { type: 'boolean' },
  rollout: { type: 'boolean' },
  assumptions: { type: 'boolean' },
  schema: { type: 'boolean' },
  plot: { type: 'boolean' },
  json: { type: 'boolean' },
  csv: { type: 'boolean' },
  html: { type: 'string' },
  help: { type: 'boolean', short: 'h' },
} as const;

export type Options = ReturnType<typeof parseWords>['values'];

export interface Words {
  readonly files: readonly string[];
  readonly options: Options;
}

export function parseWords(words: readonly string[]) {
  try {
    return parseArgs({
      args: negativesJoined(words),
      options: OPTIONS,
      allowPositionals: true,
      strict: true,
    });
  } catch (error) {
    throw new CommandLineError(wrongOption(error));
  }
}

/** Node speaks of arguments; a builder wrote an option. */
function wrongOption(error: unknown): string {
  const { code, message } =
    error instanceof Error ? (error as NodeJS.ErrnoException) : { code: '', message: '' };
  if (code !== 'ERR_PARSE_ARGS_UNKNOWN_OPTION') return message || String(error);
  const typed = /'(-[^']*)'/.exec(message)?.[1] ?? '';
  return `there is no option ${typed}; kartwright help VERB lists those of a verb`;
}

/** `--grade -5%` as `--grade=-5%`: no option begins with a digit, so a number below zero is a value. */
function negativesJoined(words: readonly string[]): string[] {
  const joined: string[] = [];
  for (const word of words) {
    const option = joined.at(-1) ?? '';
    const takesText = Object.entries(OPTIONS).some(
      ([name, o]) => o.type === 'string' && option === `--${name}`,
    );
    if (takesText && /^-[\d.,]/.test(word)) joined[joined.length - 1] = `${option}=${word}`;
    else joined.push(word);
  }
  return joined;
}
