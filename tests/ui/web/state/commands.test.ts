/** Commands change a copy of the document, name themselves, and leave it one the reader accepts. */
import { describe, expect, test } from 'vitest';
import { readProjectValue } from '../../../../sim/index.ts';
import { demoInput } from '../../../../ui/demo/demo-project.ts';
import {
  setBallast,
  setBrakeShare,
  setDriverMass,
  setSpeedUnit,
  setTeeth,
  setTyre,
} from '../../../../ui/web/state/commands.ts';
import { bareValue, withBareValue, withValue, written } from '../../../../ui/web/state/document.ts';

const KART = 'clodlet-four-knobbly';

describe('document', () => {
  test('a replaced value shares everything else and leaves the old document alone', () => {
    const old = { a: { b: [1, { c: 2 }] }, d: { e: 3 } };
    const next = withValue(old, ['a', 'b', 1, 'c'], 9);
    expect(next).toEqual({ a: { b: [1, { c: 9 }] }, d: { e: 3 } });
    expect(old.a.b[1]).toEqual({ c: 2 });
    expect(next['d']).toBe(old.d);
  });

  test('groups that are missing are made', () => {
    expect(withValue({}, ['units', 'speed'], 'mph')).toEqual({ units: { speed: 'mph' } });
  });

  test('a spread stays with a new value, an origin does not: it spoke of the old one', () => {
    const old = { m: { value: '86 kg', spread: '1 kg', origin: 'measured', note: 'scales' } };
    expect(withBareValue(old, ['m'], '90 kg')).toEqual({ m: { value: '90 kg', spread: '1 kg' } });
    expect(bareValue(old, ['m'])).toBe('86 kg');
  });

  test('keys of the prototype are not part of a document', () => {
    expect(written({}, ['constructor'])).toBeUndefined();
    expect(written({}, ['__proto__', 'x'])).toBeUndefined();
  });
});

describe('commands', () => {
  const demo = demoInput();
  const snapshot = JSON.stringify(demo);
  const cases = [
    {
      command: setTeeth(KART, 'rear', 45),
      label: 'rear sprocket 45',
      path: ['karts', KART, 'sprockets', 'rear'],
      now: 45,
    },
    {
      command: setTyre(KART, 'front', 'asphalt-front', 'Asphalt, front'),
      label: 'front tyre Asphalt, front',
      path: ['karts', KART, 'tyres', 'front'],
      now: 'asphalt-front',
    },
    {
      command: setDriverMass(KART, '200 lb'),
      label: 'driver 200 lb',
      path: ['karts', KART, 'driver', 'mass'],
      now: '200 lb',
    },
    {
      command: setBrakeShare('bar', '62 %'),
      label: 'front brakes 62 %',
      path: ['brakes', 'bar', 'hydraulics', 'barFrontShare'],
      now: '62 %',
    },
    {
      command: setBrakeShare('plain', '62 %'),
      label: 'front brakes 62 %',
      path: ['brakes', 'plain', 'frontShare'],
      now: '62 %',
    },
    {
      command: setBallast(KART, 10, '10 kg'),
      label: 'ballast 10 kg',
      path: ['karts', KART, 'ballast', 0, 'mass'],
      now: '10 kg',
    },
    { command: setSpeedUnit('mph'), label: 'speeds in mph', path: ['units', 'speed'], now: 'mph' },
  ];
  test.each(cases)('$label', ({ command, label, path, now }) => {
    expect(command.label).toBe(label);
    const next = command.apply(demo);
    expect(bareValue(next, path)).toBe(now);
    expect(JSON.stringify(demo)).toBe(snapshot);
    expect(readProjectValue(next).problems.filter((p) => p.severity === 'problem')).toEqual([]);
  });

  test('ballast sits where the driver sits, and a second edit changes the same piece', () => {
    const once = setBallast(KART, 10, '10 kg').apply(demo);
    const twice = setBallast(KART, 12, '12 kg').apply(once);
    const project = readProjectValue(twice).project!;
    const { behindFrontAxle, height } = project.chassis['clodlet']!.driverAt;
    expect(project.karts[KART]!.ballast).toEqual([{ mass: 12, behindFrontAxle, height }]);
  });

  test('no ballast at the seat leaves the kart as it was; pieces elsewhere stay where they are', () => {
    expect(setBallast(KART, 0, '0 kg').apply(demo)).toBe(demo);
    const taken = setBallast(KART, 0, '0 kg').apply(setBallast(KART, 10, '10 kg').apply(demo));
    expect(taken).toEqual(demo);
    const elsewhere = [{ mass: '5 kg', behindFrontAxle: '1.1 m', height: '0.2 m' }];
    const placed = withValue(demo, ['karts', KART, 'ballast'], elsewhere);
    expect(written(setBallast(KART, 0, '0 kg').apply(placed), ['karts', KART, 'ballast'])).toEqual([
      { ...elsewhere[0], mass: '0 kg' },
    ]);
  });
});
