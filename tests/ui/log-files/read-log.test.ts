/** Logs of loggers and phones as they come: separators, marks, headers, units, clocks, holes, lies. Invented data. */
import { describe, expect, it } from 'vitest';
import { readLog } from '../../../ui/log-files/read-log.ts';

/** A kart that gains 1 m/s each second, ten rows a second. */
const rows = (write: (t: number, v: number) => string, count = 60) =>
  Array.from({ length: count }, (_, i) => write(i / 10, i / 10)).join('\n');
const RPM = Math.PI / 30;

function speeds(text: string, choices?: Parameters<typeof readLog>[2]) {
  const read = readLog('log.csv', text, choices);
  expect(read.problems).toEqual([]);
  return { ...read, at: (i: number) => read.log!.speed[i]! };
}

describe('reading a log', () => {
  it('semicolons, decimal commas, units in brackets', () => {
    const text = `Stamp [s];GPS_Speed [km/h];RPM\n${rows((t, v) => `${t.toFixed(1)};${(v * 3.6).toFixed(2)};${3000}`.replaceAll('.', ','))}`;
    const { at, log, columns } = speeds(text);
    expect(log!.time[50]).toBeCloseTo(5, 12);
    expect(at(50)).toBeCloseTo(5, 2);
    expect(log!.engineSpeed![3]).toBeCloseTo(3000 * RPM, 9);
    expect(columns.map((c) => `${c.role} ${c.unit}`)).toEqual(['time s', 'speed km/h', 'engine speed rpm']);
  });

  it('lines before the table, a row of units, tabs', () => {
    const text = `Logger 7\nDriver: nobody\n\nTime\tSpeed\tThrottle\n[ms]\t[mph]\t[%]\n${rows((t, v) => `${t * 1000}\t${(v / 0.44704).toFixed(4)}\t100`)}`;
    const { at, log } = speeds(text);
    expect(log!.time[30]).toBeCloseTo(3, 9);
    expect(at(30)).toBeCloseTo(3, 3);
    expect(log!.throttle![5]).toBe(1);
  });

  it('clocks and dates instead of seconds', () => {
    const clock = rows((t, v) => `14:02:${(10 + t).toFixed(1)},${v}`);
    expect(speeds(`clock,speed (m/s)\n${clock}`).log!.time[40]).toBeCloseTo(4, 9);
    const stamp = rows((t, v) => `2026-05-17T09:00:${(10 + t).toFixed(1)}Z,${v}`);
    expect(speeds(`utc,speed (m/s)\n${stamp}`).log!.time[40]).toBeCloseTo(4, 6);
  });

  it('milliseconds said to be seconds', () => {
    const { log, remarks } = speeds(`time [s],speed [m/s]\n${rows((t, v) => `${t * 1000},${v}`)}`);
    expect(log!.time[40]).toBeCloseTo(4, 9);
    expect(remarks.join(' ')).toContain('milliseconds');
  });

  it('km/h said to be m/s, found out by the places', () => {
    // 111.2 km to a degree of latitude on average; 0.1 s at v m/s.
    let way = 0;
    const text = `t [s],speed [m/s],lat,lon\n${rows((t) => {
      way += 2;
      return `${t},${20 * 3.6},${(50 + way / 111_240).toFixed(8)},10`;
    })}`;
    const { at, remarks, log } = speeds(text);
    expect(at(10)).toBeCloseTo(20, 6);
    expect(remarks.join(' ')).toContain('read as km/h');
    // 2 m a row on the ground.
    expect(log!.y![11]! - log!.y![10]!).toBeCloseTo(2, 1);
  });

  it.each([
    // What the header says, what the numbers are in (m/s for 1), how far the places lie of what 20 m/s carry; what is read.
    ['km/h', 1 / 3.6, 1, 20, undefined],
    ['mph', 0.44704, 1, 20, undefined],
    ['mph', 1 / 3.6, 1, 20, 'read as km/h'],
    ['km/h', 0.44704, 1, 20, 'read as mph'],
    ['km/h', 1, 1, 20, 'read as m/s'],
    ['km/h', 1 / 3.6, 2.2, 20, 'no unit explains that'],
  ] as const)(
    'header %s, numbers in %d m/s, places at %d of the way',
    (unit, factor, share, wanted, said) => {
      let way = 0;
      const text = `t [s],speed [${unit}],x [m],y [m]\n${rows((t) => {
        way += 2 * share;
        return `${t},${20 / factor},${way.toFixed(3)},0`;
      })}`;
      const { at, remarks } = speeds(text);
      expect(at(10)).toBeCloseTo(wanted, 6);
      if (said === undefined) expect(remarks.join(' ')).not.toContain('The header says');
      else expect(remarks.join(' ')).toContain(said);
    },
  );

  it('no unit at all: guessed by size, and said', () => {
    const { at, remarks } = speeds(`time,speed\n${rows((t, v) => `${t},${60 + v}`)}`);
    expect(at(0)).toBeCloseTo(60 / 3.6, 9);
    expect(remarks.join(' ')).toContain('taken as km/h');
  });

  it("the builder's word stands over the header", () => {
    const text = `a,b,c\n${rows((t, v) => `${t},${v},${v * 2}`)}`;
    expect(readLog('x', text).problems[0]!.code).toBe('no-time');
    const { at } = speeds(text, { time: { column: 'a', unit: 's' }, speed: { column: '3', unit: 'km/h' } });
    expect(at(50)).toBeCloseTo(10 / 3.6, 9);
    const wrong = readLog('x', text, { time: { column: 'z' } });
    expect(wrong.problems[0]!.message).toContain("no column 'z'");
  });

  it('rows that repeat, go back or miss are left out and counted', () => {
    const lines = rows((t, v) => `${t},${v}`).split('\n');
    lines.splice(20, 0, '1.2,1.2', ',', '1.95,-');
    const { log, remarks } = speeds(`time [s],speed [m/s]\n${lines.join('\n')}`);
    expect(log!.time.length).toBe(60);
    expect(remarks.join(' ')).toContain('1 rows that go back');
  });

  it('an engine speed in thousands, said in the header or told by the numbers', () => {
    const log = (head: string, rpm: (t: number) => number) =>
      speeds(`time [s],speed [m/s],${head}\n${rows((t, v) => `${t},${v},${rpm(t).toFixed(4)}`)}`);
    const wanted = (t: number) => 1.3 + t;
    for (const head of [
      'Engine_speed rpm x1000',
      'RPM (x 1000)',
      'rpm/1000',
      'Engine speed [1000 rpm]',
      'RPM ×1000',
      'n [1/min x1000]',
    ]) {
      const { log: drive, columns, remarks } = log(head, wanted);
      expect(drive!.engineSpeed![20]! / RPM, head).toBeCloseTo(3300, 6);
      expect(columns.at(-1)!.unit, head).toBe('rpm x 1000');
      // Said by the header: nothing was mended.
      expect(remarks.join(' '), head).not.toContain('taken as thousands');
    }
    const silent = log('RPM', wanted);
    expect(silent.log!.engineSpeed![20]! / RPM).toBeCloseTo(3300, 6);
    expect(silent.remarks.join(' ')).toContain('taken as thousands');
    // A header that says thousands over numbers that are whole: no engine turns at 6 million rpm.
    const whole = log('rpm x1000', (t) => 1300 + 1000 * t);
    expect(whole.log!.engineSpeed![20]! / RPM).toBeCloseTo(3300, 6);
    expect(whole.remarks.join(' ')).toContain('taken as rpm');
    // An engine that stands all the while turns at nought in any unit.
    expect(log('RPM', () => 0).remarks.join(' ')).not.toContain('thousands');
    // Neither thousands nor a speed an engine runs at: said, for no pull is found with it.
    expect(log('RPM', (t) => 40 + t).remarks.join(' ')).toContain('no engine runs so slowly');
  });

  it.each([
    ['Zeit [s];Geschwindigkeit [km/h];Drehzahl [U/min];Gaspedal [%];Runde', 'German'],
    ['Temps (s);Vitesse (km/h);Régime moteur (tr/min);Accélérateur (%);Tour', 'French'],
    ['Tiempo (s);Velocidad (km/h);Revoluciones (rpm);Acelerador (%);Vuelta', 'Spanish'],
    ['Tempo (s);Velocità (km/h);Giri motore (giri/min);Acceleratore (%);Giro', 'Italian'],
    ['Tijd (s);Snelheid (km/h);Toerental (t/min);Gaspedaal (%);Ronde', 'Dutch'],
    ['Tempo (s);Velocidade (km/h);Rotação (rpm);Acelerador (%);Volta', 'Portuguese'],
    ['Zeit s;Geschwindigkeit km/h;U/min;Drosselklappe %;Runde', 'units without brackets'],
    ['Temps s;Vitesse km/h;tr/min;Papillon %;Tour', 'a unit as the whole header'],
  ])('headers of other languages: %s', (heads) => {
    const { columns, log } = speeds(
      `${heads}\n${rows((t, v) => `${t};${(v * 3.6).toFixed(4)};${3000};100;1`)}`,
    );
    expect(columns.map((c) => `${c.role} ${c.unit}`.trim())).toEqual([
      'time s',
      'speed km/h',
      'engine speed rpm',
      'throttle %',
      'lap',
    ]);
    expect(log!.speed[50]).toBeCloseTo(5, 4);
    expect(log!.engineSpeed![3]).toBeCloseTo(3000 * RPM, 9);
  });

  it('says which columns were not used, however many', () => {
    const { remarks } = speeds(
      `time [s],speed [m/s],Oil temperature,Long Acc (g)\n${rows((t, v) => `${t},${v},80,0.1`)}`,
    );
    expect(remarks.join(' ')).toContain('Not used: "Oil temperature" and "Long Acc (g)".');
    const many = Array.from({ length: 40 }, (_, i) => `Channel ${i + 1}`);
    const all = speeds(
      `time [s],speed [m/s],${many.join()}\n${rows((t, v) => `${t},${v},${many.map(() => 1).join()}`)}`,
    );
    expect(all.remarks.join(' ')).toMatch(/Not used: "Channel 1", .* and 28 more\./);
  });

  it('a column by its place, or none, and thousands of rpm as the builder says', () => {
    const text = `a,b,rpm,lap\n${rows((t, v) => `${t},${v},${3 + t},7`)}`;
    const failed = readLog('x', text);
    // What is in the file is told even where it cannot be read: there is something to choose from.
    expect(failed.heads).toEqual(['a', 'b', 'rpm', 'lap']);
    expect(failed.columns.map((c) => c.role)).toEqual(['engine speed', 'lap']);
    const { log, columns } = speeds(text, {
      time: { column: 0, unit: 's' },
      speed: { column: 1, unit: 'm/s' },
      'engine speed': { unit: 'rpm x 1000' },
      lap: { column: null },
    });
    expect(log!.lap).toBeUndefined();
    expect(log!.engineSpeed![20]! / RPM).toBeCloseTo(5000, 6);
    expect(columns.map((c) => c.role)).toEqual(['time', 'speed', 'engine speed']);
  });

  it('a column the builder names without a unit is in the one its numbers tell, not in SI', () => {
    const text = `a,b,c\n${rows((t, v) => `${t},${60 + v},${3000 + t}`)}`;
    const { log, remarks } = speeds(text, {
      time: { column: 'a' },
      speed: { column: 'b' },
      'engine speed': { column: 'c' },
    });
    expect(log!.speed[0]).toBeCloseTo(60 / 3.6, 9);
    expect(log!.engineSpeed![0]! / RPM).toBeCloseTo(3000, 6);
    expect(remarks.join(' ')).toContain('No unit of speed is given: taken as km/h');
  });

  it('an empty file, and headers with nothing below them, in plain words', () => {
    for (const text of ['', '\ufeff', ' \n\n']) {
      const [found] = readLog('x', text).problems;
      expect(found!.code).toBe('empty');
      expect(found!.message).toBe('the file is empty');
    }
    for (const text of [
      'time [s],speed [km/h],rpm\n',
      'Zeit;Geschwindigkeit',
      'Logger 7\n\ntime\tspeed\n[s]\t[km/h]\n',
    ]) {
      const [found] = readLog('x', text).problems;
      expect(found!.code, text).toBe('no-rows');
      expect(found!.message).toContain('headers, but no rows of numbers below them');
    }
  });

  it('GPX with times: speed from the places', () => {
    const points = Array.from(
      { length: 40 },
      (_, i) =>
        `<trkpt lat="${(50 + (i * 12) / 111_240).toFixed(9)}" lon="10"><time>2026-05-17T09:00:${String(i).padStart(2, '0')}Z</time></trkpt>`,
    ).join('');
    const gpx = `<?xml version="1.0"?><gpx version="1.1" creator="test"><trk><trkseg>${points}</trkseg></trk></gpx>`;
    const { at } = speeds(gpx);
    // 12 m/s by a mean degree; at 50 degrees north the degree is 111,229 m (WGS 84 series): 1.2e-4 less.
    expect(Math.abs(at(20) / 12 - 1)).toBeLessThan(5e-4);
  });

  it('says what is wrong with a file that is no log', () => {
    expect(readLog('x', 'hello').problems[0]!.code).toBe('no-table');
    expect(readLog('x', 'time,speed\n1,2\n2,3').problems[0]!.code).toBe('too-short');
    expect(readLog('x', `time,height\n${rows((t, v) => `${t},${v}`)}`).problems[0]!.code).toBe('no-speed');
    // The headers there are, all of them, to name one.
    expect(readLog('x', `time,height\n${rows((t, v) => `${t},${v}`)}`).problems[0]!.value).toBe(
      'time, height',
    );
    const hostile = '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "b">]><gpx></gpx>';
    expect(readLog('x', hostile).problems[0]!.code).toBe('doctype');
  });
});
