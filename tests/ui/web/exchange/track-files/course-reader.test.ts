/** The reader a worker holds: what it tells while reading, what it answers, that nothing of a file's size leaves it. */
import { describe, expect, it } from 'vitest';
import { MAX_PLACES } from '../../../../../ui/web/exchange/track-files/course-file.ts';
import { createCourseReader } from '../../../../../ui/web/exchange/track-files/course-reader.ts';

const file = (text: string) => {
  const bytes = new TextEncoder().encode(text);
  return { name: 'a file', size: bytes.length, arrayBuffer: () => Promise.resolve(bytes.buffer) };
};
const ALL = { lap: undefined, ends: undefined, tolerance: 0.05, calm: false, heights: false } as const;

/** `count` places round a wavy ring of some 600 m, again and again. */
function recording(count: number): string {
  const points = Array.from({ length: count }, (_, i) => {
    const angle = (2 * Math.PI * i) / 500;
    const r = 100 + 20 * Math.sin(3 * angle);
    const [x, y] = [r * Math.cos(angle), r * Math.sin(angle)];
    return `<trkpt lat="${50 + y / 111_230}" lon="${8 + x / 71_700}"/>`;
  });
  return `<gpx version="1.1"><trk><name>Ring</name><trkseg>${points.join('\n')}</trkseg></trk></gpx>`;
}

describe('a file held open', () => {
  it('tells how many places it has read, in every format, and then what is in the file', async () => {
    const count = 12_000;
    const places = Array.from({ length: count }, (_, i) => [8 + i / 1e6, 50 + (i % 7) / 1e6]);
    const texts = {
      GPX: recording(count),
      GeoJSON: JSON.stringify({ type: 'LineString', coordinates: places }),
      KML: `<kml><Placemark><LineString><coordinates>${places.map((p) => p.join()).join(' ')}</coordinates></LineString></Placemark></kml>`,
      CSV: `x,y\n${places.map((p) => p.join()).join('\n')}`,
    };
    for (const [kind, text] of Object.entries(texts)) {
      const told: number[] = [];
      const reader = createCourseReader();
      const { contents, problems } = await reader.read(file(text), (n) => told.push(n));
      expect(problems).toEqual([]);
      expect(contents).toMatchObject({ kind, lines: [{ count }] });
      expect(told).toEqual([5000, 10_000]);
    }
  });

  it('answers with facts and a course; a hundred thousand places stay where they were read', async () => {
    const reader = createCourseReader();
    await reader.read(file(recording(100_000)));
    const { facts, problems } = reader.lookOver(0);
    expect(problems).toEqual([]);
    expect(facts).toMatchObject({ recorded: false, heights: false, onEarth: true });
    expect(facts!.laps.length).toBeGreaterThan(190);
    const { shaped } = reader.shape(0, { ...ALL, lap: 0 }, []);
    expect(shaped!.count).toBeGreaterThan(498);
    const whole = reader.shape(0, ALL, []).shaped!;
    expect(whole.count).toBe(100_000);
    // A picture is 560 px wide.
    expect(whole.sketch.length).toBeLessThanOrEqual(4001);
    // What a message carries can be cloned: no functions, and no more than a picture and a project can hold.
    expect(structuredClone({ facts, shaped })).toEqual({ facts, shaped });
  });

  it('knows where on earth a course starts that was cut out of a recording', async () => {
    const reader = createCourseReader();
    await reader.read(file(recording(2000)));
    const { start } = reader.shape(0, ALL, []).shaped!;
    expect(start!.latitude).toBeCloseTo(50, 9);
    expect(start!.longitude).toBeCloseTo(8 + 100 / 71_700, 9);
  });

  it('reads a table again by what is said of its columns, and leaves the line looked over before', async () => {
    const reader = createCourseReader();
    const { contents } = await reader.read(file('50.00123,8.00456\n50.00223,8.00556\n50.00323,8.00556\n'));
    expect(contents!.remarks.join()).toMatch(/latitude/);
    expect(reader.lookOver(0).facts!.onEarth).toBe(true);
    expect(reader.readAgain('x, y').problems).toEqual([]);
    expect(reader.shape(0, ALL, []).shaped!.start).toBeUndefined();
    expect(reader.lookOver(0).facts!.onEarth).toBe(false);
  });

  it('refuses with place and reason: a place nowhere on earth, and one place too many', async () => {
    const reader = createCourseReader();
    const spoilt = recording(30).replace(/lat="[\d.]+" lon="([\d.]+)"\/>\n/, 'lat="95" lon="$1"/>\n');
    const { contents, problems } = await reader.read(file(spoilt));
    expect(contents).toBeUndefined();
    expect(problems[0]).toMatchObject({ code: 'out-of-range', value: '95' });
    expect(problems[0]!.path).toMatch(/line 1, column \d+/);
    const many = await reader.read(file(`${recording(MAX_PLACES + 1)}`));
    expect(many.problems[0]).toMatchObject({ code: 'too-many', limit: String(MAX_PLACES) });
    expect(many.problems[0]!.path).toMatch(new RegExp(`line ${MAX_PLACES + 1}, column`));
  });

  it('a cut GeoJSON file larger than a project may be says where it stops', async () => {
    const places = Array.from({ length: 520_000 }, (_, i) => `[8.${1e7 + i},50.0000000000000001,100.0]`);
    const text = `{"type":"LineString","coordinates":[\n${places.join(',')}`;
    expect(text.length).toBeGreaterThan(20_000_000);
    const { problems } = await createCourseReader().read(file(text));
    expect(problems[0]).toMatchObject({ code: 'not-json' });
    expect(problems[0]!.path).toMatch(/line 2, column \d+/);
  });
});
