/** Courses in files of every kind, as they are met: what is read, and what is refused with place and reason. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readDemo } from '../../../../../ui/demo/demo-project.ts';
import { MAX_BYTES, MAX_PLACES } from '../../../../../ui/web/exchange/track-files/course-file.ts';
import { readCourseFile, readText } from '../../../../../ui/web/exchange/track-files/read-course-file.ts';
import { lookOver, shapeCourse } from '../../../../../ui/web/exchange/track-files/shape-course.ts';
import { FORMATS, writtenCourse } from '../../../../../ui/web/exchange/track-files/write-course.ts';

const gpx = (inner: string): string =>
  `<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">${inner}</gpx>`;
const point = (lat: number | string, lon: number | string, inner = ''): string =>
  `<trkpt lat="${lat}" lon="${lon}">${inner}</trkpt>`;
const kml = (inner: string): string =>
  `<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2"><Document>${inner}</Document></kml>`;
const refusal = (text: string) => readCourseFile(text).problems[0]!;

describe('GPX', () => {
  it('tracks with segments and routes, height and time; waypoints are no course', () => {
    const { file } = readCourseFile(
      gpx(
        `<wpt lat="1" lon="2"><name>Gate</name></wpt><trk><name>One &amp; only &lt;b&gt;</name><trkseg>${point(50, 8, '<ele>101.5</ele><time>2026-05-01T10:00:00Z</time>')}${point(50.001, 8)}</trkseg><trkseg>${point(50.002, 8)}${point(50.003, 8)}</trkseg></trk><rte><name>R</name><rtept lat="50" lon="8"/><rtept lat="50" lon="8.001"/></rte>`,
      ),
    );
    expect(file!.courses.map(({ name, from, places }) => [name, from, places.length])).toEqual([
      ['One & only <b>', 'track 1, all 2 segments joined', 4],
      ['One & only <b>', 'track 1, segment 1', 2],
      ['One & only <b>', 'track 1, segment 2', 2],
      ['R', 'route 1', 2],
    ]);
    expect(file!.courses[1]!.places[0]).toEqual({
      x: 8,
      y: 50,
      height: 101.5,
      time: Date.UTC(2026, 4, 1, 10) / 1000,
    });
  });
});

describe('GeoJSON', () => {
  const line = [
    [8, 50, 100],
    [8.001, 50],
    [8.001, 50.001],
  ];
  it('longitude first, height third, in every geometry that is a line', () => {
    const ring = [...line, line[0]];
    const { file } = readCourseFile(
      JSON.stringify({
        type: 'FeatureCollection',
        features: [
          { type: 'Feature', properties: { name: 'A' }, geometry: { type: 'LineString', coordinates: line } },
          { type: 'Feature', properties: null, geometry: { type: 'Polygon', coordinates: [ring, ring] } },
          { type: 'Feature', properties: {}, geometry: { type: 'MultiLineString', coordinates: [line] } },
          { type: 'Feature', properties: {}, geometry: null },
          {
            type: 'Feature',
            properties: {},
            geometry: {
              type: 'GeometryCollection',
              geometries: [
                { type: 'Point', coordinates: [8, 50] },
                { type: 'MultiPolygon', coordinates: [[ring]] },
              ],
            },
          },
        ],
      }),
    );
    expect(file!.courses.map(({ name, ring: closed, places }) => [name, closed, places.length])).toEqual([
      ['A', false, 3],
      ['', true, 4],
      ['', true, 4],
      ['', false, 3],
      ['', true, 4],
    ]);
    expect(file!.courses[0]!.places[0]).toEqual({ x: 8, y: 50, height: 100 });
  });
});

describe('KML', () => {
  it('lines, rings of polygons and tracks with times', () => {
    const { file } = readCourseFile(
      kml(
        `<Placemark><name>L</name><LineString><coordinates>8,50,100 8.001,50,101\n 8.001,50.001</coordinates></LineString></Placemark>
         <Placemark><name>Hut</name><Point><coordinates>8,50</coordinates></Point></Placemark>
         <Placemark><Polygon><outerBoundaryIs><LinearRing><coordinates>8,50 8.001,50 8.001,50.001 8,50</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark>
         <Placemark><gx:Track><when>2026-05-01T10:00:00Z</when><when>2026-05-01T10:00:05Z</when><gx:coord>8 50 7</gx:coord><gx:coord>8.001 50 8</gx:coord></gx:Track></Placemark>`,
      ),
    );
    expect(file!.courses.map(({ name, ring, places }) => [name, ring, places.length])).toEqual([
      ['L', false, 3],
      ['', true, 4],
      ['', false, 2],
    ]);
    expect(file!.courses[2]!.places[1]!.time! - file!.courses[2]!.places[0]!.time!).toBe(5);
    expect(file!.courses[0]!.places[1]).toEqual({ x: 8.001, y: 50, height: 101 });
  });
});

describe('tables', () => {
  const places = (text: string) => readCourseFile(text).file!.courses[0]!;
  it.each([
    ['x,y\n0,0\n10,0\n10,5\n', { x: 10, y: 5 }],
    ['X [m];Y [m];Z [m]\n0;0;0\n10,5;0;1\n10,5;5,25;1,5\n', { x: 10.5, y: 5.25, height: 1.5 }],
    ['# made by hand\n\nPos_X (ft)\tPos_Y (ft)\n0\t0\n100\t0\n100\t50\n', { x: 30.48, y: 15.24 }],
    [
      'name,east_m,north_m,w (m),ground\na,0,0,6,clay\nb,10,0,7,\nc,10,5,8,asphalt\n',
      { x: 10, y: 5, width: 8, surface: 'asphalt' },
    ],
    [
      'sep=;\n"x";"y";"left (m)";"right (m)";"bank (°)"\n0;0;2;3;1\n1;1;2;3;1\n2;2;2,5;3;-1\n',
      { x: 2, y: 2, left: 2.5, right: 3, bank: -1 },
    ],
    ['0 0\n10 0\n10 5\n', { x: 10, y: 5 }],
    ['x,y\n-1.5e2,3\n0,0\n1e2,4\n', { x: 100, y: 4 }],
  ])('%j', (text, last) => {
    const course = places(text);
    expect(course.frame).toBe('metres');
    const found = course.places.at(-1)!;
    // Feet are exact: 0.3048 m.
    for (const [key, value] of Object.entries(last))
      if (typeof value === 'number') expect(found[key as 'x']).toBeCloseTo(value, 9);
      else expect(found[key as 'surface']).toBe(value);
  });

  it('latitude and longitude by their heads in any order, and by looking where there are none', () => {
    const named = places('lon;lat;alt\n8,001234;50,1;10\n8,002345;50,2;11\n');
    expect([named.frame, named.places[0]]).toEqual(['geographic', { x: 8.001234, y: 50.1, height: 10 }]);
    const bare = '50.00123,8.00456\n50.00223,8.00556\n';
    expect(places(bare).places[0]).toEqual({ x: 8.00456, y: 50.00123 });
    expect(readCourseFile(bare, 'longitude, latitude').file!.courses[0]!.places[0]).toEqual({
      x: 50.00123,
      y: 8.00456,
    });
    expect(readCourseFile(bare, 'x, y').file!.courses[0]!.frame).toBe('metres');
  });

  it('a grid far off is brought to nought', () => {
    const { looked } = lookOver(
      places('easting,northing\n412345.2,5712345.1\n412355.2,5712345.1\n412355.2,5712365.1\n'),
    );
    expect(looked!.ground.places.at(-1)).toMatchObject({ x: 10, y: 20 });
    expect(looked!.ground.shift).toEqual({ x: 412345.2, y: 5712345.1 });
  });
});

describe('refused with place and reason', () => {
  const laughs = `<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">${Array.from({ length: 30 }, (_, i) => `<!ENTITY c${i} "${`&${i === 0 ? 'b' : `c${i - 1}`};`.repeat(10)}">`).join('')}]><gpx><trk><name>&c29;</name></trk></gpx>`;
  const pair = point(50, 8) + point(50.001, 8);
  const seg = (inner: string): string => gpx(`<trk><trkseg>${inner}</trkseg></trk>`);
  const cases: readonly (readonly [string, string, string, RegExp])[] = [
    ['a billion laughs', laughs, 'doctype', /line 1/],
    ['an entity of a file', `<!DOCTYPE gpx SYSTEM "file:///etc/passwd">${gpx('')}`, 'doctype', /line 1/],
    ['an entity nobody defined', gpx(`<trk><name>&boom;</name></trk>`), 'not-xml', /line 1/],
    ['elements nested deep', `<gpx>${'<a>'.repeat(100_000)}`, 'too-deep', /line 1/],
    ['brackets nested deep', `{"type":"Feature","geometry":${'['.repeat(1_000_000)}`, 'too-deep', /line 1/],
    ['an end cut off', gpx(`<trk><trkseg>${pair}`).slice(0, -9), 'not-xml', /line 1/],
    ['latitude 95', seg(`\n${pair}\n${point(95, 8)}`), 'out-of-range', /line 3/],
    ['NaN', seg(pair + point('NaN', 8)), 'no-number', /line 1/],
    ['Infinity', seg(pair + point(50, 'Infinity')), 'no-number', /line 1/],
    ['1e308', seg(pair + point('1e308', 8)), 'out-of-range', /line 1/],
    ['1e999', seg(pair + point('1e999', 8)), 'no-number', /line 1/],
    ['no latitude', seg(`${pair}<trkpt lon="8"/>`), 'no-number', /line 1/],
    ['one place', seg(point(50, 8)), 'no-course', /^$/],
    ['places all the same', seg(point(50, 8).repeat(20)), 'no-course', /^$/],
    ['no line', gpx('<wpt lat="1" lon="1"/>'), 'no-course', /^$/],
    ['another kind of XML', '<html><body/></html>', 'not-gpx', /line 1/],
    [
      'KML with words for numbers',
      kml('<LineString><coordinates>8,fifty 8,51</coordinates></LineString>'),
      'no-number',
      /line 1/,
    ],
    ['GeoJSON with NaN', '{"type":"LineString","coordinates":[[NaN,1]]}', 'not-json', /^$/],
    [
      'GeoJSON with 1e400',
      '{"type":"LineString","coordinates":[[8,50],[1e400,50]]}',
      'out-of-range',
      /coordinates\[1\]/,
    ],
    [
      'GeoJSON with text',
      '{"type":"Feature","geometry":{"type":"LineString","coordinates":[[8,50],["8",50]]}}',
      'no-number',
      /geometry\.coordinates\[1\]/,
    ],
    ['GeoJSON of no type', '{"__proto__":{"type":"LineString"},"coordinates":[]}', 'not-geojson', /^$/],
    ['a list in place of a feature', '[1,2,3]', 'not-geojson', /^$/],
    ['a table without numbers', 'what,a,day\nno,numbers,here\n', 'no-table', /row 1/],
    ['a table with a hole', 'x,y\n1,2\n3,\n4,5\n', 'no-number', /row 3/],
    ['a table with 1e308', 'x,y\n1,2\n1e308,4\n4,5\n', 'out-of-range', /row 3/],
    ['a table in gallons', 'x (gal),y (gal)\n1,2\n3,4\n', 'unknown-unit', /column 1/],
    ['a table with a negative width', 'x,y,width\n1,2,5\n3,4,-5\n', 'out-of-range', /row 3/],
    ['nothing', ' \n ', 'empty', /^$/],
    ['a packed file', 'PK\u0003\u0004abc', 'packed', /^$/],
    ['a picture', '\u0089PNG\r\n\u001a\n\0\0\0\rIHDR', 'not-text', /^$/],
  ];
  it.each(cases)('%s', (_name, text, code, place) => {
    const started = performance.now();
    const { file, problems } = readCourseFile(text);
    expect(file).toBeUndefined();
    expect(problems[0]).toMatchObject({ severity: 'problem', code });
    expect(problems[0]!.path).toMatch(place);
    expect(problems[0]!.message.length).toBeGreaterThan(8);
    // Seconds would be a hang; tenths are a slow machine.
    expect(performance.now() - started).toBeLessThan(3000);
  });

  it('a course across half a continent, and more places than anybody drives', () => {
    const far = readCourseFile(seg(point(50, 8) + point(55, 8))).file!;
    expect(lookOver(far.courses[0]!).problems[0]).toMatchObject({ code: 'too-far', limit: '100 km' });
    const many = `x,y\n${Array.from({ length: MAX_PLACES + 50 }, (_, i) => `${i},${i % 7}`).join('\n')}`;
    // The row of the first place too many: one row of heads, counted from one.
    expect(refusal(many)).toMatchObject({ code: 'too-many', path: `row ${MAX_PLACES + 2}` });
  });

  it('beyond 50 MB by its size, unread', async () => {
    const file = {
      name: 'big.gpx',
      size: 50_000_001,
      arrayBuffer: () => Promise.reject(new Error('was read')),
    };
    const { problems } = await readText(file);
    expect(problems[0]).toMatchObject({ code: 'too-large', value: '51 MB', limit: `${MAX_BYTES / 1e6} MB` });
  });

  it('keys that reach into objects change nothing', () => {
    const text =
      '{"type":"Feature","properties":{"name":"x","__proto__":{"polluted":1},"constructor":{"prototype":{"polluted":1}}},"geometry":{"type":"LineString","coordinates":[[8,50],[8.001,50]],"__proto__":{"polluted":1}}}';
    expect(readCourseFile(text).file!.courses).toHaveLength(1);
    expect(({} as { polluted?: number }).polluted).toBeUndefined();
    expect(readCourseFile('__proto__,x,y\n1,2,3\n4,5,6\n').file!.courses[0]!.places[1]).toEqual({
      x: 5,
      y: 6,
    });
  });
});

describe('1,000 files spoilt at random', () => {
  const demo = readDemo().project!;
  const originals = FORMATS.filter((format) => format !== 'SVG').map(
    (format) => writtenCourse(demo.tracks['circle']!, format, { latitude: 50, longitude: 8 })!.text,
  );
  const spoils = [
    'NaN',
    'Infinity',
    '1e308',
    '-',
    '<',
    '>',
    '&',
    '"',
    '{',
    '[[[[',
    ']',
    ',',
    ';',
    '\t',
    '\0',
    '<!DOCTYPE x [',
    ']]>',
    '<![CDATA[',
    '<!--',
    '95',
    '\ud800',
    '__proto__',
    'lat',
    '\n',
  ];
  it('are read or refused; none throws, none hangs, nothing unreal comes out', () => {
    const spoil = fc.record({
      at: fc.double({ min: 0, max: 1, noNaN: true }),
      cut: fc.nat({ max: 60 }),
      put: fc.oneof(fc.constantFrom(...spoils), fc.string({ maxLength: 6 })),
    });
    let [read, refused] = [0, 0];
    let slowest = 0;
    fc.assert(
      fc.property(
        fc.constantFrom(...originals),
        fc.array(spoil, { minLength: 1, maxLength: 4 }),
        (original, list) => {
          let text = original;
          for (const { at, cut, put } of list) {
            const from = Math.floor(at * text.length);
            text = text.slice(0, from) + put + text.slice(from + cut);
          }
          const started = performance.now();
          const { file, problems } = readCourseFile(text);
          expect(file === undefined).toBe(problems.length > 0);
          expect(problems.every(({ code }) => code !== 'unreadable')).toBe(true);
          if (file === undefined) refused += 1;
          else read += 1;
          for (const course of file?.courses.slice(0, 3) ?? []) {
            const { looked } = lookOver(course);
            if (looked === undefined) continue;
            const decisions = {
              lap: undefined,
              ends: undefined,
              tolerance: 0.05,
              calm: false,
              heights: true,
            };
            const { shaped } = shapeCourse(looked, decisions, []);
            for (const { x, y, height = 0 } of shaped?.fitted.points ?? [])
              expect(Number.isFinite(x + y + height)).toBe(true);
            if (shaped !== undefined) expect(Number.isFinite(shaped.fitted.length)).toBe(true);
          }
          slowest = Math.max(slowest, performance.now() - started);
        },
      ),
      { numRuns: 1000 },
    );
    // Both happen, or the spoiling spoils nothing or all.
    expect(read).toBeGreaterThan(100);
    expect(refused).toBeGreaterThan(100);
    // A stray place at 100 km makes the longest course there is.
    expect(slowest).toBeLessThan(5000);
  }, 120_000);
});
