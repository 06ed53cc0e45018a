/** The command: reads arguments and files, prints, sets the exit code. All work lies in the verbs. */
import { runCommand } from './command.ts';

// A closed pipe (`kartwright ... | head`) is no error of ours.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

const stopping = new AbortController();
process.once('SIGINT', () => stopping.abort());

const code = await runCommand(process.argv.slice(2), {
  out: (text) => process.stdout.write(text),
  err: (text) => process.stderr.write(text),
  wide: process.stdout.columns ?? 100,
  interactive: process.stderr.isTTY === true,
  signal: stopping.signal,
});
process.exitCode = stopping.signal.aborted ? 130 : code;
