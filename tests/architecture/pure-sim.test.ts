/** sim computes and nothing else: no page, no clock, no unseeded randomness, no state kept between calls. */
import { describe, expect, it } from 'vitest';
import { sourceFiles, withoutCommentsAndStrings } from './source.ts';

const FORBIDDEN: Readonly<Record<string, RegExp>> = {
  'the page': /\b(document|window|navigator|localStorage|indexedDB|globalThis|self)\b/,
  'a clock':
    /\bDate\s*\.\s*now\b|\bnew\s+Date\b|\bDate\s*\(|\bperformance\b|\bset(Timeout|Interval|Immediate)\b/,
  'unseeded randomness': /\bMath\s*\.\s*random\b|\bcrypto\b/,
  'the process or the network': /\b(process|Buffer|fetch|XMLHttpRequest|console)\s*[.(]/,
  'module-level mutable state': /^(export\s+)?(let|var)\s/m,
  'a wildcard export': /^\s*export\s+\*/m,
};

const offenders = (pattern: RegExp): readonly string[] =>
  sourceFiles('sim')
    .filter(({ code }) => pattern.test(code))
    .map(({ path, code }) => `${path}: ${pattern.exec(code)?.[0] ?? ''}`);

describe('sim is pure', () => {
  for (const [what, pattern] of Object.entries(FORBIDDEN)) {
    it(`has no file that reaches for ${what}`, () => {
      expect(offenders(pattern)).toEqual([]);
    });
  }

  it('would notice: each pattern finds its offence in code and overlooks it in comments and strings', () => {
    const offences: Readonly<Record<string, string>> = {
      'the page': 'const w = window.innerWidth;',
      'a clock': 'const t = Date.now();',
      'unseeded randomness': 'const u = Math.random();',
      'the process or the network': 'console.log(1);',
      'module-level mutable state': 'let count = 0;',
      'a wildcard export': "export * from './x.ts';",
    };
    for (const [what, pattern] of Object.entries(FORBIDDEN)) {
      const offence = offences[what] ?? '';
      expect(pattern.test(withoutCommentsAndStrings(offence)), what).toBe(true);
      expect(pattern.test(withoutCommentsAndStrings(`// ${offence}\nconst a = 1;`)), what).toBe(false);
    }
    expect(FORBIDDEN['the page']?.test(withoutCommentsAndStrings("const label = 'the window';"))).toBe(false);
    expect(FORBIDDEN['a clock']?.test(withoutCommentsAndStrings(`const s = \`at \${Date.now()}\`;`))).toBe(
      true,
    );
  });

  it('has files to look at', () => {
    // Guards the tests above against an empty listing, where they would all pass.
    expect(sourceFiles('sim').length).toBeGreaterThan(5);
  });
});
