/** Which inputs an answer rests on: the law of propagation on known functions, and probes through the public path. */
import { describe, expect, it } from 'vitest';
import type { InputNote } from '../../../sim/index.ts';
import { firstOrder, firstOrderDifference, perform, probesOf, readProjectValue } from '../../../sim/index.ts';
import { demoInput } from '../../../ui/demo/demo-project.ts';
import { demoWith } from '../demo-project.ts';

const note = (path: string, value: number, spread: number): InputNote => ({
  path,
  quantity: 'mass',
  value,
  spread,
  origin: 'given',
  spreadAssumed: false,
});

describe('first order', () => {
  it('combines a product as the guide does: relative uncertainties add in squares', () => {
    // JCGM 100:2008, 5.1.6 (equation 12): for Y = c X1^p1 X2^p2, [u(y)/y]^2 = sum [p_i u(x_i)/x_i]^2.
    const probes = probesOf([note('a', 10, 0.1), note('b', 20, 0.4)]);
    const y = (a: number, b: number) => 3 * a * b * b;
    const found = [
      { less: y(probes[0]!.less.value, 20), more: y(probes[0]!.more.value, 20) },
      { less: y(10, probes[1]!.less.value), more: y(10, probes[1]!.more.value) },
    ];
    const { spread, base, effects } = firstOrder(y(10, 20), probes, found);
    // Central differences are exact for both: the functions are of first and second degree.
    expect(spread / base).toBeCloseTo(Math.hypot(0.1 / 10, (2 * 0.4) / 20), 12);
    expect(effects.map((e) => e.note.path)).toEqual(['b', 'a']);
  });

  it('an input that can only make it worse is not hidden by its average', () => {
    const probes = probesOf([note('kink', 10, 1), note('plain', 10, 1)]);
    const { effects } = firstOrder(5, probes, [
      { less: 7, more: 7 },
      { less: 4, more: 6 },
    ]);
    expect(effects[0]?.note.path).toBe('kink');
    expect(effects[0]?.swing).toBe(0);
  });

  it('one side alone stands for both; none at all is counted as left out', () => {
    const probes = probesOf([note('a', 10, 1), note('b', 10, 1)]);
    const { effects, leftOut } = firstOrder(5, probes, [
      { less: null, more: 6 },
      { less: null, more: null },
    ]);
    expect(effects).toHaveLength(1);
    expect(effects[0]).toMatchObject({ less: -1, more: 1, swing: 1 });
    expect(leftOut).toBe(1);
  });

  it('keeps probes within the limits of the quantity', () => {
    const [probe] = probesOf([{ ...note('x', 0.99, 0.05), quantity: 'efficiency' }]);
    expect(probe?.more.value).toBe(1);
    expect(probe?.less.value).toBeCloseTo(0.94, 12);
  });
});

describe('skew', () => {
  it('each way by itself: squares of what an input takes off, and of what it puts on', () => {
    const probes = probesOf([note('grip', 10, 1), note('mass', 10, 1), note('bound', 10, 1)]);
    const found = firstOrder(60, probes, [
      { less: 67, more: 56 },
      { less: 57, more: 63 },
      { less: 62, more: 61 },
    ]);
    expect(found.below).toBeCloseTo(Math.hypot(4, 3), 12);
    expect(found.above).toBeCloseTo(Math.hypot(7, 3, 2), 12);
  });
});

describe('difference of two states', () => {
  const state = (base: number, swings: Readonly<Record<string, number>>) => {
    const probes = probesOf(Object.keys(swings).map((path) => note(path, 10, 1)));
    return firstOrder(
      base,
      probes,
      Object.values(swings).map((swing) => ({ less: base - swing, more: base + swing })),
    );
  };

  it('what both rest on alike cancels', () => {
    const found = firstOrderDifference(state(60, { grip: 3, mass: 0.2 }), state(58, { grip: 3, mass: 0.2 }));
    expect(found).toEqual({ difference: -2, spread: 0, sureness: 'decided' });
  });

  it('a gain that shrinks whichever way an input goes is less sure: by its larger side', () => {
    const probes = probesOf([note('grip', 10, 1)]);
    const bent = firstOrder(60, probes, [{ less: 60 + 0.3 - 0.2, more: 60 + 0.3 + 0.2 }]);
    const flat = firstOrder(59, probes, [{ less: 59, more: 59 }]);
    const found = firstOrderDifference(flat, bent);
    expect(found.difference).toBe(1);
    expect(found.spread).toBeCloseTo(0.5, 12);
  });

  it('what each rests on alone adds in squares', () => {
    const found = firstOrderDifference(state(60, { four: 0.3 }), state(60, { single: 0.4 }));
    expect(found.spread).toBeCloseTo(0.5, 12);
    expect(found.sureness).toBe('no difference');
  });

  it('how sure its sign is has the word every study has: 75 and 95 % at 0.67 and 1.64 deviations', () => {
    const word = (by: number) =>
      firstOrderDifference(state(60, { a: 0.3 }), state(60 + by, { b: 0.4 })).sureness;
    // Half a second of deviation; quantiles of the normal distribution, 0.6745 and 1.6449 (handbook table).
    expect([0.33, 0.35, 0.81, 0.83].map(word)).toEqual(['too close to call', 'likely', 'likely', 'decided']);
    expect(word(-0.83)).toBe('decided');
  });

  it('a driver of the same figures in two karts is one person, and cancels; another one does not', () => {
    const swung = (path: string, value: number, base: number) => {
      const probes = probesOf([note(path, value, 0.03)]);
      return firstOrder(base, probes, [{ less: base + 3, more: base - 3 }]);
    };
    const four = swung('karts.four.driver.gripUse', 0.92, 60);
    expect(firstOrderDifference(four, swung('karts.single.driver.gripUse', 0.92, 61)).spread).toBe(0);
    expect(firstOrderDifference(four, swung('karts.single.driver.gripUse', 0.9, 61)).spread).toBeCloseTo(
      Math.hypot(3, 3),
      12,
    );
    // The same driver in the same kart, told to use less of the grip: the doubt about it is still one.
    expect(firstOrderDifference(four, swung('karts.four.driver.gripUse', 0.9, 61)).spread).toBe(0);
  });

  it('is that of the difference worked out as one figure', () => {
    const a = { grip: 3, mass: 0.2 };
    const b = { grip: 2.5, mass: -0.1 };
    const together = state(0, { grip: b.grip - a.grip, mass: b.mass - a.mass });
    expect(firstOrderDifference(state(60, a), state(61, b)).spread).toBeCloseTo(together.spread, 12);
  });
});

