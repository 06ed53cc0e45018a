/** A track written to a file and read back is the same curve: every format, every demo track, and tracks made up. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CompiledTrack, Project } from '../../../../../sim/index.ts';
import { compileTrack, readProjectValue } from '../../../../../sim/index.ts';
import { demoInput, readDemo } from '../../../../../ui/demo/demo-project.ts';
import { trackOf } from '../../../../../ui/web/exchange/track-files/course-to-track.ts';
import { readCourseFile } from '../../../../../ui/web/exchange/track-files/read-course-file.ts';
import { EXACT, lookOver, shapeCourse } from '../../../../../ui/web/exchange/track-files/shape-course.ts';
import type { Format } from '../../../../../ui/web/exchange/track-files/write-course.ts';
import { writtenCourse } from '../../../../../ui/web/exchange/track-files/write-course.ts';

type Track = Project['tracks'][string];

/** m; what the work promises: "the same curve within 1 cm". */
const PROMISED = 0.01;
const FORMATS: readonly Format[] = ['GPX', 'GeoJSON', 'KML', 'CSV'];
const ORIGIN = { latitude: 47.5, longitude: -11.25 };
const demo = readDemo().project!;
const SURFACES = Object.keys(demo.surfaces);

describe('written and read back', () => {
  for (const [id, track] of Object.entries(demo.tracks))
    for (const format of FORMATS)
      it(`${id} as ${format}: the same curve, closed or open as before, heights with it`, () => {
        const { spec, before, after } = thereAndBack(track, format, EXACT);
        expect(spec.closed).toBe(track.closed);
        expect(distanceBetween(before, after)).toBeLessThan(PROMISED);
        // The heights of the same places: 5 mm of the leaving out, and a steep place seen from a centimetre beside it.
        expect(heightsApart(before, after)).toBeLessThan(0.02);
        expect(Math.abs(after.length / before.length - 1)).toBeLessThan(1e-4);
      });

  it('a table carries width, ground, edges and bank', () => {
    for (const id of ['brindlequag-works', 'fettlebrow']) {
      const track = demo.tracks[id]!;
      const { before, after } = thereAndBack(track, 'CSV', EXACT);
      for (let share = 0.01; share < 1; share += 0.02) {
        const [a, b] = [groundAt(before, share), groundAt(after, share)];
        // Ground begins at a place, and places lie up to ten metres apart: looked at away from where it changes.
        if (changesNear(before, share)) continue;
        expect(b.surface, `${id} at ${share}`).toBe(a.surface);
        // 2 cm or hundredths of a degree are lost between written places, 5 when places are left out.
        expect(Math.abs(b.width - a.width)).toBeLessThan(0.08);
        expect(Math.abs(b.bank - a.bank)).toBeLessThan(0.1);
      }
    }
  });

  it('made-up tracks, at any place on earth', () => {
    const place = fc.record({
      latitude: fc.double({ min: -85, max: 85, noNaN: true }),
      longitude: fc.double({ min: -180, max: 180, noNaN: true }),
    });
    const radii = fc.array(fc.double({ min: 25, max: 90, noNaN: true }), { minLength: 5, maxLength: 12 });
    const format = fc.constantFrom(...FORMATS);
    fc.assert(
      fc.property(place, radii, format, fc.boolean(), (origin, list, kind, closed) => {
        const points = list.map((r, i) => {
          const angle = ((closed ? 2 : 1.3) * Math.PI * i) / list.length;
          return { x: 7 + r * Math.cos(angle), y: r * Math.sin(angle) - 3, height: r / 20 };
        });
        const track = { ...demo.tracks['tansy-hollow']!, closed, points };
        // No kart turns tighter, and places a hand apart cannot follow it to a centimetre.
        fc.pre(compiled(track).tightest.radius > 1.5);
        const { spec, before, after } = thereAndBack(track, kind, EXACT, origin);
        expect(spec.closed).toBe(closed);
        expect(distanceBetween(before, after)).toBeLessThan(PROMISED);
      }),
      { numRuns: 15 },
    );
  });

  it('names and notes go through unharmed, whatever they hold', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: 'binary', maxLength: 40 }),
        fc.constantFrom('GPX', 'KML', 'GeoJSON' as const),
        (name, format) => {
          const track = { ...demo.tracks['oval']!, name: `A ${name}`, note: name };
          const { text } = writtenCourse(track, format, ORIGIN)!;
          const { file, problems } = readCourseFile(text);
          expect(problems).toEqual([]);
          expect(file!.courses[0]!.name.startsWith('A')).toBe(true);
        },
      ),
      { numRuns: 40 },
    );
  });
});

