/** The command as its user meets it: tables, JSON, CSV, HTML, help, exit codes. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { demoInput } from '../../../ui/demo/demo-project.ts';
import { inFolder, kartwright } from './run-command.ts';

describe('help', () => {
  test('names every verb and option of the page', async () => {
    const { code, out } = await kartwright('help');
    expect(code).toBe(0);
    for (const verb of [
      'check',
      'accelerate',
      'topspeed',
      'brake',
      'lap',
      'teeth',
      'donors',
      'balance',
      'unknowns',
      'line',
      'match',
      'evidence',
    ])
      expect(out).toContain(`  ${verb} `);
  });

  test('no words at all print the page', async () => {
    expect((await kartwright()).out).toBe((await kartwright('help')).out);
  });

  test('every example in the help texts runs', async () => {
    for (const verb of ['check', 'accelerate', 'topspeed', 'brake', 'lap']) {
      const { out } = await kartwright('help', verb);
      const examples = out.split('\n').filter((l) => l.startsWith('  kartwright '));
      expect(examples.length, verb).toBeGreaterThan(0);
      for (const example of examples.filter(
        (e) => !e.includes('mine.kartwright.json') && !e.includes('--html'),
      )) {
        const words = [...example.trim().matchAll(/"([^"]*)"|(\S+)/g)]
          .map((m) => m[1] ?? m[2] ?? '')
          .slice(1);
        const run = await kartwright(...words);
        expect(run.code, example + run.err).toBe(0);
        expect(run.out.length, example).toBeGreaterThan(80);
      }
    }
  });
});

describe('wrong command lines', () => {
  test.each([
    ['an unknown verb', ['drive'], "no verb 'drive'"],
    ['an unknown option', ['lap', '--fast'], 'there is no option --fast; kartwright help VERB'],
    ['an option without its value', ['lap', '--track'], '--track'],
    ['an unknown kart', ['lap', '--kart', 'nobody'], "no kart 'nobody'"],
    ['an unknown track', ['lap', '--track', 'nowhere'], "no track 'nowhere'"],
    ['a speed in kilograms', ['brake', '--from', '60 kg'], "unit 'kg'"],
    ['a gear that is no number', ['brake', '--gear', 'third'], '--gear'],
    ['held brakes without a pedal force', ['brake', '--brakes', 'held'], '--pedal'],
    ['a mode there is not', ['brake', '--engine', 'off'], "'clutch in'"],
    ['--set without a value', ['lap', '--set', 'karts'], 'PATH=VALUE'],
    ['--set into the prototype', ['lap', '--set', '__proto__.x=1'], 'cannot change'],
    ['a stop from standing', ['brake', '--from', '0'], 'a stop needs a speed'],
    ['a stop to a higher speed', ['brake', '--from', '50 km/h', '--to', '60 km/h'], 'above --to'],
    ['no distance between stations', ['lap', '--spacing', '0'], '0.005 m or more'],
    ['stations too close for any lap', ['lap', '--spacing', '4 mm'], '0.005 m or more'],
    ['a schema of a file', ['check', '--schema', 'mine.kartwright.json'], 'takes no file'],
    ['a mark without a unit', ['accelerate', '--to', '100'], 'with its unit'],
  ])('%s', async (_name, words, message) => {
    const { code, out, err } = await kartwright(...words);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toContain(message);
  });
});

describe('files', () => {
  test('every problem of a bad file is printed and nothing computed', async () => {
    await inFolder(async (file) => {
      const path = file(
        'bad.kartwright.json',
        JSON.stringify({
          kartwright: 1,
          karts: {
            a: { name: 'A', chassis: 'x', donor: 'y', brakes: 'z', tyres: { front: 'f', rear: 'r' } },
          },
        }),
      );
      const { code, out, err } = await kartwright('lap', path);
      expect(code).toBe(1);
      expect(out).toBe('');
      for (const where of [
        'karts.a.chassis',
        'karts.a.donor',
        'karts.a.brakes',
        'karts.a.tyres.front',
        'karts.a.tyres.rear',
      ])
        expect(err).toContain(where);
    });
  });

  test('a missing file, a folder, an empty file and broken JSON', async () => {
    expect((await kartwright('check', 'no-such-file.json')).err).toContain('does not exist');
    await inFolder(async (file) => {
      const empty = await kartwright('check', file('empty.json', ''));
      expect([empty.code, empty.out]).toEqual([1, '']);
      const broken = await kartwright('check', file('broken.json', '{"kartwright": 1,\n "name": '));
      expect(broken.code).toBe(1);
      expect(broken.err).toMatch(/line 2/);
      const list = await kartwright('check', file('list.json', '[1, 2]'));
      expect([list.code, list.out]).toEqual([1, '']);
    });
  });

  test('a newer format is refused and the file is left as it was', async () => {
    await inFolder(async (file) => {
      const text = '{"kartwright": 99}';
      const path = file('newer.json', text);
      const { code, err } = await kartwright('check', path);
      expect(code).toBe(1);
      expect(err).toMatch(/99/);
      expect(readFileSync(path, 'utf8')).toBe(text);
    });
  });

  test('a file without a track, and one with nothing else, are told which file to name', async () => {
    await inFolder(async (file) => {
      const { tracks, ...karts } = demoInput();
      const withKarts = file('karts.kartwright.json', JSON.stringify(karts));
      const withTracks = file('tracks.kartwright.json', JSON.stringify({ kartwright: 1, tracks }));
      const noTrack = await kartwright('lap', withKarts);
      expect(noTrack.code).toBe(2);
      expect(noTrack.err).toMatch(/no track: name a track file too/);
      const onlyTracks = await kartwright('lap', withTracks);
      expect(onlyTracks.code).toBe(1);
      expect(onlyTracks.err).toMatch(/surfaces and karts lie in another file - name that file too/);
      expect((await kartwright('lap', '--track', 'oval', withKarts, withTracks)).code).toBe(0);
    });
  });

  test("the README's own-kart example is read without remark and answers", async () => {
    const readme = readFileSync(new URL('../../../README.md', import.meta.url), 'utf8');
    const example = [...readme.matchAll(/```json\n([\s\S]*?)```/g)]
      .map((m) => m[1] ?? '')
      .find((text) => text.includes('"kartwright"'));
    expect(example).toBeDefined();
    await inFolder(async (file) => {
      const path = file('mine.kartwright.json', example ?? '');
      expect(await kartwright('check', path)).toMatchObject({ code: 0, err: '' });
      expect((await kartwright('lap', path)).code).toBe(0);
      expect((await kartwright('brake', path)).code).toBe(0);
    });
  });

  test('--set changes the answer for this call', async () => {
    const time = async (...more: string[]) =>
      (
        JSON.parse((await kartwright('lap', '--json', '--track', 'oval', ...more)).out) as {
          result: { time: number };
        }
      ).result.time;
    expect(await time('--set', 'karts.clodlet-four-knobbly.sprockets.rear=60')).not.toBeCloseTo(
      await time(),
      3,
    );
  });

  test('a kart too weak for the grade is told where it stalls, exit 3', async () => {
    const { code, err } = await kartwright(
      'lap',
      '--track',
      'fettlebrow',
      '--kart',
      'clodlet-single-knobbly',
      '--set',
      'donors.single.torque.points={"columns":["rpm","N*m"],"rows":[[2000,2],[9000,2]]}',
      '--set',
      'donors.single.closedThrottle={"columns":["rpm","N*m"],"rows":[[1500,1],[9500,1]]}',
    );
    expect(err).toMatch(/comes to a stop \d+ m from the start/);
    expect(code).toBe(3);
  });
});

describe('grades below zero', () => {
  test.each([
    ['apart', ['--grade', '-5%']],
    ['joined', ['--grade=-5%']],
    ['with a space', ['--grade', '-5 %']],
  ])('%s lengthen the stop', async (_name, words) => {
    const distance = async (...more: string[]) => {
      const { code, out } = await kartwright('brake', '--json', '--engine', 'clutch in', ...more);
      expect(code).toBe(0);
      return (JSON.parse(out) as { result: { distance: number } }).result.distance;
    };
    expect(await distance(...words)).toBeGreaterThan(1.02 * (await distance()));
  });
});

describe('remarks on several runs', () => {
  const words = ['brake', '--kart', 'clodlet-four-asphalt,clodlet-single-asphalt', '--surface', 'asphalt'];

  test('say which kart, surface and engine mode they belong to', async () => {
    const { err } = await kartwright(...words);
    expect(err).toMatch(/^warning: clodlet-four-asphalt, asphalt \(in gear, shifting down\): /m);
    expect(err).not.toMatch(/clutch in\b.*: karts\./);
  });

  test('one run needs no name; in JSON the place in the list tells', async () => {
    const one = await kartwright(
      'brake',
      '--kart',
      'clodlet-four-asphalt',
      '--surface',
      'asphalt',
      '--engine',
      'in gear',
    );
    expect(one.err).toMatch(/^warning: karts\.clodlet-four-asphalt: /m);
    const { problems, result } = JSON.parse((await kartwright(...words, '--json')).out) as {
      problems: { run: number }[];
      result: { request: { kart: string; options: { engine: string } } }[];
    };
    expect(problems.length).toBeGreaterThan(0);
    for (const p of problems) expect(result[p.run]?.request.options.engine).not.toBe('clutch in');
  });
});

describe('forms of output', () => {
  test('--json is one object in SI without words for missing numbers', async () => {
    const { code, out } = await kartwright('brake', '--json', '--engine', 'clutch in');
    expect(code).toBe(0);
    const object = JSON.parse(out) as {
      status: string;
      problems: unknown[];
      result: { distance: number; columns: { speed: number[] } };
      diagnostics: object;
    };
    expect(Object.keys(object)).toEqual(['status', 'problems', 'result', 'diagnostics']);
    expect(object.status).toBe('done');
    expect(object.result.columns.speed[0]).toBeCloseTo(60 / 3.6, 9);
    expect(out).not.toMatch(/NaN|Infinity/);
  });

  test('--json of a refused file still is that object', async () => {
    await inFolder(async (file) => {
      const { code, out } = await kartwright('lap', '--json', file('x.json', '{}'));
      expect(code).toBe(1);
      expect(JSON.parse(out)).toMatchObject({ status: 'problems' });
    });
  });

  test('--csv has a unit in every numeric head and as many cells in every row', async () => {
    for (const verb of ['accelerate', 'topspeed', 'brake', 'lap', 'evidence']) {
      const { code, out } = await kartwright(verb, '--csv', ...(verb === 'lap' ? ['--track', 'oval'] : []));
      expect(code).toBe(0);
      const [head = '', ...rows] = out.trimEnd().split('\n');
      if (verb !== 'evidence') {
        expect(head).toContain('speed [m/s]');
        expect(new Set(rows.map((r) => r.split(',').length))).toEqual(new Set([head.split(',').length]));
      }
      expect(rows.length).toBeGreaterThan(20);
      expect(out).not.toMatch(/NaN|Infinity|undefined/);
    }
  });

  test('--html writes a page complete in itself, in which file text stays text', async () => {
    await inFolder(async (file) => {
      const path = file('out.html', '');
      const { code, err } = await kartwright(
        'lap',
        '--track',
        'oval',
        '--html',
        path,
        '--set',
        'tracks.oval.name=<script>alert(1)</script>',
      );
      expect([code, err]).toEqual([0, `wrote ${path}\n`]);
      const page = readFileSync(path, 'utf8');
      expect(page).toContain('&lt;script&gt;');
      expect(page).not.toMatch(/<script|src=|href=|http:/);
      expect(page.match(/<svg /g)?.length).toBeGreaterThanOrEqual(3);
      // Every table scrolls by itself, and every legend stands above the grid of its plot.
      expect(page.match(/<div class="table"[^>]*><table>/g)?.length).toBe(page.match(/<table>/g)?.length);
      expect(page).not.toMatch(/<tbody><\/tbody>/);
      for (const svg of page.match(/<svg .*?<\/svg>/g)!) {
        const gridTop = Number(/y1="([\d.]+)" y2="[\d.]+" stroke="#dde4e4"/.exec(svg)?.[1] ?? Number.NaN);
        const legend = [...svg.matchAll(/y2="([\d.]+)" stroke="#[^"]+" stroke-width/g)].map((m) =>
          Number(m[1]),
        );
        if (Number.isFinite(gridTop)) expect(Math.max(...legend)).toBeLessThan(gridTop);
      }
      expect(page).not.toMatch(/NaN|Infinity|undefined/);
    });
  });

  test('tables hold no NaN and the plot is drawn', async () => {
    for (const words of [
      ['accelerate', '--plot', '--surface', 'all'],
      ['topspeed', '--plot'],
      ['brake', '--plot', '--surface', 'all'],
      ['lap', '--plot', '--track', 'all'],
    ]) {
      const { code, out } = await kartwright(...words);
      expect(code, words.join(' ')).toBe(0);
      expect(out).not.toMatch(/NaN|Infinity|undefined/);
      expect(out).toMatch(/[\u2801-\u28ff]{3}/);
    }
  });

  test('many runs go over all cores and give what one run gives', async () => {
    const all = JSON.parse(
      (await kartwright('lap', '--json', '--kart', 'all', '--track', 'oval,circle')).out,
    ) as { result: { request: { kart: string; track: string }; time: number }[] };
    expect(all.result.length).toBe(14);
    const one = JSON.parse(
      (await kartwright('lap', '--json', '--kart', 'clodlet-twin-asphalt', '--track', 'oval')).out,
    ) as { result: { time: number } };
    expect(
      all.result.find((r) => r.request.kart === 'clodlet-twin-asphalt' && r.request.track === 'oval')?.time,
    ).toBe(one.result.time);
  });
});

describe('check and evidence', () => {
  test('check --schema lists every field, also those the demo does not use', async () => {
    const { code, out } = await kartwright('check', '--schema');
    expect(code).toBe(0);
    const schema = JSON.parse(out) as {
      properties: { karts: { additionalProperties: { properties: object } } };
    };
    expect(Object.keys(schema.properties.karts.additionalProperties.properties)).toEqual(
      expect.arrayContaining(['weighed', 'shiftAt', 'finalRatio', 'sprockets']),
    );
  });

  test('check lists what is assumed', async () => {
    const { code, out } = await kartwright('check', '--assumptions');
    expect(code).toBe(0);
    expect(out).toMatch(/assumed/);
    expect(out).toMatch(/clodlet-four-asphalt/);
  });

  test('evidence prints every row and passes', async () => {
    const { code, out } = await kartwright('evidence');
    expect(code).toBe(0);
    expect(out).toMatch(/\d+ rows compared in \d+ checks, 0 outside/);
    expect(out).toMatch(/common practice, no source/);
  });
});
