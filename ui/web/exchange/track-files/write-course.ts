/**
 * The chosen track as a file: GPX, GeoJSON, KML, a table, or a drawing of it with its width.
 *
 * In: a track, the format, where its start is to lie on earth. Out: text, kind and ending of the file. Pure. Banks and
 * speed limits go into no format but the table and the project file; the drawing is not for reading back.
 */

import type { Project } from '../../../../sim/index.ts';
import { compileTrack } from '../../../../sim/index.ts';
import { csvText } from '../../plots/csv.ts';
import type { ExportedPlace } from './exported-places.ts';
import { EXPORT_SPACING, exportedPlaces } from './exported-places.ts';
import type { Origin } from './local-metres.ts';
import { svgText } from './write-svg.ts';
import type { OnEarth } from './write-xml.ts';
import { degreesOf, gpxText, kmlText } from './write-xml.ts';

export const FORMATS = ['GPX', 'GeoJSON', 'KML', 'CSV', 'SVG'] as const;
export type Format = (typeof FORMATS)[number];

export interface WrittenCourse {
  readonly text: string;
  /** Media type */
  readonly type: string;
  /** `.gpx` */
  readonly ending: string;
}

const KINDS: Readonly<Record<Format, { readonly type: string; readonly ending: string }>> = {
  GPX: { type: 'application/gpx+xml', ending: '.gpx' },
  GeoJSON: { type: 'application/geo+json', ending: '.geojson' },
  KML: { type: 'application/vnd.google-earth.kml+xml', ending: '.kml' },
  CSV: { type: 'text/csv', ending: '.csv' },
  SVG: { type: 'image/svg+xml', ending: '.svg' },
};

/** m between stations of long tracks: no more of them than this. */
const MOST_STATIONS = 100_000;

/** Undefined where the track cannot be laid out. */
export function writtenCourse(
  spec: Project['tracks'][string],
  format: Format,
  origin: Origin,
): WrittenCourse | undefined {
  const rough = compileTrack(spec, 'track', 5).track;
  if (rough === undefined) return undefined;
  const { track } = compileTrack(spec, 'track', Math.max(EXPORT_SPACING, rough.length / MOST_STATIONS));
  if (track === undefined) return undefined;
  if (format === 'SVG') return { text: svgText(spec.name, track), ...KINDS.SVG };
  const places = exportedPlaces(track);
  const heights = places.some(({ height }) => height !== 0);
  if (format === 'CSV') return { text: tableText(places, heights), ...KINDS.CSV };
  const onEarth: OnEarth = { name: spec.name, note: noteOf(spec.note, origin), places, origin, heights };
  const text = { GPX: gpxText, KML: kmlText, GeoJSON: geoJsonText }[format](onEarth);
  return { text, ...KINDS[format] };
}

/** Is the place a stand-in? */
export function isNowhere({ latitude, longitude }: Origin): boolean {
  return latitude === 0 && longitude === 0;
}

function noteOf(note: string | undefined, origin: Origin): string {
  return [
    ...(note === undefined ? [] : [note]),
    ...(isNowhere(origin)
      ? [
          'Shape, size and direction are of the track; its place on earth is not known and stands at 0 N, 0 E.',
        ]
      : []),
  ].join(' ');
}

function geoJsonText({ name, note, places, origin, heights }: OnEarth): string {
  const coordinates = degreesOf(places, origin).map(({ latitude, longitude }, i) => [
    Number(longitude),
    Number(latitude),
    ...(heights ? [Number(places[i]!.height.toFixed(3))] : []),
  ]);
  const feature = {
    type: 'Feature',
    properties: { name, description: note },
    geometry: { type: 'LineString', coordinates },
  };
  return `${JSON.stringify({ type: 'FeatureCollection', features: [feature] })}\n`;
}

/** x, y, height, width, surface; edges by themselves and banks only where there are any. */
function tableText(places: readonly ExportedPlace[], heights: boolean): string {
  const uneven = places.some(({ left, right }) => Math.abs(left - right) > 0.001);
  const banked = places.some(({ bank }) => bank !== 0);
  const metres = (value: number): string => (Number(value.toFixed(3)) + 0).toFixed(3);
  return csvText({
    heads: [
      'x (m)',
      'y (m)',
      'height (m)',
      'width (m)',
      'surface',
      ...(uneven ? ['left (m)', 'right (m)'] : []),
      ...(banked ? ['bank (°)'] : []),
    ],
    rows: places.map(({ x, y, height, left, right, bank, surface }) => [
      metres(x),
      metres(y),
      heights ? metres(height) : '0.000',
      metres(left + right),
      surface,
      ...(uneven ? [metres(left), metres(right)] : []),
      ...(banked ? [((bank * 180) / Math.PI).toFixed(2)] : []),
    ]),
  });
}
