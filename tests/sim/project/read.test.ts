/** The reader against files as people spoil them: every problem told, with path, value, limit, remedy. */
import { describe, expect, it } from 'vitest';
import { idsOf } from '../../../sim/project/consistency.ts';
import type { Problem } from '../../../sim/project/problem.ts';
import { problemLine } from '../../../sim/project/problem.ts';
import { readProject, readProjectValue } from '../../../sim/project/read.ts';
import { DEMO_FILES, demo, put } from './demo-files.ts';

const blocking = (problems: readonly Problem[]) => problems.filter((p) => p.severity === 'problem');

/** Reads the demo with one thing changed. */
function spoilt(path: string, value: unknown) {
  return readProjectValue(put(demo(), path, value));
}

function expectProblem(problems: readonly Problem[], code: string, path: string): Problem {
  const found = problems.find((p) => p.code === code && p.path === path);
  if (found === undefined) {
    throw new Error(
      `no ${code} at ${path} among:\n${problems.map((p) => `${p.code} ${problemLine(p)}`).join('\n')}`,
    );
  }
  return found;
}

describe('the demo', () => {
  it('reads without a problem or a warning', () => {
    const { project, problems } = readProjectValue(demo());
    expect(problems.map(problemLine)).toEqual([]);
    expect(project).toBeDefined();
    expect(idsOf(project!).donors).toEqual(['four', 'single', 'twin']);
  });

  it('has every file legal by itself but for references to the main file', () => {
    for (const { name, raw } of DEMO_FILES) {
      const codes = new Set(readProjectValue(raw).problems.map((p) => p.code));
      codes.delete('missing-reference');
      expect([...codes], name).toEqual([]);
    }
  });

  it('reads the same from its text', () => {
    expect(readProject(JSON.stringify(demo())).project).toEqual(readProjectValue(demo()).project);
  });

  it('is in SI and leaves the input as it was written', () => {
    const { project, input } = readProjectValue(demo());
    expect(project?.chassis['clodlet']?.wheelbase).toBe(1.75);
    expect(project?.donors['single']?.gears?.[0]).toBe(28 / 11);
    expect(project?.donors['four']?.revLimit).toBeCloseTo((14_000 * Math.PI) / 30, 9);
    expect(input).toEqual(demo());
  });

  it('takes a byte-order mark, as some editors write', () => {
    expect(readProject(`\ufeff${JSON.stringify(demo())}`).project).toBeDefined();
  });

  it('has no track tighter than the kart can turn', () => {
    expect(readProjectValue(demo()).problems.filter((p) => p.code === 'too-tight')).toEqual([]);
  });
});

describe('files that are no projects', () => {
  it.each([
    ['an empty file', '', 'empty'],
    ['blanks', ' \n\t', 'empty'],
    ['a truncated file', JSON.stringify(demo()).slice(0, 5000), 'not-json'],
    ['plain words', 'hello', 'not-json'],
    ['a trailing comma', '{"kartwright":1,}', 'not-json'],
    ['single quotes', "{'kartwright':1}", 'not-json'],
    ['NaN', '{"kartwright":1,"days":{"a":{"name":"a","altitude":NaN}}}', 'not-json'],
    ['Infinity', '{"kartwright":1,"days":{"a":{"name":"a","altitude":-Infinity}}}', 'not-json'],
    ['deep nesting', `${'['.repeat(100_000)}${']'.repeat(100_000)}`, 'not-json'],
    ['a list', '[]', 'wrong-kind'],
    ['a number', '7', 'wrong-kind'],
    ['null', 'null', 'wrong-kind'],
    ['no version', '{}', 'missing'],
    ['a newer version', '{"kartwright":99}', 'newer-version'],
    ['a version in words', '{"kartwright":"one"}', 'bad-version'],
  ])('%s', (_, text, code) => {
    const read = readProject(text);
    expect(read.project).toBeUndefined();
    expect(read.problems.map((p) => p.code)).toEqual([code]);
    expect(read.problems[0]?.message.length).toBeGreaterThan(10);
  });

  it('a file of 200 MB is refused at once, unread', () => {
    const text = ' '.repeat(200_000_000);
    const start = performance.now();
    const { problems } = readProject(text);
    expect(problems.map((p) => [p.code, p.value, p.limit])).toEqual([['too-large', '200 MB', '20 MB']]);
    // Reading it would take seconds; looking at its length takes none.
    expect(performance.now() - start).toBeLessThan(100);
  });

  it('says line and column', () => {
    const { problems } = readProject('{\n  "kartwright": 1,\n  "days": {,}\n}');
    expect(problems[0]?.message).toContain('line 3, column 12');
  });

  it('keeps a newer file untouched', () => {
    const raw = { kartwright: 2, wheels: 'new idea' };
    const copy = structuredClone(raw);
    expect(readProjectValue(raw).problems[0]?.remedy).toMatch(/update/);
    expect(raw).toEqual(copy);
  });
});

