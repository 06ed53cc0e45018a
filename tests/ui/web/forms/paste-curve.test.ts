/** Pasted dyno sheets: separators, decimal marks, headings, units, and what is refused. Data invented. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readPoints } from '../../../../sim/index.ts';
import { curveOf, guessCurve, hasSharedSpeeds, withColumn } from '../../../../ui/web/forms/paste-curve.ts';
import { decimalOf, numberOfCell, splitTable } from '../../../../ui/web/forms/paste-table.ts';

/** Columns and rows of a paste as guessed, without anybody's help. */
function read(text: string) {
  const guess = guessCurve(text);
  if (guess === undefined) return undefined;
  const found = curveOf(guess);
  return {
    guess,
    columns: found.ok ? found.spec.columns : undefined,
    rows: found.ok ? found.spec.rows : undefined,
    why: found.ok ? undefined : found.why,
  };
}

describe('cells', () => {
  test('the separator is the one that gives figures', () => {
    expect(splitTable('a;b\n1,5;2,5\n3,5;4,5').separator).toBe('semicolon');
    expect(splitTable('a,b\n1.5,2.5\n3.5,4.5').separator).toBe('comma');
    expect(splitTable('1,5\t2,5\n3,5\t4,5').separator).toBe('tab');
    expect(splitTable('3000 34.1\n4000 39.2').separator).toBe('spaces');
    expect(splitTable('"3,000","34.1"\n"4,000","39.2"')).toEqual({
      separator: 'comma',
      rows: [
        ['3,000', '34.1'],
        ['4,000', '39.2'],
      ],
    });
  });

  test('decimal marks', () => {
    expect(decimalOf(['34,5', '3.000'])).toBe(',');
    expect(decimalOf(['34.5', '3,000'])).toBe('.');
    expect(decimalOf(['1.234,5'])).toBe(',');
    expect(decimalOf(['3,000', '4,000'])).toBeUndefined();
    expect(numberOfCell('3.000', ',')).toBe(3000);
    expect(numberOfCell('1 234,5 Nm', ',')).toBe(1234.5);
    expect(numberOfCell('−4.5', '.')).toBe(-4.5);
    expect(numberOfCell('idle', '.')).toBeUndefined();
  });
});