describe('figures of a run with inputs changed', () => {
  const lap = { verb: 'lap', kart: 'clodlet-four-knobbly', day: 'mild', track: 'circle' } as const;
  const time = (project = demoWith(), changes: { path: string; value: number }[] = []): number =>
    perform(project, { verb: 'sweep', of: lap, variants: [changes] }).result?.figures[0]?.['lap time'] ??
    Number.NaN;

  it('are those of the run itself where nothing is changed', () => {
    expect(time()).toBe(perform(demoWith(), lap).result?.time);
  });

  it('are those of a file with the value written into it', () => {
    const path = 'karts.clodlet-four-knobbly.driver.mass';
    const written = demoWith((raw) => {
      raw.karts['clodlet-four-knobbly'].driver.mass = 100;
    });
    expect(time(demoWith(), [{ path, value: 100 }])).toBe(time(written));
    expect(time(demoWith(), [{ path, value: 100 }])).not.toBe(time());
  });

  it('are the same one by one, in one sweep, and where the track is changed too', () => {
    const project = demoWith();
    const of = { ...lap, track: 'oval' } as const;
    const variants = [
      [],
      [{ path: 'karts.clodlet-four-knobbly.driver.mass', value: 100 }],
      [{ path: 'tracks.oval.width', value: 7 }],
    ];
    const together = perform(project, { verb: 'sweep', of, variants }).result!.figures;
    const apart = variants.map(
      (changes) => perform(project, { verb: 'sweep', of, variants: [changes] }).result!.figures[0],
    );
    expect(together).toEqual(apart);
    expect(perform(project, { verb: 'sweep', of, variants: variants.slice(0, 2) }).result!.figures).toEqual(
      apart.slice(0, 2),
    );
  });

  it('say why a kart could not run so, and go on with the next', () => {
    const project = demoWith();
    const { figures, refusals } = perform(project, {
      verb: 'sweep',
      of: lap,
      variants: [
        [{ path: 'chassis.clodlet.turningRadius', value: 60 }],
        [],
        [{ path: 'karts.clodlet-four-knobbly.donor', value: 'single' }],
      ],
    }).result!;
    expect(figures[0]).toBeNull();
    expect(refusals[0]).toMatch(/tighter than the kart can turn/);
    expect(refusals.slice(1)).toEqual(['', '']);
    expect(figures[2]?.['lap time']).not.toBe(figures[1]?.['lap time']);
  });

  it('scale a dyno sheet as a whole', () => {
    const of = { verb: 'topspeed', kart: 'clodlet-four-knobbly', day: 'mild', surface: 'asphalt' } as const;
    const thrust = (factor: number) =>
      perform(demoWith(), {
        verb: 'sweep',
        of,
        variants: [[{ path: 'donors.four.torque.points', value: factor }]],
      }).result?.figures[0]?.['top speed'];
    // Reading the same points in rad/s and N·m instead of rpm changes the last bits only.
    expect(thrust(1)).toBeCloseTo(perform(demoWith(), of).result?.topSpeed ?? Number.NaN, 9);
    expect(thrust(0.2)).toBeLessThan(thrust(1) ?? 0);
  });

  it('can be asked for every input of the demo that has a spread', () => {
    const { project, notes } = readProjectValue(demoInput());
    if (project === undefined) throw new Error('the demo cannot be read');
    const probes = probesOf(notes.filter((n) => !n.path.startsWith('tracks.')));
    const { refusals } = perform(project, {
      verb: 'sweep',
      of: { ...lap, track: 'circle' },
      variants: probes.map((probe) => [probe.more]),
    }).result!;
    const failed = refusals.flatMap((why, i) => (why === '' ? [] : [`${probes[i]!.note.path}: ${why}`]));
    expect(failed).toEqual([]);
  });
});
