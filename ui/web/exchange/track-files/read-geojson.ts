/**
 * GeoJSON (RFC 7946): LineString, MultiLineString, rings of Polygon and MultiPolygon, Feature, FeatureCollection and
 * GeometryCollection, from text to lines of places; longitude before latitude, height third.
 *
 * In: text. Out: one course for each line or ring; or a refusal with its place, such as `features[2].geometry`. Only
 * members of these names are looked at, as own members, whatever else a file may bring.
 */
import { MAX_FILE_LENGTH, readJson } from '../../../../sim/index.ts';
import type { CourseFile, FileCourse, FilePlace, ToldPlaces } from './course-file.ts';
import { heightIn, MAX_DEPTH, onEarth, placeCounter, plainName, refuse } from './course-file.ts';

export function readGeoJson(text: string, told?: ToldPlaces): CourseFile {
  const deepAt = tooDeepAt(text);
  if (deepAt >= 0)
    refuse('too-deep', lineOf(text, deepAt), 'brackets are nested too deep', {
      value: `more than ${MAX_DEPTH}`,
      limit: String(MAX_DEPTH),
      remedy: 'a course needs under ten: this file holds something else',
    });
  const courses: FileCourse[] = [];
  walk(parsed(text), '', '', { courses, counted: placeCounter(told) });
  return { kind: 'GeoJSON', courses, remarks: [] };
}

interface Gathering {
  readonly courses: FileCourse[];
  readonly counted: (place: () => string) => void;
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch (error) {
    if (text.length > MAX_FILE_LENGTH) {
      const said = String(error);
      const at = Number(/position (\d+)/.exec(said)?.[1] ?? Number.NaN);
      return refuse('not-json', Number.isFinite(at) ? lineOf(text, at) : '', 'is not JSON as it should be', {
        value: said.replace(/^SyntaxError:\s*/, '').slice(0, 120),
        remedy: 'the file is cut short or damaged: open another copy of it',
      });
    }
    // The slower reader knows where it stops being JSON.
    const [first] = readJson(text).problems;
    return refuse('not-json', '', first?.message ?? 'is not JSON', {
      ...(first?.value === undefined ? {} : { value: first.value }),
      remedy: first?.remedy ?? 'check the file in a text editor',
    });
  }
}

/** Depth is bounded by what `tooDeepAt` lets through. */
function walk(value: unknown, path: string, name: string, into: Gathering): void {
  const type = member(value, 'type');
  const below = (key: string): string => (path === '' ? key : `${path}.${key}`);
  switch (type) {
    case 'FeatureCollection':
      for (const [i, feature] of list(value, 'features', path).entries())
        walk(feature, below(`features[${i}]`), name, into);
      return;
    case 'Feature': {
      const said = member(member(value, 'properties'), 'name');
      const geometry = member(value, 'geometry');
      if (geometry !== null && geometry !== undefined)
        walk(geometry, below('geometry'), typeof said === 'string' ? plainName(said) : name, into);
      return;
    }
    case 'GeometryCollection':
      for (const [i, part] of list(value, 'geometries', path).entries())
        walk(part, below(`geometries[${i}]`), name, into);
      return;
    case 'LineString':
      line(list(value, 'coordinates', path), below('coordinates'), name, false, into);
      return;
    case 'MultiLineString':
    case 'Polygon':
      lines(list(value, 'coordinates', path), below('coordinates'), name, type === 'Polygon', into);
      return;
    case 'MultiPolygon':
      for (const [i, rings] of list(value, 'coordinates', path).entries())
        lines(asList(rings, below(`coordinates[${i}]`)), below(`coordinates[${i}]`), name, true, into);
      return;
    case 'Point':
    case 'MultiPoint':
      return;
    default:
      refuse('not-geojson', path, 'has no type that GeoJSON knows', {
        value: typeof type === 'string' ? type.slice(0, 40) : 'no type',
        remedy: 'choose a GeoJSON file with a LineString or a Polygon',
      });
  }
}

function lines(parts: readonly unknown[], path: string, name: string, ring: boolean, into: Gathering): void {
  for (const [i, part] of parts.entries())
    line(asList(part, `${path}[${i}]`), `${path}[${i}]`, name, ring, into);
}

function line(
  positions: readonly unknown[],
  path: string,
  name: string,
  ring: boolean,
  { courses, counted }: Gathering,
): void {
  const places = positions.map((position, i): FilePlace => {
    const at = (): string => `${path}[${i}]`;
    counted(at);
    const [longitude, latitude, height] = Array.isArray(position) ? (position as unknown[]) : [];
    if (typeof longitude !== 'number' || typeof latitude !== 'number')
      return refuse('no-number', at(), 'a place is two or three numbers: longitude, latitude, height', {
        value: JSON.stringify(position)?.slice(0, 60) ?? 'nothing',
        remedy: 'correct the file',
      });
    onEarth(latitude, longitude, at());
    const z = heightIn(typeof height === 'number' ? height : undefined);
    return { x: longitude, y: latitude, ...(z === undefined ? {} : { height: z }) };
  });
  if (places.length === 0) return;
  const from = `${ring ? 'ring' : 'line'} ${courses.length + 1}`;
  courses.push({ name, from, frame: 'geographic', places, ring });
}

function member(value: unknown, key: string): unknown {
  return typeof value === 'object' && value !== null && !Array.isArray(value) && Object.hasOwn(value, key)
    ? (value as Record<string, unknown>)[key]
    : undefined;
}

function list(value: unknown, key: string, path: string): readonly unknown[] {
  return asList(member(value, key), path === '' ? key : `${path}.${key}`);
}

function asList(value: unknown, path: string): readonly unknown[] {
  return Array.isArray(value)
    ? (value as unknown[])
    : refuse('no-list', path, 'a list should stand here', { remedy: 'correct the file' });
}

/** Where brackets first go deeper than allowed; -1 where they never do. */
function tooDeepAt(text: string): number {
  let depth = 0;
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (quoted) {
      if (code === 0x5c) i += 1;
      else if (code === 0x22) quoted = false;
    } else if (code === 0x22) quoted = true;
    else if (code === 0x5b || code === 0x7b) {
      depth += 1;
      if (depth > MAX_DEPTH) return i;
    } else if (code === 0x5d || code === 0x7d) depth -= 1;
  }
  return -1;
}

function lineOf(text: string, at: number): string {
  const before = text.slice(0, at).split('\n');
  return `line ${before.length}, column ${(before.at(-1)?.length ?? 0) + 1}`;
}
