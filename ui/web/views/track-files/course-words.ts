/** What is said of a course from a file: size, ends, how far it moved, what to make of a recording. Pure. */
import type { CourseFacts, Decisions, ShapedCourse } from '../../exchange/track-files/shape-course.ts';

export function sizeWords({ count, fitted, closed }: ShapedCourse): string {
  return `${closed ? 'Closed' : 'Open'}, ${fitted.length.toFixed(fitted.length < 100 ? 1 : 0)} m long; ${count} places in the file, ${fitted.points.length} control points.`;
}

export function movedWords({ fitted }: ShapedCourse, { tolerance, calm }: Decisions): string {
  const crowd =
    fitted.crowded === 0
      ? ''
      : ` First ${fitted.crowded} places closer than ${small(fitted.crowdedWithin)} to the one before were left out.`;
  if (tolerance === 0) return `Every place is kept as it is.${crowd}`;
  const how = calm ? 'smoothed and thinned' : 'thinned';
  return `By being ${how} the course moves ${fitted.moved === 0 ? 'not at all' : `at most ${small(fitted.moved)}`}.${crowd}`;
}

export function endsWords({ ends }: ShapedCourse): string {
  const { gap, used } = ends;
  if (gap <= 0.01) return 'The last place is the first again.';
  const apart = `The ends are ${gap.toFixed(gap < 10 ? 2 : 0)} m apart.`;
  if (used === 'open') return apart;
  return used === 'spread'
    ? `${apart} Spread, it moves places by up to that much, the last most.`
    : `${apart} Driven, it is one more piece of the course.`;
}

export function noiseWords(
  { unknownSurfaces }: ShapedCourse,
  { recorded, heights, repeated, shift }: CourseFacts,
): string[] {
  return [
    ...(recorded
      ? [
          'A satellite receiver is off by 2 to 5 m in the open, more under trees and beside walls; neighbouring places err together, so the shape is better than the place. Radii of tight bends come out wrong by a metre or more: compare a few with a tape.',
        ]
      : []),
    ...(heights
      ? [
          recorded
            ? 'Heights of a receiver are two to three times worse than its places: slopes from them are mostly error. Taken with the jitter out, they are averaged over 25 m to each side; a spirit level or a map does better.'
            : 'Heights of maps and receivers err by metres. Take them only if they were levelled, or if the hill is much higher than that.',
        ]
      : []),
    ...(unknownSurfaces.length > 0
      ? [
          `This project has no ground called ${unknownSurfaces.join(', ')}: the ground chosen above lies there instead.`,
        ]
      : []),
    ...(repeated > 0 ? [`${repeated} places repeated the one before and were left out.`] : []),
    ...(shift === undefined
      ? []
      : [
          `The start was moved to nought: ${shift.x.toFixed(0)} m east and ${shift.y.toFixed(0)} m north were taken off.`,
        ]),
  ];
}

function small(metres: number): string {
  if (metres >= 1) return `${metres.toFixed(1)} m`;
  return metres >= 0.01 ? `${Math.ceil(metres * 100)} cm` : `${Math.max(1, Math.ceil(metres * 1000))} mm`;
}
