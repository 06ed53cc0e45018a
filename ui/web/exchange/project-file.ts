/** A project as a file: its name on disk and its text. */
import type { ProjectDocument } from '../state/document.ts';

export const EXTENSION = '.kartwright.json';

export function fileText(document: ProjectDocument): string {
  return `${JSON.stringify(document, null, 2)}\n`;
}

/** `The "Clodlet", wet` becomes `the-clodlet-wet.kartwright.json`: letters every file system takes. */
export function fileName(name: string): string {
  const plain = name
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 60);
  return `${plain === '' ? 'project' : plain}${EXTENSION}`;
}
