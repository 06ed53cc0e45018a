/** A course from a file as a small drawing: its places, the course laid through them, start and finish, a scale. */
import { fitted, scaleBar, toScreen } from '../../drawing/viewport.ts';
import type { ShapedCourse } from '../../exchange/track-files/shape-course.ts';

const BOARD = { width: 560, height: 340 };
/** More places than this are not drawn one by one. */
const MOST_DOTS = 1500;
const MOST_DRAWN = 4000;

export function CoursePicture({ shaped }: { shaped: ShapedCourse }) {
  const { sketch, fitted: course, closed } = shaped;
  const view = fitted(sketch, BOARD);
  const at = (x: number, y: number): string => {
    const pixel = toScreen(view, BOARD, { x, y });
    return `${pixel.x.toFixed(1)} ${pixel.y.toFixed(1)}`;
  };
  const stride = Math.ceil(course.line.x.length / MOST_DRAWN);
  const line = Array.from(course.line.x, (x, i) => ({ x, y: course.line.y[i]! })).filter(
    (_, i) => i % stride === 0,
  );
  const last = sketch.at(-1)!;
  const dots = course.points.length > MOST_DOTS ? [] : course.points;
  const bar = scaleBar(view, 120);
  const mark = (word: string, x: number, y: number) => {
    const pixel = toScreen(view, BOARD, { x, y });
    return (
      <g class="file-mark" transform={`translate(${pixel.x.toFixed(1)} ${pixel.y.toFixed(1)})`}>
        <circle r="6" />
        <text
          x={pixel.x > BOARD.width / 2 ? -10 : 10}
          y="-10"
          text-anchor={pixel.x > BOARD.width / 2 ? 'end' : 'start'}
        >
          {word}
        </text>
      </g>
    );
  };
  const start = course.points[0]!;
  return (
    <svg
      class="file-picture"
      viewBox={`0 0 ${BOARD.width} ${BOARD.height}`}
      role="img"
      aria-label={`${closed ? 'Closed' : 'Open'} course of ${course.length.toFixed(0)} metres, seen from above, north up`}
    >
      <path class="file-places" d={`M${sketch.map(({ x, y }) => at(x, y)).join('L')}`} />
      <path class="file-line" d={`M${line.map(({ x, y }) => at(x, y)).join('L')}${closed ? 'Z' : ''}`} />
      <path class="file-dots" d={dots.map(({ x, y }) => `M${at(x, y)}h0`).join('')} />
      {mark(closed ? 'start and finish' : 'start', start.x, start.y)}
      {closed ? null : mark('finish', last.x, last.y)}
      <g class="file-scale" transform={`translate(14 ${BOARD.height - 14})`}>
        <path d={`M0 -6V0H${bar.pixels.toFixed(1)}V-6`} />
        <text x={bar.pixels / 2} y="-8">
          {bar.metres} m
        </text>
      </g>
    </svg>
  );
}
