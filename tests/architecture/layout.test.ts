/** The top level is fixed, tests mirror the source, and every file opens by saying what it is. */
import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { foldersOf, ROOT, sourceFiles } from './source.ts';

const FOLDERS = ['.ci', 'sim', 'tests', 'tracks', 'ui', 'workers'];
const FILES = [
  '.gitignore',
  'DEVELOPERS.md',
  'LICENSE',
  'README.md',
  'biome.json',
  'package-lock.json',
  'package.json',
  'tsconfig.json',
  'vite.config.ts',
  'vitest.config.ts',
];
const TEST_FOLDERS = [
  'architecture',
  'bench',
  'browser',
  'evidence',
  'properties',
  'regressions',
  'sim',
  'ui',
  'workers',
];

describe('layout', () => {
  it('has the fixed top level and nothing else', () => {
    const ignored = ['.git', 'node_modules', 'dist', 'coverage'];
    const found = readdirSync(ROOT).filter((name) => !ignored.includes(name));
    expect(found.sort()).toEqual([...FOLDERS, ...FILES].sort());
  });

  it('keeps tests in the folders they mirror', () => {
    expect(foldersOf('tests').filter((name) => !TEST_FOLDERS.includes(name))).toEqual([]);
    const layers = foldersOf('sim');
    expect(foldersOf('tests/sim').filter((name) => !layers.includes(name))).toEqual([]);
  });

  it('tracks nothing that is built or installed', () => {
    if (!existsSync(join(ROOT, '.git'))) return; // an unpacked archive has no list of tracked files
    const tracked = execFileSync('git', ['ls-files'], { cwd: ROOT, encoding: 'utf8' }).split('\n');
    expect(tracked.filter((path) => /^(dist|node_modules|coverage)\//.test(path))).toEqual([]);
  });

  it('opens every source file with a comment that says what it holds', () => {
    const mute = ['sim', 'workers', 'ui']
      .flatMap(sourceFiles)
      .filter(({ text }) => !/^(#![^\n]*\n)?\s*\/(\*\*?|\/)/.test(text));
    expect(mute.map(({ path }) => path)).toEqual([]);
  });
});
