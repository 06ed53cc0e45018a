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
    const hostile = '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "b">]><gpx></gpx>';
    expect(readLog('x', hostile).problems[0]!.code).toBe('doctype');
  });
});