describe('one thing wrong', () => {
  it.each([
    // Units and numbers
    ['donors.four.mass', '62 cc', 'unknown-unit', 'donors.four.mass'],
    ['donors.four.idle', '1300 km/h', 'unknown-unit', 'donors.four.idle'],
    ['donors.four.idle', 1300 * 1000, 'out-of-range', 'donors.four.idle'],
    ['chassis.clodlet.wheelbase', 1750, 'out-of-range', 'chassis.clodlet.wheelbase'],
    ['chassis.clodlet.wheelbase', 'wide', 'not-a-number', 'chassis.clodlet.wheelbase'],
    ['chassis.clodlet.mass', '1,234 kg', 'ambiguous', 'chassis.clodlet.mass'],
    ['chassis.clodlet.mass', Number.POSITIVE_INFINITY, 'not-finite', 'chassis.clodlet.mass'],
    ['chassis.clodlet.mass', 1e308, 'out-of-range', 'chassis.clodlet.mass'],
    ['chassis.clodlet.mass', -5, 'out-of-range', 'chassis.clodlet.mass'],
    ['chassis.clodlet.mass', { value: '203 kg', spread: '-2 kg' }, 'out-of-range', 'chassis.clodlet.mass'],
    ['chassis.clodlet.mass', { value: '203 kg', spread: '2 m' }, 'unknown-unit', 'chassis.clodlet.mass'],
    ['chassis.clodlet.mass', { spread: '2 kg' }, 'missing', 'chassis.clodlet.mass.value'],
    ['chassis.clodlet.mass', { value: 203, sprd: 2 }, 'unknown-key', 'chassis.clodlet.mass.sprd'],
    [
      'chassis.clodlet.mass',
      { value: 203, origin: 'mesured' },
      'not-a-choice',
      'chassis.clodlet.mass.origin',
    ],
    ['chassis.clodlet.mass', null, 'wrong-kind', 'chassis.clodlet.mass'],
    ['chassis.clodlet.mass', [203], 'wrong-kind', 'chassis.clodlet.mass'],
    ['chassis.clodlet.mass', undefined, 'missing', 'chassis.clodlet.mass'],
    // Ratios and teeth
    ['donors.four.gears[2]', 0, 'out-of-range', 'donors.four.gears[2]'],
    ['donors.four.gears[2]', -1.6, 'out-of-range', 'donors.four.gears[2]'],
    ['donors.four.gears[2]', '39/0', 'out-of-range', 'donors.four.gears[2]'],
    ['donors.four.gears[2]', '0/14', 'out-of-range', 'donors.four.gears[2]'],
    ['donors.four.gears[2]', 3.5, 'order', 'donors.four.gears[2]'],
    ['donors.four.gears', [], 'too-short', 'donors.four.gears'],
    [
      'karts.clodlet-four-knobbly.sprockets.front',
      0,
      'out-of-range',
      'karts.clodlet-four-knobbly.sprockets.front',
    ],
    [
      'karts.clodlet-four-knobbly.sprockets.front',
      14.5,
      'not-whole',
      'karts.clodlet-four-knobbly.sprockets.front',
    ],
    // References
    ['karts.clodlet-four-knobbly.donor', 'fuor', 'missing-reference', 'karts.clodlet-four-knobbly.donor'],
    [
      'karts.clodlet-four-knobbly.donor',
      'clodlet-four-knobbly',
      'missing-reference',
      'karts.clodlet-four-knobbly.donor',
    ],
    [
      'karts.clodlet-four-knobbly.donor',
      'constructor',
      'missing-reference',
      'karts.clodlet-four-knobbly.donor',
    ],
    ['tracks.oval.surface', 'ice', 'missing-reference', 'tracks.oval.surface'],
    [
      'tracks.cinder-yard.stretches[2].surface',
      'mud',
      'missing-reference',
      'tracks.cinder-yard.stretches[2].surface',
    ],
    ['surfaces.loose-clay', undefined, 'missing-reference', 'tracks.tansy-hollow.surface'],
    // Either-or
    ['donors.four.gears', undefined, 'one-of', 'donors.four'],
    ['donors.twin.gears', [2, 1], 'one-of', 'donors.twin'],
    ['karts.clodlet-four-knobbly.finalRatio', 3, 'one-of', 'karts.clodlet-four-knobbly'],
    ['karts.clodlet-four-knobbly.sprockets', undefined, 'one-of', 'karts.clodlet-four-knobbly'],
    ['brakes.bar.frontShare', 0.6, 'one-of', 'brakes.bar'],
    ['brakes.plain.frontShare', undefined, 'one-of', 'brakes.plain'],
    [
      'tracks.oval.points',
      [
        { x: 0, y: 0 },
        { x: 9, y: 0 },
        { x: 9, y: 9 },
      ],
      'one-of',
      'tracks.oval',
    ],
    ['tracks.oval.stretches', undefined, 'one-of', 'tracks.oval'],
    // Order of fields
    ['donors.four.idle', '14500 rpm', 'order', 'donors.four.revLimit'],
    ['donors.four.safeRev', '13000 rpm', 'order', 'donors.four.safeRev'],
    ['donors.twin.belt.low', 0.5, 'order', 'donors.twin.belt.low'],
    ['donors.twin.belt.shiftsOut', '900 rpm', 'order', 'donors.twin.belt.shiftsOut'],
    ['donors.four.revLimit', '2500 rpm', 'out-of-span', 'donors.four.torque.points'],
    ['donors.single.torque.measuredIn', undefined, 'missing', 'donors.single.torque.measuredIn'],
    ['karts.clodlet-four-knobbly.shiftAt', '15000 rpm', 'out-of-range', 'karts.clodlet-four-knobbly.shiftAt'],
    ['chassis.clodlet.width', '1000 mm', 'order', 'chassis.clodlet.width'],
    // Tracks
    ['tracks.tansy-hollow.points', [{ x: 0, y: 0 }], 'too-short', 'tracks.tansy-hollow.points'],
    [
      'tracks.tansy-hollow.points',
      [
        { x: 0, y: 0 },
        { x: 9, y: 0 },
      ],
      'too-short',
      'tracks.tansy-hollow.points',
    ],
    ['tracks.tansy-hollow.points[3]', { x: 1e308, y: 0 }, 'out-of-range', 'tracks.tansy-hollow.points[3].x'],
    ['tracks.tansy-hollow.width', '1.2 m', 'too-narrow', 'tracks.tansy-hollow.width'],
    ['tracks.oval.stretches[0].straight', 0, 'no-length', 'tracks.oval.stretches[0].straight'],
    ['tracks.oval.stretches[1].angle', 0, 'no-length', 'tracks.oval.stretches[1].angle'],
    [
      'tracks.oval.stretches[1]',
      { turn: 'left', angel: '180°', radius: '15 m' },
      'unknown-key',
      'tracks.oval.stretches[1].angel',
    ],
    [
      'tracks.oval.stretches[1]',
      { turn: 'left', angel: '180°', radius: '15 m' },
      'missing',
      'tracks.oval.stretches[1].angle',
    ],
    [
      'tracks.oval.stretches[1]',
      { turn: 'lift', angle: '180°', radius: '15 m' },
      'not-a-choice',
      'tracks.oval.stretches[1].turn',
    ],
    ['tracks.oval.stretches[1]', 7, 'wrong-kind', 'tracks.oval.stretches[1]'],
    ['tracks.brindlequag-works.sections[0].to', '100 m', 'order', 'tracks.brindlequag-works.sections[0].to'],
    ['tracks.oval.closed', 'yes', 'wrong-kind', 'tracks.oval.closed'],
    // Parts
    ['tyres.asphalt-rear.size', 'big ones', 'bad-text', 'tyres.asphalt-rear.size'],
    ['tyres.asphalt-rear.size', undefined, 'missing', 'tyres.asphalt-rear'],
    ['brakes.bar.hydraulics', { pedalRatio: 5 }, 'missing', 'brakes.bar.hydraulics'],
    ['units.speed', 'furlong', 'unknown-unit', 'units.speed'],
    ['units.sped', 'km/h', 'unknown-key', 'units.sped'],
    ['chassis.clodlet.couplig', 'spool', 'unknown-key', 'chassis.clodlet.couplig'],
    ['chassis.clodlet.coupling', 'spol', 'not-a-choice', 'chassis.clodlet.coupling'],
    ['chassis.clodlet.roll', { frontShre: 0.5 }, 'unknown-key', 'chassis.clodlet.roll.frontShre'],
    ['donors.four.strokes', 3, 'not-a-choice', 'donors.four.strokes'],
    ['days', [], 'wrong-kind', 'days'],
    ['days.My day', { name: 'x' }, 'bad-text', 'days["My day"]'],
    ['kart', {}, 'unknown-key', 'kart'],
  ] as [string, unknown, string, string][])('%s = %j: %s', (path, value, code, at) => {
    const read = spoilt(path, value);
    expect(read.project).toBeUndefined();
    const found = expectProblem(blocking(read.problems), code, at);
    expect(found.message).not.toMatch(/undefined|NaN|\[object|Expected/);
  });

  it('two points in one place', () => {
    const raw = demo();
    const points = (raw['tracks'] as Record<string, { points: unknown[] }>)['brindlequag-works']!.points;
    points[4] = structuredClone(points[3]);
    const at = 'tracks.brindlequag-works.points[4]';
    expect(expectProblem(blocking(readProjectValue(raw).problems), 'coincident', at).message).toBe(
      'lies on point 3',
    );
  });

  it('a closed track whose last point repeats the first', () => {
    const raw = demo();
    const points = (raw['tracks'] as Record<string, { points: unknown[] }>)['tansy-hollow']!.points;
    points.push(structuredClone(points[0]));
    const at = `tracks.tansy-hollow.points[${points.length - 1}]`;
    expect(expectProblem(readProjectValue(raw).problems, 'coincident', at).remedy).toMatch(/joins by itself/);
  });

  it('points rounded into three places only', () => {
    const spots = [0, 1, 2, 0, 1, 2].map((i) => ({ x: i === 1 ? 20 : 0, y: i === 2 ? 20 : 0 }));
    expect(spoilt('tracks.tansy-hollow.points', spots).project).toBeDefined();
    const two = [0, 1, 0, 1].map((i) => ({ x: 20 * i, y: 0 }));
    expectProblem(
      spoilt('tracks.tansy-hollow.points', two).problems,
      'too-short',
      'tracks.tansy-hollow.points',
    );
  });

  it('names the nearest known word', () => {
    expect(
      expectProblem(
        spoilt('karts.clodlet-four-knobbly.donor', 'fuor').problems,
        'missing-reference',
        'karts.clodlet-four-knobbly.donor',
      ).remedy,
    ).toBe("did you mean 'four'?");
    expect(
      expectProblem(
        spoilt('chassis.clodlet.wheelbse', 1.7).problems,
        'unknown-key',
        'chassis.clodlet.wheelbse',
      ).remedy,
    ).toBe("did you mean 'wheelbase'?");
  });

  it('says a bare number is SI where that explains it', () => {
    const found = expectProblem(
      spoilt('chassis.clodlet.wheelbase', 1750).problems,
      'out-of-range',
      'chassis.clodlet.wheelbase',
    );
    expect(found.value).toBe('1750');
    expect(found.limit).toBe('200 to 20000 mm');
    expect(found.remedy).toContain("'1750 mm'");
  });

  it('a kart without mass', () => {
    const raw = demo();
    put(raw, 'chassis.clodlet.mass', 0);
    put(raw, 'donors.four.mass', 0);
    put(raw, 'karts.clodlet-four-knobbly.driver', { mass: 0 });
    for (const tyre of ['knobbly-front', 'knobbly-rear']) put(raw, `tyres.${tyre}.mass`, 0);
    expectProblem(blocking(readProjectValue(raw).problems), 'no-mass', 'karts.clodlet-four-knobbly');
    const scales = { frontLeft: 0, frontRight: 0, rearLeft: 0, rearRight: 0, cgHeight: 0.4 };
    expectProblem(
      spoilt('karts.clodlet-four-knobbly.weighed', scales).problems,
      'no-mass',
      'karts.clodlet-four-knobbly.weighed',
    );
  });

  it('a bar that sends everything to a missing circuit', () => {
    const raw = put(
      put(demo(), 'brakes.bar.hydraulics.front', undefined),
      'brakes.bar.hydraulics.barFrontShare',
      1,
    );
    expectProblem(blocking(readProjectValue(raw).problems), 'no-brakes', 'brakes.bar.hydraulics');
    expect(readProjectValue(put(demo(), 'brakes.bar.hydraulics.front', undefined)).project).toBeDefined();
  });
});

describe('warnings do not block', () => {
  it.each([
    ['chassis.clodlet.wheelbase', '3000 mm', 'unusual', 'chassis.clodlet.wheelbase'],
    ['donors.four.displacement', '3 L', 'unusual', 'donors.four.displacement'],
    ['tyres.knobbly-rear.rollOut', '1300 mm', 'disagree', 'tyres.knobbly-rear.rollOut'],
    ['tyres.knobbly-rear.size', 'unreadable', 'bad-text', 'tyres.knobbly-rear.size'],
    ['tyres.knobbly-rear.grip.loose-clay', undefined, 'no-grip', 'tyres.knobbly-rear.grip'],
    ['days.mild.grip', { ice: 0.2 }, 'missing-reference', 'days.mild.grip.ice'],
    ['tracks.oval.stretches[0].straight', '60.5 m', 'not-closed', 'tracks.oval.stretches'],
    ['tracks.oval.stretches[1].angle', '70°', 'not-closed', 'tracks.oval.stretches'],
    ['tracks.oval.sections', [{ from: 200, to: '215 m' }], 'out-of-span', 'tracks.oval.sections[0].to'],
    ['tracks.oval.stretches[1].radius', '2 m', 'too-tight', 'tracks.oval.stretches[1].radius'],
    ['sprockets.front[1].teeth', 13, 'duplicate', 'sprockets.front[1]'],
    [
      'chassis.clodlet.driverAt.behindFrontAxle',
      '-0.2 m',
      'outside-axles',
      'chassis.clodlet.driverAt.behindFrontAxle',
    ],
  ] as [string, unknown, string, string][])('%s = %j: %s', (path, value, code, at) => {
    const raw = put(demo(), path, value);
    // Closing the oval needs both of its turns: the tight one is only tight where it stays closed.
    if (code === 'too-tight') put(raw, 'tracks.oval.stretches[3].radius', value);
    const read = readProjectValue(raw);
    const found = expectProblem(read.problems, code, at);
    expect(found.severity).toBe('warning');
    expect(read.project).toBeDefined();
  });
});

describe('several things wrong', () => {
  it('tells all of them at once, from shape to references', () => {
    const raw = demo();
    put(raw, 'donors.four.mass', 'heavy');
    put(raw, 'donors.four.colour', 'red');
    put(raw, 'donors.four.color', 'red');
    put(raw, 'chassis.clodlet.track.front', -1);
    put(raw, 'karts.clodlet-twin-knobbly.donor', 'tween');
    put(raw, 'tracks.circle.surface', 'ice');
    put(raw, 'brakes.plain.frontShare', undefined);
    const { problems } = readProjectValue(raw);
    expect(
      blocking(problems)
        .map((p) => p.path)
        .sort(),
    ).toEqual([
      'brakes.plain',
      'chassis.clodlet.track.front',
      'donors.four.color',
      'donors.four.colour',
      'donors.four.mass',
      'karts.clodlet-twin-knobbly.donor',
      'tracks.circle.surface',
    ]);
  });

  it('does not call an entry missing because it has problems of its own', () => {
    const { problems } = spoilt('donors.four.mass', 'heavy');
    expect(blocking(problems).map((p) => p.path)).toEqual(['donors.four.mass']);
  });

  it('counts what it cannot list', () => {
    const points = Array.from({ length: 2000 }, () => ({ x: 'a', y: 'b' }));
    const { problems } = spoilt('tracks.tansy-hollow.points', points);
    expect(problems).toHaveLength(1001);
    expect(problems.at(-1)?.message).toMatch(/^there are 30\d\d more problems$/);
  });
});

describe('keys that reach into JavaScript', () => {
  it('are refused, and touch nothing', () => {
    const text =
      '{"kartwright":1,"__proto__":{"polluted":1},"days":{"__proto__":{"name":"x"},"constructor":{"name":"x"}}}';
    const { project, problems } = readProject(text);
    expect(project).toBeUndefined();
    expect(problems.some((p) => p.code === 'forbidden-key' && p.path === 'days.__proto__')).toBe(true);
    expect(({} as Record<string, unknown>)['polluted']).toBeUndefined();
  });

  it('written twice is a warning that says where', () => {
    const { project, problems } = readProject('{"kartwright":1,"name":"a","name":"b"}');
    expect(project?.name).toBe('b');
    expect(problems.map((p) => [p.code, p.path, p.severity])).toEqual([['repeated-key', 'name', 'warning']]);
  });
});
