/**
 * Imports point one way. Biome enforces it (biome.json); this shows that the enforcement covers every folder and
 * really fails: for each forbidden pair an offending file is written into a copy and must be reported, for each
 * allowed pair it must pass - as a value, a type, a re-export and a dynamic import.
 */
import { execFile } from 'node:child_process';
import { copyFileSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { foldersOf, ROOT, sourceFiles } from './source.ts';

/** Each folder of sim, lowest first; those in one row do not know each other. */
const LAYERS = [
  ['numerics', 'quantities'],
  ['physics', 'project'],
  ['compile'],
  ['run'],
  ['study'],
  ['evidence'],
] as const;

interface Case {
  readonly from: string;
  readonly specifier: string;
  readonly allowed: boolean;
}

const rank = (folder: string): number =>
  LAYERS.findIndex((row) => (row as readonly string[]).includes(folder));
const folders = LAYERS.flat();

const betweenLayers: readonly Case[] = folders.flatMap((from) =>
  folders.flatMap((to): readonly Case[] => {
    const allowed = from === to || rank(to) < rank(from);
    return [
      { from: `sim/${from}`, specifier: `../${to}/thing.ts`, allowed },
      { from: `sim/${from}/deeper`, specifier: `../../${to}/thing.ts`, allowed },
    ];
  }),
);

const outOfSim: readonly Case[] = folders.flatMap((folder) =>
  [
    '../../workers/protocol.ts',
    '../../ui/web/main.tsx',
    '../../tests/thing.ts',
    '../index.ts',
    'node:fs',
    'node:fs/promises',
    'comlink',
    'comlink/dist/umd/node-adapter.js',
    'preact',
    'preact/hooks',
    '@preact/signals',
    'chart.js',
    'chart.js/auto',
  ].map((specifier) => ({ from: `sim/${folder}`, specifier, allowed: false })),
);

const doorAndAbove: readonly Case[] = [
  ...folders.map((folder) => ({ from: 'sim', specifier: `./${folder}/thing.ts`, allowed: true })),
  { from: 'sim', specifier: '../workers/protocol.ts', allowed: false },
  { from: 'sim', specifier: 'node:fs', allowed: false },
  { from: 'workers', specifier: '../sim/index.ts', allowed: true },
  { from: 'workers', specifier: 'comlink', allowed: true },
  { from: 'workers', specifier: '../sim/run/lap.ts', allowed: false },
  { from: 'workers', specifier: '../sim/thing.ts', allowed: false },
  { from: 'workers', specifier: '../ui/web/main.tsx', allowed: false },
  { from: 'workers', specifier: '../tests/thing.ts', allowed: false },
  { from: 'workers', specifier: 'preact', allowed: false },
  { from: 'workers', specifier: 'chart.js', allowed: false },
  { from: 'ui/web', specifier: '../../sim/index.ts', allowed: true },
  { from: 'ui/web', specifier: '../../workers/client.ts', allowed: true },
  { from: 'ui/web', specifier: '../demo/project.ts', allowed: true },
  { from: 'ui/web', specifier: 'preact', allowed: true },
  { from: 'ui/web', specifier: '../../sim/run/lap.ts', allowed: false },
  { from: 'ui/web', specifier: '../../workers/spawn-node.ts', allowed: false },
  { from: 'ui/web', specifier: '../terminal/table.ts', allowed: false },
  { from: 'ui/web', specifier: '../../tests/thing.ts', allowed: false },
  { from: 'ui/web', specifier: 'node:fs', allowed: false },
  { from: 'ui/web', specifier: 'ndarray', allowed: false },
  { from: 'ui/web/deeper', specifier: '../../../sim/run/lap.ts', allowed: false },
  { from: 'ui/web/deeper', specifier: 'ndarray', allowed: false },
  { from: 'ui/terminal', specifier: '../../sim/index.ts', allowed: true },
  { from: 'ui/terminal', specifier: '../../workers/pool.ts', allowed: true },
  { from: 'ui/terminal', specifier: '../demo/project.ts', allowed: true },
  { from: 'ui/terminal', specifier: 'node:fs', allowed: true },
  { from: 'ui/terminal', specifier: 'ndarray', allowed: true },
  { from: 'ui/terminal', specifier: '../../sim/run/lap.ts', allowed: false },
  { from: 'ui/terminal', specifier: '../../tests/thing.ts', allowed: false },
  { from: 'ui/demo', specifier: '../../sim/index.ts', allowed: true },
  { from: 'ui/demo', specifier: '../../sim/project/schema.ts', allowed: false },
];

const FORMS: Readonly<Record<string, (specifier: string) => string>> = {
  value: (s) => `import { thing } from '${s}';\nexport const copy = thing;\n`,
  type: (s) => `import type { Thing } from '${s}';\nexport type Copy = Thing;\n`,
  'inline type': (s) => `import { type Thing } from '${s}';\nexport type Copy = Thing;\n`,
  're-export': (s) => `export { thing } from '${s}';\n`,
  dynamic: (s) => `export const thing = await import('${s}');\n`,
};

interface Report {
  readonly diagnostics: readonly {
    readonly category: string;
    readonly location: { readonly path: unknown };
  }[];
}

describe('import direction', () => {
  const cases = [...betweenLayers, ...outOfSim, ...doorAndAbove];
  let copy = '';
  let reported: ReadonlySet<string> = new Set();

  beforeAll(async () => {
    copy = mkdtempSync(join(tmpdir(), 'import-direction-'));
    for (const name of ['biome.json', '.gitignore', 'package.json'])
      copyFileSync(join(ROOT, name), join(copy, name));
    for (const [index, offender] of cases.entries()) {
      for (const [form, write] of Object.entries(FORMS)) {
        const file = join(copy, fileName(offender, index, form));
        mkdirSync(dirname(file), { recursive: true });
        writeFileSync(file, write(offender.specifier));
      }
    }
    reported = await filesReported(copy);
  }, 60_000);
  afterAll(() => rmSync(copy, { recursive: true, force: true }));

  it('covers every folder of sim', () => {
    expect(foldersOf('sim').filter((folder) => rank(folder) < 0)).toEqual([]);
  });

  for (const form of Object.keys(FORMS)) {
    it(`reports every forbidden import written as ${form}, and no allowed one`, () => {
      const wrong = cases
        .filter((c, index) => reported.has(fileName(c, index, form)) === c.allowed)
        .map((c) => `${c.from} -> ${c.specifier} ${c.allowed ? 'is refused' : 'passes'}`);
      expect(wrong).toEqual([]);
    });
  }

  it('leaves no import that the rule cannot see: inside a type, or by require', () => {
    // The rule does not look at `import('...').Thing` in a type, so sim does without dynamic imports altogether.
    const inSim = sourceFiles('sim').filter(({ code }) => /\bimport\s*\(|\brequire\s*\(/.test(code));
    expect(inSim.map(({ path }) => path)).toEqual([]);
    const above = ['workers', 'ui'].flatMap(sourceFiles);
    const past = above.filter(({ text }) => /\bimport\s*\(\s*['"`][^'"`]*\/sim\/(?!index\.ts)/.test(text));
    expect(past.map(({ path }) => path)).toEqual([]);
  });

  it('is switched off nowhere', () => {
    const silenced = ['sim', 'workers', 'ui']
      .flatMap(sourceFiles)
      .filter(({ text }) =>
        /biome-ignore[^\n]*(noRestrictedImports|noNodejsModules|noImportCycles)/.test(text),
      );
    expect(silenced.map(({ path }) => path)).toEqual([]);
  });
});

function fileName(offender: Case, index: number, form: string): string {
  return `${offender.from}/offender-${index}-${form.replace(' ', '-')}.ts`;
}

/** Every file that Biome reports under the import rule, read from its JSON report. */
function filesReported(folder: string): Promise<ReadonlySet<string>> {
  const biome = join(ROOT, 'node_modules', '@biomejs', 'biome', 'bin', 'biome');
  const options = [
    'lint',
    '--only=style/noRestrictedImports',
    '--reporter=json',
    '--max-diagnostics=none',
    '.',
  ];
  return new Promise((resolve, reject) => {
    const done = (error: Error | null, stdout: string, stderr: string): void => {
      // Biome ends with code 1 where it found something, as it must here; without a report it did not run.
      if (!stdout.trimStart().startsWith('{')) {
        reject(new Error(`Biome gave no report: ${error?.message ?? ''} ${stderr}`));
        return;
      }
      const { diagnostics } = JSON.parse(stdout) as Report;
      const hits = diagnostics.filter((d) => d.category === 'lint/style/noRestrictedImports');
      resolve(new Set(hits.map((d) => pathOf(d.location.path))));
    };
    execFile(process.execPath, [biome, ...options], { cwd: folder, maxBuffer: 64 * 1024 * 1024 }, done);
  });
}

function pathOf(path: unknown): string {
  const text = typeof path === 'string' ? path : (path as { file?: string })?.file;
  if (text === undefined) throw new Error(`unknown form of a path in the report: ${JSON.stringify(path)}`);
  return text.replace(/^\.\//, '');
}
