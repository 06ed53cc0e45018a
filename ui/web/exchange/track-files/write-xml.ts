/** A track as GPX 1.1 and KML: places on earth round a stated start. Text is escaped; the files name nothing else. */
import type { ExportedPlace } from './exported-places.ts';
import type { Origin } from './local-metres.ts';
import { toDegrees } from './local-metres.ts';

export interface OnEarth {
  readonly name: string;
  readonly note: string;
  readonly places: readonly ExportedPlace[];
  /** Where the first place lies. */
  readonly origin: Origin;
  readonly heights: boolean;
}

export function gpxText({ name, note, places, origin, heights }: OnEarth): string {
  const points = degreesOf(places, origin).map(
    ({ latitude, longitude }, i) =>
      `      <trkpt lat="${latitude}" lon="${longitude}">${heights ? `<ele>${places[i]!.height.toFixed(3)}</ele>` : ''}</trkpt>\n`,
  );
  return `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="Kartwright" xmlns="http://www.topografix.com/GPX/1/1">
  <trk>
    <name>${escaped(name)}</name>
    <desc>${escaped(note)}</desc>
    <trkseg>
${points.join('')}    </trkseg>
  </trk>
</gpx>
`;
}

export function kmlText({ name, note, places, origin, heights }: OnEarth): string {
  const tuples = degreesOf(places, origin).map(
    ({ latitude, longitude }, i) =>
      `${longitude},${latitude}${heights ? `,${places[i]!.height.toFixed(3)}` : ''}`,
  );
  return `<?xml version="1.0" encoding="UTF-8"?>
<kml xmlns="http://www.opengis.net/kml/2.2">
  <Document>
    <Placemark>
      <name>${escaped(name)}</name>
      <description>${escaped(note)}</description>
      <LineString>
        <tessellate>1</tessellate>
        <altitudeMode>${heights ? 'absolute' : 'clampToGround'}</altitudeMode>
        <coordinates>
${tuples.join('\n')}
        </coordinates>
      </LineString>
    </Placemark>
  </Document>
</kml>
`;
}

/** Degrees to nine places, a tenth of a millimetre, with the first place at the origin. */
export function degreesOf(
  places: readonly ExportedPlace[],
  origin: Origin,
): { latitude: string; longitude: string }[] {
  const [first] = places;
  return places.map(({ x, y }) => {
    const at = toDegrees(origin, x - (first?.x ?? 0), y - (first?.y ?? 0));
    return { latitude: at.latitude.toFixed(9), longitude: at.longitude.toFixed(9) };
  });
}

/** Text between tags or quotes; what XML 1.0 cannot hold is left out. */
export function escaped(text: string): string {
  return text
    .replace(/[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&apos;');
}
