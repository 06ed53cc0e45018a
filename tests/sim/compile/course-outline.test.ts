/** The outline of a course: the same curve and edges as the compiled track, in fewer stations. */
import { describe, expect, test } from 'vitest';
import { compileTrack, outlineCourse } from '../../../sim/index.ts';
import { readDemo } from '../../../ui/demo/demo-project.ts';

const { tracks } = readDemo().project!;

/** Greatest distance, m, of places from a row of places joined by chords. */
function farthest(
  places: readonly (readonly [number, number])[],
  row: readonly (readonly [number, number])[],
) {
  let worst = 0;
  for (const [x, y] of places) {
    let least = Number.POSITIVE_INFINITY;
    for (let i = 0; i + 1 < row.length; i++) {
      const [[ax, ay], [bx, by]] = [row[i]!, row[i + 1]!];
      const [dx, dy] = [bx - ax, by - ay];
      const t = Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy || 1)));
      least = Math.min(least, Math.hypot(x - ax - t * dx, y - ay - t * dy));
    }
    worst = Math.max(worst, least);
  }
  return worst;
}

describe('outline of a course', () => {
  test.each(Object.keys(tracks))('%s is shown to 2 cm in fewer stations than one a metre', (id) => {
    const outline = outlineCourse(tracks[id]!, `tracks.${id}`)!;
    const fine = compileTrack(tracks[id]!, `tracks.${id}`, 0.5).track!;
    const row = Array.from(outline.x, (x, i) => [x, outline.y[i]!] as const);
    const places = Array.from(fine.x, (x, i) => [x, fine.y[i]!] as const);
    // The bend between two control points is taken from three places: where it is greater still, a little more is left.
    expect(farthest(places, row)).toBeLessThan(0.03);
    expect(outline.count).toBeLessThan(compileTrack(tracks[id]!, id, 1).track!.count);
    expect(outline.length).toBe(fine.length);
    expect(outline.closed).toBe(fine.closed);
  });

  test('every control point is a station, with the radius of the curve there', () => {
    const spec = tracks['tansy-hollow']!;
    const outline = outlineCourse(spec, 'tracks.tansy-hollow')!;
    const compiled = compileTrack(spec, 'tracks.tansy-hollow').track!;
    for (const { x, y } of spec.points!) {
      const nearest = (of: { readonly x: Float64Array; readonly y: Float64Array }): number =>
        Array.from(of.x, (v, i) => Math.hypot(v - x, of.y[i]! - y)).reduce(
          (best, d, i, all) => (d < all[best]! ? i : best),
          0,
        );
      const [here, there] = [nearest(outline), nearest(compiled)];
      expect(Math.hypot(outline.x[here]! - x, outline.y[here]! - y)).toBeLessThan(1e-9);
      // The compiled track's is that of the horizontal acceleration, less by the square of the cosine of the grade.
      const cos2 = 1 - compiled.sinGrade[there]! ** 2;
      expect(outline.curvature[here]!).toBeCloseTo(compiled.curvature[there]! / cos2, 9);
    }
  });

  test('where a section widens the ground both widths stand at one place', () => {
    const spec = { ...tracks['oval']!, sections: [{ from: 10, to: 20, width: 9 }] };
    const { x, y, left, count } = outlineCourse(spec as never, 'tracks.oval')!;
    const jumps: number[][] = [];
    for (let i = 1; i < count; i++)
      if (Math.hypot(x[i]! - x[i - 1]!, y[i]! - y[i - 1]!) < 1e-9 && left[i] !== left[i - 1])
        jumps.push([left[i - 1]!, left[i]!]);
    const own = left[0]!;
    expect(jumps).toEqual([
      [own, 4.5],
      [4.5, own],
    ]);
  });

  test('what makes no course has no outline', () => {
    const spec = tracks['tansy-hollow']!;
    const [first] = spec.points!;
    expect(outlineCourse({ ...spec, points: [first!, first!, first!] }, 'tracks.t')).toBeUndefined();
    const far = spec.points!.map((p) => ({ ...p, x: 1e6 * p.x, y: 1e6 * p.y }));
    expect(outlineCourse({ ...spec, points: far }, 'tracks.t')).toBeUndefined();
  });
});
