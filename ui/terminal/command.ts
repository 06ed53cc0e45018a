/**
 * Which verb, which files, which options - and what the exit code means.
 *
 * In: the words of the command line and where to write. Out: an exit code: 0 done; 1 the file has
 * problems; 2 the command line is wrong; 3 the numbers failed or an outside check does not hold.
 */
import { parseArgs } from 'node:util';
import { HELP, helpFor } from './help.ts';
import type { Terminal } from './terminal.ts';
import { CommandLineError, EXIT } from './terminal.ts';
import { accelerateVerb } from './verbs/accelerate.ts';
import { brakeVerb } from './verbs/brake.ts';
import { checkVerb } from './verbs/check.ts';
import { evidenceVerb } from './verbs/evidence.ts';
import { lapVerb } from './verbs/lap.ts';
import { topSpeedVerb } from './verbs/topspeed.ts';

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
  rollout: { type: 'boolean' },
  assumptions: { type: 'boolean' },
  schema: { type: 'boolean' },
  plot: { type: 'boolean' },
  json: { type: 'boolean' },
  csv: { type: 'boolean' },
  html: { type: 'string' },
  help: { type: 'boolean', short: 'h' },
} as const;

export type Options = ReturnType<typeof parse>['values'];

export interface Words {
  readonly files: readonly string[];
  readonly options: Options;
}

const VERBS: Readonly<Record<string, (words: Words, terminal: Terminal) => Promise<number>>> = {
  check: checkVerb,
  accelerate: accelerateVerb,
  topspeed: topSpeedVerb,
  brake: brakeVerb,
  lap: lapVerb,
  evidence: evidenceVerb,
};

export async function runCommand(words: readonly string[], terminal: Terminal): Promise<number> {
  try {
    const { values, positionals } = parse(words);
    const [verb, ...files] = positionals;
    if (verb === undefined || verb === 'help') {
      const about = verb === 'help' ? files[0] : undefined;
      if (about === undefined) terminal.out(HELP);
      else terminal.out(helpOf(about));
      return EXIT.done;
    }
    if (values.help === true) {
      terminal.out(helpOf(verb));
      return EXIT.done;
    }
    const run = Object.hasOwn(VERBS, verb) ? VERBS[verb] : undefined;
    if (run === undefined)
      throw new CommandLineError(
        `there is no verb '${verb}'; there are ${Object.keys(VERBS).join(', ')} and help`,
      );
    return await run({ files, options: values }, terminal);
  } catch (error) {
    if (!(error instanceof CommandLineError)) throw error;
    terminal.err(`kartwright: ${error.message}\nTry: kartwright help\n`);
    return EXIT.commandLine;
  }
}

function parse(words: readonly string[]) {
  try {
    return parseArgs({
      args: negativesJoined(words),
      options: OPTIONS,
      allowPositionals: true,
      strict: true,
    });
  } catch (error) {
    throw new CommandLineError(error instanceof Error ? error.message : String(error));
  }
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

function helpOf(verb: string): string {
  const text = helpFor(verb);
  if (text === undefined)
    throw new CommandLineError(
      `there is no verb '${verb}'; there are ${Object.keys(VERBS).join(', ')} and help`,
    );
  return text;
}