function thereAndBack(track: Track, format: Format, tolerance: number, origin = ORIGIN) {
  const { text } = writtenCourse(track, format, origin)!;
  const { file, problems } = readCourseFile(text);
  expect(problems).toEqual([]);
  const { looked } = lookOver(file!.courses[0]!);
  expect(looked!.laps).toEqual([]);
  const decisions = { lap: undefined, ends: undefined, tolerance, calm: false, heights: true };
  const { shaped, problems: more } = shapeCourse(looked!, decisions, SURFACES);
  expect(more).toEqual([]);
  expect(shaped!.fitted.moved).toBeLessThanOrEqual(tolerance);
  const words = { name: 'Back', surface: track.surface, width: '6 m', fileName: 'a file' };
  const written = trackOf(shaped!, true, SURFACES, words);
  const read = readProjectValue({ ...demoInput(), tracks: { back: written } });
  expect(read.problems.filter((p) => p.severity === 'problem')).toEqual([]);
  const spec = read.project!.tracks['back']!;
  return { spec, before: compiled(track), after: compiled(spec) };
}

function compiled(track: Track): CompiledTrack {
  // 5 cm: a chord strays 0.1 mm from an arc of 5 m radius.
  return compileTrack(track, 'track', 0.05).track!;
}

/** Greatest distance from any station of either to the other's line, both measured from their starts. */
function distanceBetween(a: CompiledTrack, b: CompiledTrack): number {
  return Math.max(oneWay(a, b), oneWay(b, a));
}

function oneWay(a: CompiledTrack, b: CompiledTrack): number {
  let most = 0;
  for (let i = 0; i < a.count; i += 4) most = Math.max(most, nearest(a, i, b).distance);
  return most;
}

function heightsApart(a: CompiledTrack, b: CompiledTrack): number {
  let most = 0;
  for (let i = 0; i < a.count; i += 20)
    most = Math.max(most, Math.abs(a.height[i]! - b.height[nearest(a, i, b).at]!));
  return most;
}

/** Looked for within 6 m along the way, so that a crossing is no shortcut. */
function nearest(a: CompiledTrack, i: number, b: CompiledTrack): { distance: number; at: number } {
  const [x, y] = [a.x[i]! - a.x[0]!, a.y[i]! - a.y[0]!];
  const middle = Math.round((a.distance[i]! / a.length) * (b.count - 1));
  let least = Number.POSITIVE_INFINITY;
  let at = 0;
  for (let k = -120; k <= 120; k++) {
    const j = Math.min(b.count - 2, Math.max(0, middle + k));
    const [ax, ay] = [b.x[j]! - b.x[0]!, b.y[j]! - b.y[0]!];
    const [dx, dy] = [b.x[j + 1]! - b.x[j]!, b.y[j + 1]! - b.y[j]!];
    const square = dx * dx + dy * dy;
    const t = square === 0 ? 0 : Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / square));
    const distance = Math.hypot(x - ax - t * dx, y - ay - t * dy);
    if (distance < least) [least, at] = [distance, j];
  }
  return { distance: least, at };
}

function stationAt(track: CompiledTrack, share: number): number {
  return track.distance.findIndex((s) => s >= share * track.length);
}

function groundAt(track: CompiledTrack, share: number) {
  const i = stationAt(track, share);
  return {
    surface: track.surfaces[track.surface[i]!],
    width: track.width[i]!,
    bank: (track.bank[i]! * 180) / Math.PI,
  };
}

/** Within half a metre of a jump of ground, width or bank. */
function changesNear(track: CompiledTrack, share: number): boolean {
  const at = share * track.length;
  return track.surface.some(
    (s, i) =>
      i > 0 &&
      (s !== track.surface[i - 1] || Math.abs(track.bank[i]! - track.bank[i - 1]!) > 0.003) &&
      Math.abs(track.distance[i]! - at) < 0.5,
  );
}
