/** What the page says of a course drawn on it: nothing of a sound one, what to look at and where of one that overlaps or folds. */
import { expect, test } from 'vitest';
import { drawnCourse, drawnProblems } from '../../../../ui/web/drawing/drawn-course.ts';
import { demoWith } from '../../../sim/demo-project.ts';

const { surface } = demoWith().tracks['tansy-hollow']!;

function course(places: readonly (readonly [number, number])[]) {
  const points = places.map(([x, y]) => ({ x, y }));
  return { name: 't', closed: false, surface, width: 6, points, sections: [], startSpeed: 0 };
}

test('a sound course is not spoken of', () => {
  expect(drawnProblems(demoWith().tracks['tansy-hollow'], 'tansy-hollow')).toEqual([]);
  expect(drawnProblems(undefined, 'none')).toEqual([]);
});

test('parts on the same ground and inner edges that fold are warnings with their place', () => {
  const beside = course([
    ...[0, 20, 40, 60, 80].map((x) => [x, 0] as const),
    [110, 30],
    [80, 60],
    [0, 60],
    [-40, 40],
    [-30, 8],
    ...[0, 20, 40, 60].map((x) => [x, 4] as const),
  ]);
  const folded = course([
    [0, 0],
    [20, 0],
    [22, 1],
    [20, 2],
    [0, 30],
  ]);
  expect(drawnCourse(beside, 'beside')).toBeDefined();
  const problems = [...drawnProblems(beside, 'beside'), ...drawnProblems(folded, 'folded')];
  expect(new Set(problems.map(({ code }) => code))).toEqual(new Set(['overlap', 'inner-edge-folds', 'kink']));
  for (const { severity, message, path } of problems) {
    expect([severity, path]).toEqual(['warning', '']);
    expect(message).toMatch(/\d+ m from the start \(x -?[\d.]+, y -?[\d.]+\)/);
  }
});

test('where there is no course it is said why', () => {
  const [problem] = drawnProblems(
    course([
      [0, 0],
      [0, 0],
    ]),
    'nowhere',
  );
  expect(problem?.severity).toBe('problem');
});
