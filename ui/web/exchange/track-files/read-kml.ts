/**
 * KML: LineString, LinearRing (of a Polygon, too) and gx:Track, from text to lines of places.
 *
 * In: text known to begin as XML. Out: one course each, named by its Placemark; or a refusal with its place. Everything
 * else in the file - styles, pictures, links - is passed over, and nothing is fetched.
 */
import type { CourseFile, FileCourse, FilePlace, ToldPlaces } from './course-file.ts';
import { heightIn, numberIn, onEarth, placeCounter, plainName, refuse } from './course-file.ts';
import { scanXml } from './xml-scan.ts';

const WANTED = new Set(['name', 'coordinates', 'coord', 'when']);
const LINES = new Set(['LineString', 'LinearRing', 'Track']);

export function readKml(text: string, told?: ToldPlaces): CourseFile {
  const courses: FileCourse[] = [];
  const counted = placeCounter(told);
  let name = '';
  let places: FilePlace[] = [];
  let moments: number[] = [];
  let number = 0;

  const tuple = (parts: readonly string[], place: () => string): FilePlace => {
    counted(place);
    const [longitude, latitude, height] = parts.map(numberIn);
    if (longitude === undefined || latitude === undefined || parts.length > 3)
      return refuse('no-number', place(), 'a place that is not longitude, latitude and perhaps height', {
        value: parts.join(' ').slice(0, 60),
        remedy: 'numbers with a point, no spaces inside one place',
      });
    onEarth(latitude, longitude, place());
    const z = heightIn(height);
    return { x: longitude, y: latitude, ...(z === undefined ? {} : { height: z }) };
  };

  scanXml(text, {
    wanted: WANTED,
    open(element, path, place) {
      if (path.length === 1 && element.name !== 'kml')
        refuse('not-kml', place(), `the file begins with <${element.name.slice(0, 40)}>`, {
          remedy: 'choose a GPX or KML file',
        });
      if (element.name === 'Placemark') name = '';
      if (LINES.has(element.name)) {
        places = [];
        moments = [];
      }
    },
    close(element, written, path, place) {
      const above = path.at(-2) ?? '';
      if (element === 'name' && above === 'Placemark') name = written;
      // Points of interest have coordinates, too: only lines are courses.
      else if (element === 'coordinates' && LINES.has(above))
        for (const [piece] of written.matchAll(/\S+/g)) places.push(tuple(piece.split(','), place));
      else if (element === 'coord' && above === 'Track')
        places.push(tuple(written.trim().split(/\s+/), place));
      else if (element === 'when' && above === 'Track')
        moments.push(Date.parse(written.trim().slice(0, 40)) / 1000);
      else if (LINES.has(element) && places.length > 0) {
        number += 1;
        const timed = moments.length === places.length && moments.every(Number.isFinite);
        courses.push({
          name: plainName(name),
          from: `${element === 'LinearRing' ? 'ring' : 'line'} ${number}`,
          frame: 'geographic',
          places: timed ? places.map((at, i) => ({ ...at, time: moments[i]! })) : places,
          ring: element === 'LinearRing',
        });
        places = [];
      }
    },
  });
  return { kind: 'KML', courses, remarks: [] };
}
