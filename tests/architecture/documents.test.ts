/** README.md and DEVELOPERS.md name files and folders in backticks; every one of them exists. */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { foldersOf, ROOT, sourceFiles } from './source.ts';

const BUILT = ['dist', 'node_modules', 'coverage'];
const EXTENSION = /\.(ts|tsx|js|json|md|html|css|yml|sh|svg|png)$/;

describe('documents', () => {
  it('name no file or folder that does not exist', () => {
    const missing = ['README.md', 'DEVELOPERS.md'].flatMap((document) =>
      pathsIn(readFileSync(join(ROOT, document), 'utf8'))
        .filter((path) => !exists(path))
        .map((path) => `${document}: ${path}`),
    );
    expect(missing).toEqual([]);
  });

  it('DEVELOPERS.md names at least each folder of sim, ui and tests', () => {
    const named = pathsIn(readFileSync(join(ROOT, 'DEVELOPERS.md'), 'utf8'));
    const folders = ['sim', 'ui'].flatMap((top) => foldersOf(top).map((name) => `${top}/${name}`));
    const expected = [...folders, ...foldersOf('tests').map((name) => `tests/${name}`), 'workers', 'tracks'];
    expect(
      expected.filter((folder) => !named.some((path) => path === folder || path.startsWith(`${folder}/`))),
    ).toEqual([]);
  });

  it('are read as meant: paths are told from packages, units, patterns and commands', () => {
    const text =
      'See `sim/index.ts`, `sim/phisics/`, `chart.js`, `km/h`, `npm test`, `*.kartwright.json`, `simm/a.ts`.';
    expect(pathsIn(text)).toEqual(['sim/index.ts', 'sim/phisics', 'simm/a.ts']);
    expect(['sim/phisics', 'simm/a.ts', 'package.json'].map(exists)).toEqual([false, false, true]);
  });
});

/** Words in backticks that are meant as paths: below a top-level folder, or ending like a file. */
function pathsIn(markdown: string): readonly string[] {
  const words = [...markdown.matchAll(/`([^`\n]+)`/g)].map((match) => match[1] ?? '');
  const tops = foldersOf('.');
  return words
    .filter((word) => /^\.?[\w@-][\w.@/-]*$/.test(word) && !packages().includes(word))
    .filter((word) => (word.includes('/') && tops.includes(word.split('/')[0] ?? '')) || EXTENSION.test(word))
    .filter((word) => !BUILT.includes(word.split('/')[0] ?? ''))
    .map((word) => word.replace(/\/$/, ''));
}

/** A path counts from the root; a bare file name may also lie anywhere in the source. */
function exists(path: string): boolean {
  if (existsSync(join(ROOT, path))) return true;
  if (path.includes('/')) return false;
  return ['sim', 'workers', 'ui', 'tests']
    .flatMap(sourceFiles)
    .some((file) => file.path.endsWith(`/${path}`));
}

function packages(): readonly string[] {
  const { dependencies, devDependencies } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'));
  return [...Object.keys(dependencies), ...Object.keys(devDependencies)];
}
