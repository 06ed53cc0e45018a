/**
 * The reader against ten thousand spoilt copies of the demo: it never throws, it returns a project
 * exactly when no problem blocks, and an accepted project holds no NaN or infinity.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isBlocking } from '../../../sim/project/problem.ts';
import type { ProjectRead } from '../../../sim/project/read.ts';
import { readProject, readProjectValue } from '../../../sim/project/read.ts';
import { demo } from './demo-files.ts';

/** A small project with every kind of entry, so that ten thousand reads take seconds. */
function small(): Record<string, unknown> {
  const whole = demo();
  const keep = (kind: string, ids: string[]) => {
    const entries = whole[kind] as Record<string, unknown>;
    whole[kind] = Object.fromEntries(Object.entries(entries).filter(([id]) => ids.includes(id)));
  };
  keep('days', ['mild', 'damp']);
  keep('donors', ['four', 'twin']);
  keep('karts', ['clodlet-four-knobbly', 'clodlet-twin-asphalt']);
  keep('tracks', ['oval', 'brindlequag-works']);
  const shorten = (list: unknown[], most: number) => void list.splice(most);
  for (const tyre of Object.values(whole['tyres'] as Record<string, { grip: Record<string, unknown> }>)) {
    delete tyre.grip['grass'];
    delete tyre.grip['loose-clay'];
  }
  for (const donor of Object.values(
    whole['donors'] as Record<string, { torque: { points: { rows: unknown[] } } }>,
  )) {
    donor.torque.points.rows.splice(1, 3);
  }
  shorten((whole['tracks'] as Record<string, { points: unknown[] }>)['brindlequag-works']!.points, 5);
  const sprockets = whole['sprockets'] as { front: unknown[]; rear: unknown[] };
  shorten(sprockets.front, 2);
  shorten(sprockets.rear, 2);
  return whole;
}

type Keys = (string | number)[];

/** Every place in a JSON value, groups and lists included. */
function places(value: unknown, keys: Keys = []): Keys[] {
  if (value === null || typeof value !== 'object') return [keys];
  const inner = Array.isArray(value)
    ? value.flatMap((item, i) => places(item, [...keys, i]))
    : Object.entries(value).flatMap(([key, item]) => places(item, [...keys, key]));
  return [keys, ...inner];
}

const SMALL = small();
const PLACES = places(SMALL).filter((keys) => keys.length > 0);

const odd = fc.oneof(
  {
    weight: 3,
    arbitrary: fc.constantFrom<unknown>(
      0,
      -1,
      1e308,
      -1e308,
      1e-308,
      Number.POSITIVE_INFINITY,
      Number.NaN,
      '',
      'x',
      '-3 m',
      '5 kg',
      '1e308 mm',
      '0/0',
      '1/0',
      '11,500 rpm',
      null,
      true,
      [],
      {},
      [[]],
      { value: 1 },
      { value: 'x' },
      { value: '5 %', spread: '5 %' },
    ),
  },
  { weight: 1, arbitrary: fc.double() },
  { weight: 1, arbitrary: fc.string({ maxLength: 12 }) },
  { weight: 1, arbitrary: fc.jsonValue({ maxDepth: 3 }) },
);
const place = fc.nat(PLACES.length - 1).map((i) => PLACES[i]!);
const change = fc.oneof(
  fc.record({ kind: fc.constant('set' as const), keys: place, value: odd }),
  fc.record({ kind: fc.constant('delete' as const), keys: place }),
  fc.record({
    kind: fc.constant('rename' as const),
    keys: place,
    name: fc.oneof(
      fc.string({ maxLength: 10 }),
      fc.constantFrom('__proto__', 'constructor', 'toString', 'value'),
    ),
  }),
  fc.record({ kind: fc.constant('copy' as const), keys: place, from: place }),
);
type Change = typeof change extends fc.Arbitrary<infer T> ? T : never;

