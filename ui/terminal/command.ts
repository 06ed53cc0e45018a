/**
 * Which verb, which files, which options - and what the exit code means.
 *
 * In: the words of the command line and where to write. Out: an exit code: 0 done; 1 the file has
 * problems; 2 the command line is wrong; 3 the numbers failed or an outside check does not hold.
 */
import { HELP, helpFor } from './help.ts';
import type { Words } from './options.ts';
import { parseWords } from './options.ts';
import type { Terminal } from './terminal.ts';
import { CommandLineError, EXIT } from './terminal.ts';
import { accelerateVerb } from './verbs/accelerate.ts';
import { balanceVerb } from './verbs/balance.ts';
import { brakeVerb } from './verbs/brake.ts';
import { checkVerb } from './verbs/check.ts';
import { donorsVerb } from './verbs/donors.ts';
import { evidenceVerb } from './verbs/evidence.ts';
import { lapVerb } from './verbs/lap.ts';
import { lineVerb } from './verbs/line.ts';
import { matchVerb } from './verbs/match.ts';
import { teethVerb } from './verbs/teeth.ts';
import { topSpeedVerb } from './verbs/topspeed.ts';
import { unknownsVerb } from './verbs/unknowns.ts';

const VERBS: Readonly<Record<string, (words: Words, terminal: Terminal) => Promise<number>>> = {
  check: checkVerb,
  accelerate: accelerateVerb,
  topspeed: topSpeedVerb,
  brake: brakeVerb,
  lap: lapVerb,
  teeth: teethVerb,
  donors: donorsVerb,
  balance: balanceVerb,
  line: lineVerb,
  unknowns: unknownsVerb,
  match: matchVerb,
  evidence: evidenceVerb,
};

export async function runCommand(words: readonly string[], terminal: Terminal): Promise<number> {
  try {
    const { values, positionals } = parseWords(words);
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

function helpOf(verb: string): string {
  const text = helpFor(verb);
  if (text === undefined)
    throw new CommandLineError(
      `there is no verb '${verb}'; there are ${Object.keys(VERBS).join(', ')} and help`,
    );
  return text;
}
