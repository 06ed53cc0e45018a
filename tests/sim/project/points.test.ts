/** Engine points from dyno sheets as they are found. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readDragPoints, readPoints } from '../../../sim/project/points.ts';

const RPM = Math.PI / 30;
const sheet = (columns: [string, string], rows: [number | string, number | string][]) => ({ columns, rows });
const codes = (read: ReturnType<typeof readPoints>) =>
  read.problems.map((p) => `${p.severity} ${p.code} ${p.path}`);

describe('reading points', () => {
  it('reads torque in the units of the headings', () => {
    const { points, problems } = readPoints(
      sheet(
        ['rpm', 'lbf·ft'],
        [
          [3000, 40],
          [6000, 50],
        ],
      ),
      'p',
    );
    expect(problems).toEqual([]);
    expect(points?.speed[1]).toBeCloseTo(6000 * RPM, 9);
    // 1 lbf·ft = 4.448 221 615 260 5 N x 0.3048 m by definition.
    expect(points?.torque[0]).toBeCloseTo(40 * 4.4482216152605 * 0.3048, 10);
  });

  it('turns power into torque: 100 kW at 9549.3 rpm is 100 N·m', () => {
    const speed = 1000 / RPM;
    const { points } = readPoints(
      sheet(
        ['engine speed (rpm)', 'power [kW]'],
        [
          [speed / 2, 60],
          [speed, 100],
        ],
      ),
      'p',
    );
    expect(points?.torque[0]).toBeCloseTo(120, 9);
    expect(points?.torque[1]).toBeCloseTo(100, 9);
  });

  it('takes decimal commas, thousands and units of their own in cells', () => {
    const { points, problems } = readPoints(
      sheet(
        ['rpm', 'N·m'],
        [
          ['3,000', '40,5'],
          ['6 000', '50'],
          ['7000 rpm', '40 lbf*ft'],
        ],
      ),
      'p',
    );
    expect(problems).toEqual([]);
    expect(points?.speed.map((s) => Math.round(s / RPM))).toEqual([3000, 6000, 7000]);
    expect(points?.torque[0]).toBe(40.5);
  });

  it('sorts, and says so', () => {
    const read = readPoints(
      sheet(
        ['rpm', 'N·m'],
        [
          [6000, 50],
          [3000, 40],
        ],
      ),
      'p',
    );
    expect(codes(read)).toEqual(['repair sorted p.rows']);
    expect(read.points?.torque).toEqual([40, 50]);
  });

  it('reads columns named the other way round by their units', () => {
    const read = readPoints(
      sheet(
        ['N·m', 'rpm'],
        [
          [40, 3000],
          [50, 6000],
        ],
      ),
      'p',
    );
    expect(codes(read)).toEqual(['repair column-order p.columns']);
    expect(read.points?.torque).toEqual([40, 50]);
  });

  it.each([
    [
      'swapped figures',
      sheet(
        ['rpm', 'N·m'],
        [
          [40, 3000],
          [50, 6000],
          [45, 9000],
        ],
      ),
      'problem columns-swapped p.rows',
    ],
    [
      'the same speed twice',
      sheet(
        ['rpm', 'N·m'],
        [
          [3000, 40],
          [3000, 41],
        ],
      ),
      'problem duplicate p.rows[1]',
    ],
    [
      'power at standstill',
      sheet(
        ['rpm', 'kW'],
        [
          [0, 0],
          [3000, 10],
        ],
      ),
      'problem out-of-range p.rows[0][0]',
    ],
    [
      'negative torque',
      sheet(
        ['rpm', 'N·m'],
        [
          [3000, -40],
          [4000, 41],
        ],
      ),
      'problem out-of-range p.rows[0][1]',
    ],
    [
      'no number',
      sheet(
        ['rpm', 'N·m'],
        [
          [3000, 'n/a'],
          [4000, 41],
        ],
      ),
      'problem not-a-number p.rows[0][1]',
    ],
    [
      'a wrong unit',
      sheet(
        ['rpm', 'N·m'],
        [
          [3000, '40 kg'],
          [4000, 41],
        ],
      ),
      'problem unknown-unit p.rows[0][1]',
    ],
    [
      'infinity',
      sheet(
        ['rpm', 'N·m'],
        [
          [3000, Number.POSITIVE_INFINITY],
          [4000, 41],
        ],
      ),
      'problem not-finite p.rows[0][1]',
    ],
    [
      '1e308',
      sheet(
        ['rpm', 'N·m'],
        [
          [1e308, 40],
          [4000, 41],
        ],
      ),
      'problem out-of-range p.rows[0][0]',
    ],
    [
      'a column without a unit',
      sheet(
        ['revs', 'N·m'],
        [
          [3000, 40],
          [4000, 41],
        ],
      ),
      'problem unknown-unit p.columns[0]',
    ],
    [
      'two speeds',
      sheet(
        ['rpm', 'rpm'],
        [
          [3000, 40],
          [4000, 41],
        ],
      ),
      'problem columns p.columns',
    ],
    [
      'no speed',
      sheet(
        ['kW', 'N·m'],
        [
          [3000, 40],
          [4000, 41],
        ],
      ),
      'problem columns p.columns',
    ],
  ])('refuses %s', (_, spec, expected) => {
    const read = readPoints(spec, 'p');
    expect(read.points).toBeUndefined();
    expect(codes(read)).toContain(expected);
  });

  it('lists twenty bad cells and counts the rest', () => {
    const rows = Array.from({ length: 100 }, (): [number, string] => [3000, 'x']);
    const { problems } = readPoints(sheet(['rpm', 'N·m'], rows), 'p');
    expect(problems).toHaveLength(21);
    expect(problems.at(-1)?.message).toContain('80 more');
  });

  it('gives rising speeds whatever the order, the same in any unit', () => {
    const speeds = fc.uniqueArray(fc.integer({ min: 700, max: 15_000 }), { minLength: 2, maxLength: 30 });
    fc.assert(
      fc.property(speeds, (list) => {
        const inRpm = readPoints(
          sheet(
            ['rpm', 'N·m'],
            list.map((s) => [s, s / 500]),
          ),
          'p',
        ).points;
        const inSI = readPoints(
          sheet(
            ['rad/s', 'N·m'],
            list.map((s) => [s * RPM, s / 500]),
          ),
          'p',
        ).points;
        if (inRpm === undefined || inSI === undefined) throw new Error('not read');
        expect(inRpm.speed.every((s, i) => i === 0 || s > inRpm.speed[i - 1]!)).toBe(true);
        expect(inRpm.torque).toEqual(inSI.torque);
      }),
      { numRuns: 300, seed: 21 },
    );
  });
});

describe('closed-throttle points', () => {
  it('reads drag written positive or negative as positive drag', () => {
    const positive = readDragPoints(
      sheet(
        ['rpm', 'N·m'],
        [
          [3000, 6],
          [9000, 12],
        ],
      ),
      'p',
    );
    const negative = readDragPoints(
      sheet(
        ['rpm', 'N·m'],
        [
          [3000, -6],
          [9000, '-12'],
        ],
      ),
      'p',
    );
    expect(positive.points?.torque).toEqual([6, 12]);
    expect(negative.points).toEqual(positive.points);
  });

  it('refuses a mixture of signs', () => {
    expect(
      readDragPoints(
        sheet(
          ['rpm', 'N·m'],
          [
            [3000, -6],
            [9000, 12],
          ],
        ),
        'p',
      ).points,
    ).toBeUndefined();
  });
});
