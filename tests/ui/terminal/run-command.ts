/** Runs the command inside the test and collects what it prints. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { runCommand } from '../../../ui/terminal/command.ts';

export interface Printed {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

export async function kartwright(...words: string[]): Promise<Printed> {
  let out = '';
  let err = '';
  const code = await runCommand(words, {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    wide: 100,
    interactive: false,
    signal: new AbortController().signal,
  });
  return { code, out, err };
}

/** Calls `use` with a folder that is gone afterwards. */
export async function inFolder<T>(
  use: (file: (name: string, text: string) => string) => Promise<T>,
): Promise<T> {
  const folder = mkdtempSync(join(tmpdir(), 'kartwright-'));
  try {
    return await use((name, text) => {
      const path = join(folder, name);
      writeFileSync(path, text);
      return path;
    });
  } finally {
    rmSync(folder, { recursive: true });
  }
}
