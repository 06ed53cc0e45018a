/**
 * GPX 1.1 (tracks with segments, routes): from text to lines of places. Waypoints by themselves are no course.
 *
 * In: text known to begin as XML. Out: one course for each segment and route, and one of all segments joined where a
 * track has several; or a refusal with its place.
 */
import type { CourseFile, FileCourse, FilePlace, ToldPlaces } from './course-file.ts';
import { heightIn, numberIn, onEarth, placeCounter, plainName, refuse } from './course-file.ts';
import { scanXml } from './xml-scan.ts';

const WANTED = new Set(['name', 'ele', 'time']);

export function readGpx(text: string, told?: ToldPlaces): CourseFile {
  const courses: FileCourse[] = [];
  const counted = placeCounter(told);
  let name = '';
  let segments: FilePlace[][] = [];
  let tracks = 0;
  let routes = 0;
  let here: { x: number; y: number; height?: number; time?: number } | undefined;
  let places: FilePlace[] = [];

  const add = (from: string, of: readonly FilePlace[]): void => {
    if (of.length > 0)
      courses.push({ name: plainName(name), from, frame: 'geographic', places: of, ring: false });
  };

  scanXml(text, {
    wanted: WANTED,
    open(element, path, place) {
      if (path.length === 1 && element.name !== 'gpx')
        refuse('not-gpx', place(), `the file begins with <${element.name.slice(0, 40)}>`, {
          remedy: 'choose a GPX or KML file',
        });
      switch (element.name) {
        case 'trk':
          tracks += 1;
          name = '';
          segments = [];
          break;
        case 'rte':
          routes += 1;
          name = '';
          places = [];
          break;
        case 'trkseg':
          places = [];
          break;
        case 'trkpt':
        case 'rtept': {
          counted(place);
          const [latitude, longitude] = [
            degrees(element.attribute('lat')),
            degrees(element.attribute('lon')),
          ];
          if (latitude === undefined || longitude === undefined)
            return refuse('no-number', place(), 'a place without latitude and longitude as numbers', {
              value: `lat ${said(element.attribute('lat'))}, lon ${said(element.attribute('lon'))}`,
              remedy: 'correct the file, or record it again',
            });
          onEarth(latitude, longitude, place());
          here = { x: longitude, y: latitude };
          break;
        }
        default:
      }
    },
    close(element, written, path) {
      const above = path.at(-2);
      if (element === 'name' && (above === 'trk' || above === 'rte')) name = written;
      if (here !== undefined && (above === 'trkpt' || above === 'rtept')) {
        if (element === 'ele') {
          const height = heightIn(numberIn(written));
          if (height !== undefined) here.height = height;
        }
        if (element === 'time') {
          const moment = Date.parse(written.trim().slice(0, 40));
          if (Number.isFinite(moment)) here.time = moment / 1000;
        }
      }
      if ((element === 'trkpt' || element === 'rtept') && here !== undefined) {
        places.push(here);
        here = undefined;
      } else if (element === 'trkseg') segments.push(places);
      else if (element === 'rte') add(`route ${routes}`, places);
      else if (element === 'trk') {
        const filled = segments.filter((segment) => segment.length > 0);
        if (filled.length > 1) add(`track ${tracks}, all ${filled.length} segments joined`, filled.flat());
        for (const [i, segment] of filled.entries())
          add(filled.length > 1 ? `track ${tracks}, segment ${i + 1}` : `track ${tracks}`, segment);
      }
    },
  });
  return { kind: 'GPX', courses, remarks: [] };
}

function degrees(text: string | undefined): number | undefined {
  return text === undefined ? undefined : numberIn(text);
}

function said(text: string | undefined): string {
  return text === undefined ? 'missing' : `"${text.slice(0, 24)}"`;
}
