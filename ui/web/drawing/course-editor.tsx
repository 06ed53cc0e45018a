/** Drawing a course: the board, its tools, the list of its points, the picture it is traced over. */
import { useWorkbench } from '../state/context.ts';
import { HeldWhile } from '../state/held-while.tsx';
import { ProblemList } from '../views/problem-list.tsx';
import { CourseBoard } from './course-board.tsx';
import { backToTrack, drawing } from './drawing-state.ts';
import { DrawingTools, PointTools } from './drawing-tools.tsx';
import { drawnCourse, drawnProblems } from './drawn-course.ts';
import { PictureTools } from './picture-tools.tsx';
import { PointList } from './point-list.tsx';
import { ScaleTools } from './scale-tools.tsx';
import type { Course } from './use-course.ts';
import { useCourse } from './use-course.ts';

export function CourseEditor() {
  const { choice, inHand } = useWorkbench();
  const { track: id } = choice.value;
  if (drawing.of.peek() !== id) beginWith(id);
  return (
    <section
      class="card course"
      aria-labelledby="course-title"
      onKeyDown={(event) => {
        if (event.key === 'Escape' && drawing.fresh.peek()) backToTrack(drawing);
      }}
    >
      <h3 id="course-title">Draw the course</h3>
      <HeldWhile held={inHand}>
        <ToolsAbove />
      </HeldWhile>
      <CourseBoard />
      <HeldWhile held={inHand}>
        <ToolsBelow />
      </HeldWhile>
    </section>
  );
}

/** Nothing picked on a track that comes into view, and all of it in sight. */
function beginWith(track: string): void {
  drawing.of.value = track;
  drawing.selected.value = undefined;
  drawing.rangeFrom.value = undefined;
  drawing.spots.value = [];
  drawing.view.value = undefined;
  drawing.fresh.value = false;
  drawing.draft.value = undefined;
}

function ToolsAbove() {
  const course = useCourse();
  return course === undefined ? null : <DrawingTools state={drawing} course={course} />;
}

function ToolsBelow() {
  const project = useWorkbench().project.value;
  const course = useCourse();
  if (course === undefined) return null;
  const { id, spec, points, outline, radii, edit } = course;
  return (
    <>
      <p class="field-says" role="status">
        {words(course)}
      </p>
      {drawing.fresh.value ? null : <ProblemList problems={drawnProblems(spec, id)} project={project} />}
      {points === undefined ? null : (
        <PointTools state={drawing} id={id} spec={spec} points={points} onEdit={edit} />
      )}
      <div class="course-tools">
        <ScaleTools
          key={id}
          closed={spec.closed}
          state={drawing}
          length={outline?.length}
          points={points}
          onEdit={(label, next) => {
            edit(label, next);
            // A course of another size is fitted in anew: most of it might be out of sight.
            drawing.view.value = undefined;
          }}
        />
        <PictureTools state={drawing} />
      </div>
      {points === undefined ? null : (
        <PointList
          state={drawing}
          id={id}
          spec={spec}
          points={points}
          compiled={outline === undefined ? undefined : drawnCourse(spec, id)}
          radii={radii}
          onEdit={edit}
        />
      )}
    </>
  );
}

function words({ points, spec: { closed } }: Course): string {
  if (drawing.fresh.value)
    return drawing.draft.value === undefined
      ? 'Tap where the start is, or draw the whole course in one go.'
      : 'The start is set: tap or draw on.';
  if (points === undefined)
    return 'This course is made of stretches: change them in the form, or turn it into points to draw on it.';
  if (drawing.mode.value === 'measure') return 'Tap two places whose distance you know, then type it below.';
  if (drawing.mode.value === 'draw') {
    const freely = 'Two fingers, the middle button or the space key move the ground.';
    if (!closed)
      return `Tap on, or draw freehand; tap point 1 to close. ${points.length} points so far. ${freely}`;
    return drawing.strokeDropped.value
      ? 'Nothing was drawn: this course is closed. Open it to draw on, or tap where a point should go in between.'
      : `Tap where a point should go in between; to draw on freehand, open the course. ${freely}`;
  }
  return 'Drag a point to move it, the bare ground to move all of it; two fingers or the wheel bring it closer. Keys: N, B pick, arrows move, S sharper, E easier, I insert, Delete; Escape puts back what is being dragged.';
}