function spoil(changes: readonly Change[]): unknown {
  const root = structuredClone(SMALL);
  for (const c of changes) {
    const parent = c.keys
      .slice(0, -1)
      .reduce<unknown>(
        (at, key) =>
          at !== null && typeof at === 'object' ? (at as Record<string, unknown>)[key] : undefined,
        root,
      );
    if (parent === null || typeof parent !== 'object') continue;
    const into = parent as Record<string | number, unknown>;
    const key = c.keys.at(-1)!;
    if (c.kind === 'set') into[key] = c.value;
    else if (c.kind === 'delete') delete into[key];
    else if (c.kind === 'copy')
      into[key] = structuredClone(
        c.from.reduce<unknown>((at, k) => (at as Record<string, unknown>)?.[k], SMALL),
      );
    else {
      const value = into[key];
      delete into[key];
      Object.defineProperty(into, c.name, { value, enumerable: true, writable: true, configurable: true });
    }
  }
  return root;
}

/** Plain comparisons: a million calls of expect would take longer than the reads. */
function expectSound(read: ProjectRead): void {
  if ((read.project === undefined) !== isBlocking(read.problems))
    throw new Error('neither project nor problem, or both');
  if (read.project !== undefined && read.notes.length === 0 && Object.keys(read.project.karts).length > 0) {
    throw new Error('a project without notes');
  }
  for (const p of read.problems) {
    if (
      typeof p.path !== 'string' ||
      p.message === '' ||
      p.code === 'unreadable' ||
      /undefined|\[object|Invalid|Expected/.test(p.message)
    ) {
      throw new Error(`a problem nobody can read: ${JSON.stringify(p)}`);
    }
  }
  if (read.project !== undefined) expectFinite(read.project);
}

function expectFinite(value: unknown, path = ''): void {
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new Error(`${path} is ${value}`);
  } else if (value !== null && typeof value === 'object') {
    for (const [key, inner] of Object.entries(value)) expectFinite(inner, `${path}.${key}`);
  }
}

describe('the reader under ten thousand spoilt files', () => {
  it('survives changed, deleted, renamed and misplaced values (3,000)', { timeout: 120_000 }, () => {
    let accepted = 0;
    fc.assert(
      fc.property(fc.array(change, { minLength: 1, maxLength: 4 }), (changes) => {
        const read = readProjectValue(spoil(changes));
        if (read.project !== undefined) accepted++;
        expectSound(read);
      }),
      { numRuns: 3000, seed: 51 },
    );
    // The fuzz must reach both sides of the reader to prove anything.
    expect(accepted).toBeGreaterThan(100);
    expect(accepted).toBeLessThan(2900);
  });

  it('survives cut and scribbled text (6,000)', { timeout: 120_000 }, () => {
    const text = JSON.stringify(SMALL);
    const scribble = fc.record({
      at: fc.nat(text.length),
      remove: fc.nat(6),
      insert: fc.oneof(
        fc.string({ maxLength: 4 }),
        fc.constantFrom('"', '{', '}', '[', ',', ':', '0', 'e9', '\\', '\n', ''),
      ),
    });
    fc.assert(
      fc.property(
        fc.array(scribble, { minLength: 1, maxLength: 3 }),
        fc.option(fc.nat(text.length), { freq: 3 }),
        (scribbles, cut) => {
          let spoilt = text;
          for (const s of scribbles)
            spoilt = spoilt.slice(0, s.at) + s.insert + spoilt.slice(s.at + s.remove);
          expectSound(readProject(cut === null ? spoilt : spoilt.slice(0, cut)));
        },
      ),
      { numRuns: 6000, seed: 52 },
    );
  });

  it('survives any JSON at all and any text at all (1,000)', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.json(),
          fc.string(),
          fc.jsonValue().map((j) => JSON.stringify({ kartwright: 1, tracks: j, karts: { a: j } })),
        ),
        (text) => {
          expectSound(readProject(text));
        },
      ),
      { numRuns: 1000, seed: 53 },
    );
  });

  it('agrees with JSON.parse on what is JSON', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.json(),
          fc
            .array(fc.constantFrom(...'{}[]",:0-1.e+\\untrefals \n'.split('')), { maxLength: 12 })
            .map((c) => c.join('')),
        ),
        (text) => {
          let valid = true;
          try {
            JSON.parse(text);
          } catch {
            valid = false;
          }
          const refused = readProject(text).problems.some((p) => p.code === 'not-json' || p.code === 'empty');
          expect(refused).toBe(!valid);
        },
      ),
      { numRuns: 5000, seed: 54 },
    );
  });
});
