/** Reads the project's own source for the architecture tests: files by folder, with and without comments and strings. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = fileURLToPath(new URL('../..', import.meta.url));

export interface SourceFile {
  /** From the project's root, with forward slashes. */
  readonly path: string;
  readonly text: string;
  /** The text with comments and the contents of strings blanked out: what the program does. */
  readonly code: string;
}

/** Every TypeScript and JavaScript file below a top-level folder. */
export function sourceFiles(folder: string): readonly SourceFile[] {
  return filesBelow(join(ROOT, folder))
    .filter((file) => /\.(ts|tsx|js|mjs)$/.test(file))
    .map((file) => {
      const text = readFileSync(file, 'utf8');
      return { path: relative(ROOT, file).split(sep).join('/'), text, code: withoutCommentsAndStrings(text) };
    });
}

/** The names of the folders directly inside a folder. */
export function foldersOf(folder: string): readonly string[] {
  return readdirSync(join(ROOT, folder), { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name);
}

/** Blanks comments, string contents and the text of templates (not the expressions inside them). */
export function withoutCommentsAndStrings(text: string): string {
  const token =
    /\/\*[\s\S]*?\*\/|\/\/[^\n]*|'(?:\\.|[^'\\\n])*'|"(?:\\.|[^"\\\n])*"|`(?:\\.|\$\{[^}]*\}|[^`\\])*`/g;
  return text.replace(token, (found) => {
    if (found.startsWith('/')) return ' ';
    if (found.startsWith('`')) return (found.match(/\$\{[^}]*\}/g) ?? []).join(' ');
    return "''";
  });
}

function filesBelow(folder: string): readonly string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    return entry.isDirectory() ? filesBelow(path) : [path];
  });
}