describe('a sheet', () => {
  test('with a title, units on a line of their own, decimal commas and semicolons', () => {
    const sheet =
      'Run 7, warm\nEngine speed;Torque;AFR\n1/min;lb-ft;\n3.000;25,1;13,1\n4.200;28,8;12,9\n5.600;32,4;12,8\n';
    expect(read(sheet)).toMatchObject({
      columns: ['rpm', 'lbf·ft'],
      rows: [
        [3000, 25.1],
        [4200, 28.8],
        [5600, 32.4],
      ],
      guess: { separator: 'semicolon', decimal: ',' },
    });
  });

  test('with power instead of torque, and the order of columns turned round', () => {
    expect(read('Power (PS)\tn [rpm]\n20.1\t4000\n30.2\t6000')).toMatchObject({
      columns: ['rpm', 'PS'],
      rows: [
        [4000, 20.1],
        [6000, 30.2],
      ],
    });
  });

  test('with torque and power both: torque is kept', () => {
    expect(read('rpm,kW,Nm,km/h\n4000,16.3,39,50\n6000,28.9,46,75')?.columns).toEqual(['rpm', 'N·m']);
  });

  test('with engine speed in thousands', () => {
    expect(read('RPM x1000,Torque (Nm)\n3.0,34\n4.2,39\n5.6,44')).toMatchObject({
      columns: ['rpm', 'N·m'],
      rows: [
        [3000, 34],
        [4200, 39],
        [5600, 44],
      ],
    });
  });

  test('units in the cells', () => {
    expect(read('3000 rpm, 34 Nm\n4200 rpm, 39 Nm')).toMatchObject({
      columns: ['rpm', 'N·m'],
      rows: [
        [3000, 34],
        [4200, 39],
      ],
    });
  });

  test('without headings: engine speed by its size, the unit of torque not sure', () => {
    const found = read('3000 34\n4200 39\n5600 44');
    expect(found?.columns).toEqual(['rpm', 'N·m']);
    expect(found?.guess.columns.map(({ sure }) => sure)).toEqual([false, false]);
  });

  test('without headings, with both figures: the units follow from power = torque times engine speed', () => {
    // 5252.1 rpm: one lbf·ft gives one hp there (550 ft·lbf/s over 2 pi / 60).
    const row = (rpm: number, torque: number) => `${rpm},${((rpm * torque) / 5252.1).toFixed(2)},${torque}`;
    const found = read([row(3000, 25), row(4200, 28.8), row(5600, 32.4)].join('\n'));
    expect(found?.columns).toEqual(['rpm', 'lbf·ft']);
    expect(found?.guess.columns.map(({ sure }) => sure)).toEqual([false, true, true]);
  });

  test('over road speed is refused with the reason', () => {
    expect(read('Speed (mph),Torque (lb-ft)\n30,25\n40,28\n50,31')?.why).toMatch(
      /road speed \(mph\).*gear.*tyres/,
    );
  });

  test('what the builder says stands over the guess', () => {
    const guess = guessCurve('3000 34\n4200 39')!;
    const said = curveOf(withColumn(guess, 1, 'power', 'hp'));
    expect(said.ok && said.spec.columns).toEqual(['rpm', 'hp']);
    expect(curveOf(withColumn(guess, 0, 'leave out'))).toMatchObject({
      ok: false,
      why: /No column is engine speed/,
    });
  });

  test('words are no sheet; rows without figures are counted', () => {
    expect(guessCurve('hello\nworld')).toBeUndefined();
    expect(curveOf(guessCurve('rpm,Nm\n3000,34\nmaximum,\n4200,39')!)).toMatchObject({
      ok: true,
      remarks: ['1 row has no two figures: left out.'],
    });
  });

  test('unsorted rows and rows at one speed are left to the reader, or their mean is taken', () => {
    const guess = guessCurve('rpm,Nm\n4200,39\n3000,34\n3000,36')!;
    expect(hasSharedSpeeds(guess)).toBe(true);
    const raw = curveOf(guess);
    expect(raw.ok && readPoints(raw.spec, 'x').problems.map(({ code }) => code)).toEqual([
      'sorted',
      'duplicate',
    ]);
    const mean = curveOf(guess, { mean: true });
    expect(mean.ok && mean.spec.rows).toEqual([
      [4200, 39],
      [3000, 35],
    ]);
    expect(mean.ok && readPoints(mean.spec, 'x').points?.torque).toEqual([35, 39]);
  });

  test('longer than a curve needs: thinned, and said so', () => {
    const lines = Array.from({ length: 4500 }, (_, i) => `${3000 + i},${40}`);
    const found = curveOf(guessCurve(['rpm,Nm', ...lines].join('\n'))!);
    expect(found.ok && found.spec.rows.length).toBe(196);
    expect(found.ok && found.remarks[0]).toMatch(/one in 23 is kept/);
  });

  test('whatever the separator, mark and heading, the figures come back', () => {
    const torque = fc.integer({ min: 50, max: 3000 }).map((n) => n / 10);
    const heading = fc.constantFrom(
      ['rpm', 'Nm', 'N·m'],
      ['Engine speed (rpm)', 'Torque (ft-lb)', 'lbf·ft'],
      ['n [1/min]', 'M [kgm]', 'kgf·m'],
      ['RPM', 'Power hp', 'hp'],
      ['rpm', 'P (kW)', 'kW'],
    );
    const style = fc.constantFrom([';', ','], [';', '.'], ['\t', ','], ['\t', '.'], [',', '.'], ['|', '.']);
    fc.assert(
      fc.property(
        heading,
        style,
        fc.uniqueArray(fc.integer({ min: 12, max: 140 }), { minLength: 3, maxLength: 30 }),
        fc.array(torque, { minLength: 30, maxLength: 30 }),
        (names, [separator, mark], hundreds, figures) => {
          const rows = hundreds.map((n, i) => [n * 100, figures[i]!] as const);
          const cell = (x: number) => x.toFixed(1).replace('.', mark!);
          const text = [names.slice(0, 2), ...rows.map(([n, t]) => [String(n), cell(t)])]
            .map((row) => row.join(separator))
            .join('\n');
          expect(read(text)).toMatchObject({ columns: ['rpm', names[2]], rows });
        },
      ),
      { seed: 44, numRuns: 200 },
    );
  });

  test('never throws, whatever is pasted', () => {
    fc.assert(
      fc.property(
        fc.string({
          unit: fc.constantFrom('1', '3000', ',', '.', ';', '\t', '\n', ' ', 'rpm', '"', 'Nm', '-', 'e9'),
        }),
        (text) => {
          const guess = guessCurve(text);
          const found = guess && curveOf(guess);
          if (found?.ok) for (const cell of found.spec.rows.flat()) expect(Number.isFinite(cell)).toBe(true);
        },
      ),
      { seed: 45, numRuns: 300 },
    );
  });
});
