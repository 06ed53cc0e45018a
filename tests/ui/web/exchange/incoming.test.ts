/** Files from outside: the good are read, the broken are refused with place, value, reason and remedy. */
import { describe, expect, test } from 'vitest';
import tansyHollow from '../../../../tracks/tansy-hollow.kartwright.json' with { type: 'json' };
import { demoInput, demoText } from '../../../../ui/demo/demo-project.ts';
import { readFile, readIncoming } from '../../../../ui/web/exchange/incoming.ts';
import { fileName, fileText } from '../../../../ui/web/exchange/project-file.ts';

describe('incoming', () => {
  test('a saved project reads back the same', () => {
    const read = readIncoming(fileText(demoInput()), 'a.kartwright.json');
    expect(read.document).toEqual(demoInput());
    expect(read.alone.project).toBeDefined();
    expect(fileText(demoInput())).toBe(demoText());
  });

  test('a file of one track is no whole project, and is kept for merging', () => {
    const read = readIncoming(JSON.stringify(tansyHollow), 'tansy-hollow.kartwright.json');
    expect(read.alone.project).toBeUndefined();
    expect(read.problems.map((p) => p.code)).toContain('missing-reference');
    expect(read.document?.['tracks']).toEqual(tansyHollow.tracks);
  });

  test('a 200 MB file is refused by its size, unread', async () => {
    const read = await readFile({
      name: 'film.json',
      size: 200e6,
      text: () => Promise.reject(new Error('it was read')),
    });
    expect(read.problems).toMatchObject([
      { code: 'too-large', value: '200 MB', limit: '20 MB', remedy: expect.any(String) },
    ]);
    expect(read.document).toBeUndefined();
  });

  test('a file that is gone when it is read is said to be', async () => {
    const read = await readFile({ name: 'a.json', size: 5, text: () => Promise.reject(new Error('gone')) });
    expect(read.problems).toMatchObject([{ code: 'file-gone' }]);
  });

  test.each([
    ['', 'empty'],
    ['PK\u0003\u0004\u0000\u0000', 'not-json'],
    ['<!doctype html><script>alert(1)</script>', 'not-json'],
    ['[1, 2]', 'wrong-kind'],
    ['{"kartwright": 99}', 'newer-version'],
    ['{"name": "no version"}', 'missing'],
    ['{"kartwright": 1, "__proto__": {"polluted": 1}}', 'forbidden-key'],
    ['{"kartwright": 1, "karts": {"constructor": {}}}', 'forbidden-key'],
    [`${'['.repeat(100_000)}`, 'not-json'],
  ])('refuses %j as %s', (text, code) => {
    const read = readIncoming(text, 'x');
    expect(read.problems.map((p) => p.code)).toContain(code);
    expect(read.document).toBeUndefined();
    expect({}).not.toHaveProperty('polluted');
  });

  test('every problem is listed, with its place', () => {
    const document = structuredClone(demoInput()) as {
      karts: Record<string, { sprockets: unknown; driver: unknown }>;
    };
    const kart = document.karts['clodlet-four-knobbly'];
    if (kart === undefined) throw new Error('no such kart');
    kart.sprockets = { front: 14, rear: 900 };
    kart.driver = { mass: 'heavy' };
    const read = readIncoming(JSON.stringify(document), 'x');
    expect(read.problems.filter((p) => p.severity === 'problem').map((p) => p.path)).toEqual(
      expect.arrayContaining([
        'karts.clodlet-four-knobbly.sprockets.rear',
        'karts.clodlet-four-knobbly.driver.mass',
      ]),
    );
  });

  test('names of files are plain', () => {
    expect(fileName('The "Clodlet", wet')).toBe('the-clodlet-wet.kartwright.json');
    expect(fileName('../../etc/passwd')).toBe('etc-passwd.kartwright.json');
    expect(fileName('<>:"/\\|?*')).toBe('project.kartwright.json');
    expect(fileName('Hérisson Ärger 2')).toBe('herisson-arger-2.kartwright.json');
  });
});
